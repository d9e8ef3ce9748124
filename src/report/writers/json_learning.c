/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A rider's practice as JSON. */
#include "base/clock.h"
#include "base/json.h"
#include "report/json_parts.h"
#include "report/learning.h"
#include "say/learning.h"

#include <math.h>

static void change_object(struct json_writer *json, const char *name, bool there,
                          const struct practice_change *change)
{
    if (!json_object_member_if(json, name, there)) {
        return;
    }
    json_member_string(json, "verdict", say_verdicts[change->verdict]);
    json_member_integer(json, "more_tests", change->more);
    json_member_integer(json, "before", (int64_t)change->base);
    json_member_integer(json, "later", (int64_t)change->later);
    json_member_number(json, "before_share", change->base_share);
    json_member_number(json, "later_share", change->later_share);
    json_member_number(json, "change", change->change);
    json_member_number(json, "change_low", change->change_low);
    json_member_number(json, "change_high", change->change_high);
    json_member_number(json, "better_p", change->better_p);
    json_member_number(json, "worse_p", change->worse_p);
    json_member_number(json, "kept_times", change->lasting_times);
    json_member_boolean(json, "before_rises", change->base_rises);
    json_object_end(json);
}

static void channel_object(struct json_writer *json, const struct learning *learning, int c)
{
    json_object_begin(json);
    json_member_string(json, "channel", learning->channel[c]);
    change_object(json, "practice", true, &learning->of[c].practice);
    change_object(json, "keep", learning->of[c].has_keep, &learning->of[c].keep);
    if (json_object_member_if(json, "trend", learning->of[c].has_trend)) {
        json_member_number(json, "share_a_day", learning->of[c].trend.slope);
        json_member_number(json, "low", learning->of[c].trend.low);
        json_member_number(json, "high", learning->of[c].trend.high);
        json_member_number(json, "rising_p", learning->of[c].trend.rising_p);
        json_object_end(json);
    }
    if (json_object_member_if(json, "lasting", learning->of[c].has_lasting)) {
        json_member_number(json, "log_growth_a_test", learning->of[c].lasting.slope);
        json_member_number(json, "half_width",
                           censored_line_slope_half_width(&learning->of[c].lasting));
        json_member_number(json, "log_sd", learning->of[c].lasting.sd);
        json_object_end(json);
    }
    json_member_boolean(json, "kept_only_while_told", learning->of[c].depends);
    json_object_end(json);
}

static void test_object(struct json_writer *json, const struct learning *learning, int t)
{
    const struct learning_test *test = &learning->test[t];
    char started[CLOCK_TEXT_SIZE];
    clock_wall_text(started, test->at_ms);
    json_object_begin(json);
    json_member_integer(json, "session", test->session);
    json_member_integer(json, "hold", test->hold);
    json_member_string(json, "started", started);
    json_member_string(json, "phase", say_phases[test->phase]);
    json_member_boolean(json, "counts", test->left_out == TEST_COUNTS);
    json_member_string(json, "why_not",
                       test->left_out == TEST_COUNTS ? NULL : say_test_left_out[test->left_out]);
    json_member_number(json, "board_apart_mm", test->board_apart_mm);
    json_member_number(json, "guessed_share", test->guessed_share);
    json_member_number(json, "posture_share", test->posture_share);
    json_member_number(json, "power_w", test->power_w);
    json_member_number(json, "cadence_per_min", test->cadence_per_min);
    json_array_member(json, "channels");
    for (int c = 0; c < learning->channel_count; c++) {
        double low, high;
        if (!test->has[c]) {
            continue;
        }
        practice_share_interval(&test->result[c], &low, &high);
        json_object_begin(json);
        json_member_string(json, "channel", learning->channel[c]);
        json_member_number(json, "in_band_share", test->result[c].share);
        json_member_number(json, "share_low", low);
        json_member_number(json, "share_high", high);
        json_member_number(json, "blocks", test->result[c].blocks);
        json_member_number(json, "kept_s", test->result[c].kept_s);
        json_member_boolean(json, "kept_at_least", test->result[c].at_least);
        json_member_number(json, "offset_mm", test->offset_mm[c]);
        json_member_number(json, "steadiness_mm", test->steadiness_mm[c]);
        json_member_number(json, "cues_per_min", test->cues_per_min[c]);
        json_object_end(json);
    }
    json_array_end(json);
    json_object_end(json);
}

