/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: a row for each lap or way of each run of a day. */
#include "base/clock.h"
#include "report/csv.h"
#include "report/digest.h"
#include "report/tables.h"
#include "say/drag.h"

/* What a row is put together from. */
enum part { THIS, RUN, LEG, RUN_RESULT, LEG_RESULT, PARTS };

/* What stands in no record as it is told. */
struct runs_row {
    char session[UUID_TEXT_SIZE], started[CLOCK_TEXT_SIZE];
    const char *rider_code, *run_not_used, *leg_not_used;
    int setup;
};

static const struct csv_column columns[] = {
    {"session", CSV_OF(THIS, runs_row, session), "",
     "the session: its identifier, the same in every copy"},
    {"started", CSV_OF(THIS, runs_row, started), "", "when it began, UTC (ISO 8601)"},
    {"rider_code", CSV_OF(THIS, runs_row, rider_code), "", "what the fitter calls the rider"},
    {"run", CSV_OF(RUN, run_record, number), "", "number of the run, as the fitter counts"},
    {"setup", CSV_OF(THIS, runs_row, setup), "", "number of the setup that was ridden"},
    {"file", CSV_OF(RUN, run_record, file), "", "the file that it was read from"},
    {"run_drag_m2", CSV_ROUNDED(RUN_RESULT, drag_run_result, mean.drag_m2, 5), "m2",
     "drag area of the run: the mean of those of its laps or pairs of ways that are used"},
    {"density_kg_per_m3", CSV_ROUNDED(RUN_RESULT, drag_run_result, density_kg_per_m3, 5), "kg/m3",
     "of the air, in the run"},
    {"run_not_used", CSV_OF(THIS, runs_row, run_not_used), "",
     "why the run has no say; empty: it has"},
    {"run_reject_reason", CSV_OF(RUN, run_record, reject_reason), "",
     "why it was left out, in the fitter's words"},
    {"power_w", CSV_ROUNDED(RUN, run_record, power_w, 1), "W", "mean power of the run"},
    {"heart_per_min", CSV_ROUNDED(RUN, run_record, heart_per_min, 1), "1/min",
     "mean heart rate of the run"},
    {"effort", CSV_EXACT(RUN, run_record, effort), "", "how hard it was, as the rider said"},
    {"steps", CSV_OF(RUN, run_record, steps), "",
     "steps of speed, for rolling resistance: in no comparison of setups"},
    {"leg", CSV_OF(LEG, leg_record, number), "",
     "number of the lap, or of the way in one direction"},
    {"back", CSV_OF(LEG, leg_record, back), "", "it was ridden the other way"},
    {"length_m", CSV_ROUNDED(LEG, leg_record, sums.length_m, 2), "m", "how long it was"},
    {"duration_s", CSV_ROUNDED(LEG, leg_record, sums.duration_s, 2), "s", "how long it took"},
    {"work_j", CSV_ROUNDED(LEG, leg_record, sums.work_j, 1), "J", "work at the meter"},
    {"speed_m_per_s", CSV_ROUNDED(LEG, leg_record, sums.speed_m_per_s, 4), "m/s",
     "mean speed over the ground"},
    {"in_m_per_s", CSV_ROUNDED(LEG, leg_record, sums.in_m_per_s, 4), "m/s",
     "speed at its beginning"},
    {"out_m_per_s", CSV_ROUNDED(LEG, leg_record, sums.out_m_per_s, 4), "m/s", "speed at its end"},
    {"drag_m2", CSV_ROUNDED(LEG_RESULT, drag_leg_result, drag_m2, 5), "m2",
     "drag area of this lap or way"},
    {"wind_m_per_s", CSV_ROUNDED(LEG_RESULT, drag_leg_result, wind_m_per_s, 3), "m/s",
     "wind along the course that it was worked out with"},
    {"gusty", CSV_OF(LEG_RESULT, drag_leg_result, gusty), "", "the wind was too uneven in it"},
    {"leg_not_used", CSV_OF(THIS, runs_row, leg_not_used), "", "why it has no say; empty: it has"},
    {"leg_reason", CSV_OF(LEG, leg_record, reason), "", "why it was left out"},
};
#define COLUMNS (sizeof columns / sizeof columns[0])

bool report_runs_csv(FILE *stream, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    const struct drag_analysis *drag = &input->analysis->drag;
    struct csv_writer csv;
    struct runs_row row = {.rider_code = record->has_rider ? record->rider.code : ""};
    uuid_text(row.session, &record->uuid);
    clock_wall_text(row.started, record->started_ms);
    csv_begin(&csv, stream);
    csv_headings(&csv, columns, COLUMNS);
    csv_row_end(&csv);
    for (int l = 0; l < record->leg_count; l++) {
        int r = record->leg[l].run;
        const void *const parts[PARTS] = {
            [THIS] = &row,
            [RUN] = &record->run[r],
            [LEG] = &record->leg[l],
            [RUN_RESULT] = drag->run[r].mean.count > 0 ? &drag->run[r] : NULL,
            [LEG_RESULT] = &drag->leg[l],
        };
        row.setup = record->setup[record->run[r].setup].number;
        row.run_not_used = say_drag_run_state(drag->run[r].state);
        row.leg_not_used = say_drag_leg_state(drag->leg[l].state);
        csv_cells(&csv, columns, COLUMNS, parts);
        csv_row_end(&csv);
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}

void report_runs_columns(struct csv_writer *csv, const char *file)
{
    csv_describe(csv, file, columns, COLUMNS);
}
