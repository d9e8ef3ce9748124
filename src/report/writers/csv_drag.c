/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: a row for each setup of a day of runs, against the first one; not rounded. */
#include "report/csv.h"
#include "report/tables.h"
#include "say/drag.h"
#include "say/say.h"

/* What a row is put together from. */
enum part { THIS, SETUP, RESULT, ESTIMATE, COMPARISON, TESTED, TESTING, PARTS };

struct drag_row {
    const char *verdict;
    int baseline_setup;
    double matters_m2;
};

static const struct csv_column columns[] = {
    {"setup", CSV_OF(SETUP, setup_record, number), "", "number of the setup"},
    {"baseline_setup", CSV_OF(THIS, drag_row, baseline_setup), "",
     "number of the setup it is held against"},
    {"runs", CSV_OF(RESULT, drag_setup_result, runs), "", "runs that count"},
    {"mean_m2", CSV_EXACT(ESTIMATE, setup_estimate, mean), "m2",
     "mean of its runs, the order taken out where order_m2_per_run stands; empty: too few runs"},
    {"level_half_width_m2", CSV_EXACT(RESULT, drag_setup_result, level_half_width_m2), "m2",
     "95 %, of the mean as a level: with what all runs of a day share"},
    {"difference_m2", CSV_EXACT(TESTED, setup_difference, difference), "m2",
     "less the baseline's: negative is less drag"},
    {"low_m2", CSV_EXACT(TESTED, setup_difference, low), "m2",
     "95 % interval, the lower end; all differences hold together"},
    {"high_m2", CSV_EXACT(TESTED, setup_difference, high), "m2", "and the upper end"},
    {"standard_error_m2", CSV_EXACT(TESTED, setup_difference, standard_error), "m2",
     "of the difference"},
    {"speeds_error_m2", CSV_EXACT(TESTED, setup_difference, tie_error), "m2",
     "the part of it that is from unlike speeds, and from wheels that have the course unlike long"},
    {"repeatability_m2", CSV_EXACT(COMPARISON, comparison, repeatability), "m2",
     "SD between runs of a setup"},
    {"limit_runs", CSV_EXACT(TESTING, comparison, limit_holds), "",
     "how many standard errors of the runs' part an interval reaches"},
    {"limit_known", CSV_EXACT(TESTING, comparison, limit_known), "", "and of the speeds' part"},
    {"order_m2_per_run", CSV_EXACT(COMPARISON, comparison, order_per_hold), "m2",
     "change with the order of the runs that was taken out; 0: none was"},
    {"matters_m2", CSV_EXACT(THIS, drag_row, matters_m2), "m2",
     "the smallest difference that matters"},
    {"verdict", CSV_OF(THIS, drag_row, verdict), "", "what the interval says"},
};
#define COLUMNS (sizeof columns / sizeof columns[0])

bool report_drag_csv(FILE *stream, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    const struct drag_analysis *drag = &input->analysis->drag;
    const struct comparison *compare = &drag->compare;
    struct csv_writer csv;
    csv_begin(&csv, stream);
    csv_headings(&csv, columns, COLUMNS);
    csv_row_end(&csv);
    for (int s = 0; record->run_count > 0 && s < record->setup_count; s++) {
        const struct drag_setup_result *setup = &drag->setup[s];
        const struct setup_difference *d = &compare->difference[s];
        bool judged = d->verdict != VERDICT_NONE && !setup->few;
        const struct drag_row row = {judged ? say_verdict(d->verdict) : "",
                                     record->setup[compare->baseline].number, drag->matters_m2};
        const void *const parts[PARTS] = {
            [THIS] = &row,
            [SETUP] = &record->setup[s],
            [RESULT] = setup,
            [ESTIMATE] = compare->setup[s].holds > 0 ? &compare->setup[s] : NULL,
            [COMPARISON] = compare->has_repeatability ? compare : NULL,
            [TESTED] = judged && d->has_interval ? d : NULL,
            [TESTING] = judged && d->has_interval ? compare : NULL,
        };
        if (setup->runs + setup->left_out > 0) {
            csv_cells(&csv, columns, COLUMNS, parts);
            csv_row_end(&csv);
        }
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}

void report_drag_columns(struct csv_writer *csv, const char *file)
{
    csv_describe(csv, file, columns, COLUMNS);
}
