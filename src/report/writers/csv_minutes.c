/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Long holds by the minute as CSV, and by quarters: a row for each hold, channel and minute. */
#include "measure/rules.h"
#include "report/csv.h"
#include "report/report.h"

#include <math.h>
#include <stdlib.h>

#define MINUTES_MOST 600 /* of the longest hold there is, and more */
#define QUARTERS 4

static void headings(struct csv_writer *csv)
{
    static const char *const names[] = {
        "hold",          "channel", "part", "from_s",         "to_s",      "seen_s",    "up_s",
        "in_band_share", "mean_mm", "cues", "trend_mm_per_h", "trend_low", "trend_high"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        csv_text(csv, names[i]);
    }
    csv_row_end(csv);
}

/* course: of the whole hold, on its quarters' rows; NULL on minutes. */
static void row(struct csv_writer *csv, int hold, const char *channel, const char *part,
                const struct minute_row *minute, const struct minutes_course *course)
{
    bool trend = course != NULL && course->has_trend;
    csv_integer(csv, hold);
    csv_text(csv, channel);
    csv_text(csv, part);
    csv_number(csv, minute->from_s, 1);
    csv_number(csv, minute->to_s, 1);
    csv_number(csv, minute->seen_s, 1);
    csv_number(csv, minute->up_s, 1);
    csv_number(csv, minute->in_band_share, 4);
    csv_number(csv, minute->mean_mm, 1);
    csv_integer(csv, minute->cues);
    csv_number(csv, trend ? course->trend_mm_per_h : (double)NAN, 2);
    csv_number(csv, trend ? course->trend_low : (double)NAN, 2);
    csv_number(csv, trend ? course->trend_high : (double)NAN, 2);
    csv_row_end(csv);
}

static void hold_rows(struct csv_writer *csv, const struct report_input *input, int hold,
                      int channel, const struct minute_row *rows, size_t count)
{
    struct minutes_course course;
    int number = input->record->hold[hold].number;
    const char *name = input->analysis->channel_name[channel];
    for (size_t i = 0; i < count; i++) {
        row(csv, number, name, "minute", &rows[i], NULL);
    }
    minutes_course(rows, count, &course);
    for (int q = 0; q < QUARTERS; q++) {
        row(csv, number, name, "quarter", &course.quarter[q], &course);
    }
}

bool report_minutes_csv(FILE *stream, const struct report_input *input, sample_source *source,
                        void *context, struct problem *problem)
{
    const struct session_record *record = input->record;
    const struct analysis *analysis = input->analysis;
    struct minute_row *rows = calloc(MINUTES_MOST, sizeof *rows);
    struct csv_writer csv;
    if (rows == NULL) {
        return problem_set(problem, "no memory for a hold's minutes");
    }
    csv_begin(&csv, stream);
    headings(&csv);
    for (int h = 0; h < record->hold_count; h++) {
        for (int c = 0; c < analysis->channel_count; c++) {
            if (analysis->body[c] && analysis->hold[h].has[c] &&
                analysis->hold[h].duration_s > MINUTE_ROWS_FROM_S) {
                hold_rows(
                    &csv, input, h, c, rows,
                    analysis_minutes(record, analysis, h, c, source, context, rows, MINUTES_MOST));
            }
        }
    }
    free(rows);
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}
