/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: a row for each lap or way of each run of a day. */
#include "base/clock.h"
#include "report/csv.h"
#include "report/digest.h"
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
    {"session", CSV_OF(THIS, runs_row, session)},
    {"started", CSV_OF(THIS, runs_row, started)},
    {"rider_code", CSV_OF(THIS, runs_row, rider_code)},
    {"run", CSV_OF(RUN, run_record, number)},
    {"setup", CSV_OF(THIS, runs_row, setup)},
    {"file", CSV_OF(RUN, run_record, file)},
    {"run_drag_m2", CSV_ROUNDED(RUN_RESULT, drag_run_result, mean.drag_m2, 5)},
    {"density_kg_per_m3", CSV_ROUNDED(RUN_RESULT, drag_run_result, density_kg_per_m3, 5)},
    {"run_not_used", CSV_OF(THIS, runs_row, run_not_used)},
    {"run_reject_reason", CSV_OF(RUN, run_record, reject_reason)},
    {"power_w", CSV_ROUNDED(RUN, run_record, power_w, 1)},
    {"heart_per_min", CSV_ROUNDED(RUN, run_record, heart_per_min, 1)},
    {"effort", CSV_EXACT(RUN, run_record, effort)},
    {"leg", CSV_OF(LEG, leg_record, number)},
    {"back", CSV_OF(LEG, leg_record, back)},
    {"length_m", CSV_ROUNDED(LEG, leg_record, sums.length_m, 2)},
    {"duration_s", CSV_ROUNDED(LEG, leg_record, sums.duration_s, 2)},
    {"work_j", CSV_ROUNDED(LEG, leg_record, sums.work_j, 1)},
    {"speed_m_per_s", CSV_ROUNDED(LEG, leg_record, sums.speed_m_per_s, 4)},
    {"in_m_per_s", CSV_ROUNDED(LEG, leg_record, sums.in_m_per_s, 4)},
    {"out_m_per_s", CSV_ROUNDED(LEG, leg_record, sums.out_m_per_s, 4)},
    {"drag_m2", CSV_ROUNDED(LEG_RESULT, drag_leg_result, drag_m2, 5)},
    {"wind_m_per_s", CSV_ROUNDED(LEG_RESULT, drag_leg_result, wind_m_per_s, 3)},
    {"gusty", CSV_OF(LEG_RESULT, drag_leg_result, gusty)},
    {"leg_not_used", CSV_OF(THIS, runs_row, leg_not_used)},
    {"leg_reason", CSV_OF(LEG, leg_record, reason)},
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
