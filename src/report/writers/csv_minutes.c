/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Long holds by the minute as CSV, and by quarters: a row for each hold, channel and minute. */
#include "measure/rules.h"
#include "report/csv.h"
#include "report/report.h"

#include <math.h>
#include <stdlib.h>

#define MINUTES_MOST 600 /* of the longest hold there is, and more */

struct minutes {
    struct minute_row row[MINUTES_MOST];
    struct minute_auxiliary ridden_at[MINUTES_MOST];
    size_t count;
};

static void headings(struct csv_writer *csv)
{
    static const char *const names[] = {
        "hold",           "channel",   "part",          "from_s",  "to_s",
        "seen_s",         "up_s",      "in_band_share", "mean_mm", "cues",
        "trend_mm_per_h", "trend_low", "trend_high",    "power_w", "cadence_per_min",
        "heart_per_min"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        csv_text(csv, names[i]);
    }
    csv_row_end(csv);
}

/* course: of the whole hold, on its quarters' rows; NULL on minutes. */
static void row(struct csv_writer *csv, int hold, const char *channel, const char *part,
                const struct minute_row *minute, const struct minutes_course *course,
                const struct minute_auxiliary *ridden_at)
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
    for (int kind = 0; kind < AUXILIARIES; kind++) {
        csv_number(csv, ridden_at->mean[kind], 1);
    }
    csv_row_end(csv);
}

/* Of the minutes that begin in a quarter and have any. */
static struct minute_auxiliary ridden_in(const struct minutes *minutes,
                                         const struct minute_row *quarter)
{
    struct minute_auxiliary all;
    for (int kind = 0; kind < AUXILIARIES; kind++) {
        double sum = 0.0, count = 0.0;
        for (size_t m = 0; m < minutes->count; m++) {
            double mean = minutes->ridden_at[m].mean[kind];
            bool in = minutes->row[m].from_s >= quarter->from_s &&
                      minutes->row[m].from_s < quarter->to_s && !isnan(mean);
            sum += in ? mean : 0.0;
            count += in;
        }
        all.mean[kind] = count > 0.0 ? sum / count : (double)NAN;
    }
    return all;
}

static void hold_rows(struct csv_writer *csv, const struct report_input *input, int hold,
                      int channel, const struct minutes *minutes)
{
    struct minutes_course course;
    int number = input->record->hold[hold].number;
    const char *name = input->analysis->channel_name[channel];
    for (size_t i = 0; i < minutes->count; i++) {
        row(csv, number, name, "minute", &minutes->row[i], NULL, &minutes->ridden_at[i]);
    }
    minutes_course(minutes->row, minutes->count, &course);
    for (int q = 0; q < RIDE_QUARTERS; q++) {
        struct minute_auxiliary ridden_at = ridden_in(minutes, &course.quarter[q]);
        row(csv, number, name, "quarter", &course.quarter[q], &course, &ridden_at);
    }
}

bool report_minutes_csv(FILE *stream, const struct report_input *input, sample_source *source,
                        void *context, struct problem *problem)
{
    const struct session_record *record = input->record;
    const struct analysis *analysis = input->analysis;
    struct minutes *minutes = calloc(1, sizeof *minutes);
    struct csv_writer csv;
    if (minutes == NULL) {
        return problem_set(problem, "no memory for a hold's minutes");
    }
    csv_begin(&csv, stream);
    headings(&csv);
    for (int h = 0; h < record->hold_count; h++) {
        bool is_long = analysis->hold[h].duration_s > MINUTE_ROWS_FROM_S;
        if (is_long) {
            analysis_minute_auxiliary(record, h, source, context, minutes->ridden_at, MINUTES_MOST);
        }
        for (int c = 0; is_long && c < analysis->channel_count; c++) {
            if (analysis->body[c] && analysis->hold[h].has[c]) {
                minutes->count = analysis_minutes(record, analysis, h, c, source, context,
                                                  minutes->row, MINUTES_MOST);
                hold_rows(&csv, input, h, c, minutes);
            }
        }
    }
    free(minutes);
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}
