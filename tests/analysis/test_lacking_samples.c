/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Samples that are not to be had: whose they are has no numbers and is named; all else is as with
 * them. */
#include "support/test_main.h"

#include "analysis/analysis.h"
#include "base/random.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { READINGS = 2000, CAPTURES = 4 };
static int64_t lacking; /* the first of those that are not there; 0: all are */

/* 10 mm higher from capture to capture. */
static bool samples_of(void *context, int64_t first, int64_t last, const struct sample **samples,
                       size_t *count)
{
    static struct sample made[READINGS];
    struct random_source random;
    (void)context;
    random_seed(&random, (uint64_t)first);
    ck_assert_int_eq(last - first + 1, READINGS);
    for (int i = 0; i < READINGS; i++) {
        made[i] = (struct sample){.number = first + i, .time_us = 20000 * (first + i)};
        made[i].range_tenth_mm[0] =
            (int32_t)(4000 + first / 10 + lround(20.0 * random_normal(&random)));
    }
    *samples = made;
    *count = READINGS;
    return first != lacking;
}

/* A target, and three holds of one build. */
static struct session_record *make_record(void)
{
    struct session_record *record = calloc(1, sizeof *record);
    ck_assert_ptr_nonnull(record);
    session_record_clear(record);
    record->placing_count = record->setup_count = record->build_count = 1;
    record->build[0] = (struct build_record){.ordinal = 1, .first_sample = 1};
    record->setup[0].number = 1;
    struct channel_record *channel = &record->placing[0].channel[0];
    record->placing[0].channel_count = 1;
    snprintf(channel->name, sizeof channel->name, "head");
    channel->role = ROLE_BODY;
    channel->gain = 1.0;
    record->placing[0].announced_rate_hz = 50.0;
    record->capture_count = CAPTURES;
    for (int i = 0; i < CAPTURES; i++) {
        record->capture[i] = (struct capture_record){.kind = i == 0 ? CAPTURE_TARGET : CAPTURE_HOLD,
                                                     .first_sample = 1 + (int64_t)i * READINGS,
                                                     .last_sample = (int64_t)(i + 1) * READINGS};
    }
    record->target_count = 1;
    record->target[0].capture = record->target[0].build = 0;
    record->target[0].kept = true;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        record->target[0].entered_mm[c] = (double)NAN;
    }
    record->hold_count = CAPTURES - 1;
    for (int h = 0; h < record->hold_count; h++) {
        record->hold[h] = (struct hold_record){
            .number = h + 1, .capture = h + 1, .target = -1, .band = -1, .status = HOLD_COMPLETE};
    }
    record->last_sample = (int64_t)CAPTURES * READINGS;
    return record;
}

START_TEST(what_lacks_takes_nothing_from_the_rest)
{
    static const char *const names[CAPTURES] = {"the target", "hold 1", "hold 2", "hold 3"};
    struct session_record *record = make_record();
    struct analysis *whole = analysis_create(), *less = analysis_create();
    struct problem problem = {0};
    ck_assert(whole != NULL && less != NULL);
    lacking = 0;
    ck_assert_msg(analysis_make(record, samples_of, NULL, whole, &problem), "%s", problem.sentence);
    ck_assert_int_eq(whole->free_holds[0], 3);
    for (int i = 0; i < CAPTURES; i++) {
        lacking = record->capture[i].first_sample;
        ck_assert(!analysis_make(record, samples_of, NULL, less, &problem));
        ck_assert_msg(strstr(problem.sentence, names[i]) != NULL, "%s", problem.sentence);
        ck_assert(less->target[0][0].has == (i != 0));
        for (int h = 0; h < 3; h++) {
            ck_assert(less->hold[h].has[0] == (h + 1 != i));
            ck_assert(h + 1 == i ||
                      less->hold[h].summary[0].mean_mm == whole->hold[h].summary[0].mean_mm);
        }
        ck_assert_int_eq(less->free_holds[0], i == 0 ? 3 : 2);
    }
    /* the same of the hold that has just ended */
    lacking = record->capture[3].first_sample;
    ck_assert(!analysis_add_hold(record, 2, samples_of, NULL, less, &problem));
    ck_assert_int_eq(less->free_holds[0], 2);
    analysis_destroy(whole);
    analysis_destroy(less);
    free(record);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("lacking_samples");
    TCase *tests = tcase_create("lacking_samples");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, what_lacks_takes_nothing_from_the_rest);
    return test_main(suite);
}
