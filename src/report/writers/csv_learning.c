/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A rider's practice as CSV: a row for each test and channel. */
#include "base/clock.h"
#include "report/csv.h"
#include "report/learning.h"
#include "say/learning.h"

#include <math.h>

static const struct learning_day *day_of(const struct learning *learning, int64_t session)
{
    for (int d = 0; d < learning->day_count; d++) {
        if (learning->day[d].session == session) {
            return &learning->day[d];
        }
    }
    return NULL;
}

static void headings(struct csv_writer *csv, bool health)
{
    static const char *const names[] = {
        "session",      "started",       "hold",          "phase",     "counts",
        "why_not",      "channel",       "in_band_share", "share_low", "share_high",
        "blocks",       "kept_s",        "kept_at_least", "offset_mm", "steadiness_mm",
        "cues_per_min", "guessed_share", "posture_share", "power_w",   "cadence_per_min",
        "pieces",       "piece_s",       "longest_s",     "ride_s",    "board_apart_mm",
    };
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        csv_text(csv, names[i]);
    }
    for (int item = 0; health && item < RATING_ITEMS; item++) {
        if (rating_fields[item].discomfort) {
            csv_text(csv, rating_fields[item].column);
        }
    }
    csv_row_end(csv);
}

static void row(struct csv_writer *csv, const struct learning_report *report,
                const struct learning_test *test, int channel)
{
    const struct learning_day *day = day_of(report->learning, test->session);
    const struct practice_test *result = &test->result[channel];
    char started[CLOCK_TEXT_SIZE];
    double low, high;
    clock_wall_text(started, test->at_ms);
    practice_share_interval(result, &low, &high);
    csv_integer(csv, test->session);
    csv_text(csv, started);
    csv_integer(csv, test->hold);
    csv_text(csv, say_phases[test->phase]);
    csv_yes(csv, test->left_out == TEST_COUNTS);
    csv_text(csv, say_test_left_out[test->left_out]);
    csv_text(csv, report->learning->channel[channel]);
    csv_number(csv, result->share, 4);
    csv_number(csv, low, 4);
    csv_number(csv, high, 4);
    csv_number(csv, result->blocks, 1);
    csv_number(csv, result->kept_s, 1);
    csv_yes(csv, result->at_least);
    csv_number(csv, test->offset_mm[channel], 1);
    csv_number(csv, test->steadiness_mm[channel], 2);
    csv_number(csv, test->cues_per_min[channel], 2);
    csv_exact(csv, test->guessed_share);
    csv_number(csv, test->posture_share, 4);
    csv_number(csv, test->power_w, 0);
    csv_number(csv, test->cadence_per_min, 0);
    csv_integer(csv, day != NULL ? day->pieces : 0);
    csv_number(csv, day != NULL ? day->piece_s : (double)NAN, 0);
    csv_number(csv, day != NULL ? day->longest_s : (double)NAN, 0);
    csv_number(csv, day != NULL ? day->ride_s : (double)NAN, 0);
    csv_number(csv, test->board_apart_mm, 1);
    for (int item = 0; report->health && item < RATING_ITEMS; item++) {
        if (rating_fields[item].discomfort) {
            csv_exact(csv, day != NULL ? day->discomfort[item] : (double)NAN);
        }
    }
    csv_row_end(csv);
}

bool report_learning_csv(FILE *stream, const struct learning_report *report,
                         struct problem *problem)
{
    struct csv_writer csv;
    csv_begin(&csv, stream);
    headings(&csv, report->health);
    for (int t = 0; t < report->learning->test_count; t++) {
        for (int c = 0; c < report->learning->channel_count; c++) {
            if (report->learning->test[t].has[c] &&
                report->learning->test[t].at_ms >= report->since_ms) {
                row(&csv, report, &report->learning->test[t], c);
            }
        }
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}