static void scores(struct json_writer *json, const char *name, const double values[RATING_ITEMS])
{
    json_object_member(json, name);
    for (int item = 0; item < RATING_ITEMS; item++) {
        if (rating_fields[item].discomfort) {
            json_member_number(json, rating_fields[item].column, values[item]);
        }
    }
    json_object_end(json);
}

static void day_object(struct json_writer *json, const struct learning_report *report, int d)
{
    const struct learning_day *day = &report->learning->day[d];
    char started[CLOCK_TEXT_SIZE];
    clock_wall_text(started, day->at_ms);
    json_object_begin(json);
    json_member_integer(json, "session", day->session);
    json_member_string(json, "started", started);
    json_member_boolean(json, "tested", day->test >= 0);
    json_member_integer(json, "pieces", day->pieces);
    json_member_number(json, "piece_s", day->piece_s);
    json_member_number(json, "longest_s", day->longest_s);
    json_member_number(json, "ride_s", day->ride_s);
    json_member_boolean(json, "felt_not_told", day->untold);
    if (report->health) {
        scores(json, "discomfort", day->discomfort);
        scores(json, "morning", day->morning);
        json_member_boolean(json, "numb_or_sign", day->sign);
    }
    json_object_end(json);
}

static void ride_object(struct json_writer *json, const struct learning_ride *ride)
{
    char started[CLOCK_TEXT_SIZE];
    clock_wall_text(started, ride->at_ms);
    json_object_begin(json);
    json_member_integer(json, "session", ride->session);
    json_member_integer(json, "hold", ride->summary.hold);
    json_member_string(json, "started", started);
    json_member_number(json, "length_s", ride->summary.length_s);
    json_member_string(json, "doubt",
                       ride->doubt == TEST_COUNTS ? NULL : say_test_left_out[ride->doubt]);
    json_member_number(json, "board_apart_mm", ride->board_apart_mm);
    json_ride(json, &ride->summary);
    json_object_end(json);
}

bool report_learning_json(FILE *stream, const struct learning_report *report,
                          struct problem *problem)
{
    const struct learning *learning = report->learning;
    struct json_writer writer, *json = &writer;
    char next[NEXT_SENTENCES][512];
    json_document_begin(json, stream, true, "holdline-practice", 1);
    json_member_string(json, "rider_code", learning->rider_code);
    json_array_member(json, "channels");
    for (int c = 0; c < learning->channel_count; c++) {
        channel_object(json, learning, c);
    }
    json_array_end(json);
    json_array_member(json, "tests");
    for (int t = 0; t < learning->test_count; t++) {
        if (learning->test[t].at_ms >= report->since_ms) {
            test_object(json, learning, t);
        }
    }
    json_array_end(json);
    json_array_member(json, "sessions");
    for (int d = 0; d < learning->day_count; d++) {
        if (learning->day[d].at_ms >= report->since_ms) {
            day_object(json, report, d);
        }
    }
    json_array_end(json);
    json_array_member(json, "rides");
    for (int r = 0; r < learning->ride_count; r++) {
        if (learning->ride[r].at_ms >= report->since_ms) {
            ride_object(json, &learning->ride[r]);
        }
    }
    json_array_end(json);
    json_array_member(json, "next");
    int sentences = say_next_session(learning, next);
    for (int i = 0; i < sentences; i++) {
        json_string(json, next[i]);
    }
    json_array_end(json);
    json_object_end(json);
    return !ferror(stream) || problem_set(problem, "the JSON could not be written");
}
