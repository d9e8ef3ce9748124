/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a fitter's mark cuts out of a hold is cut out of its other readings, too: from a second
 * before it to three behind it, the first reading with it, the last without. */
#include "support/test_main.h"

#include "analysis/analysis.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { READINGS = 241, MARKED = 80, FIRST_CUT = 72, FIRST_AFTER = 104 };
#define START_US INT64_C(1000000000) /* of the session's axis */
#define STEP_US 125000               /* a fraction of a second that is exact in binary */

static bool samples_of(void *context, int64_t first, int64_t last, const struct sample **samples,
                       size_t *count)
{
    static struct sample made[READINGS];
    const int *power_w = context;
    ck_assert_int_eq(last - first + 1, READINGS);
    for (int i = 0; i < READINGS; i++) {
        made[i] = (struct sample){.number = first + i, .time_us = START_US + STEP_US * i};
        made[i].range_tenth_mm[0] = 4000 + i * 7 % 10;
        made[i].range_tenth_mm[1] = 10 * power_w[i];
    }
    *samples = made;
    *count = READINGS;
    return true;
}

START_TEST(a_cut_begins_with_its_first_reading_and_ends_before_its_last)
{
    struct session_record *record = calloc(1, sizeof *record);
    struct analysis *analysis = analysis_create();
    struct problem problem = {0};
    int power_w[READINGS];
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->placing_count = record->setup_count = record->build_count = 1;
    record->build[0] = (struct build_record){.ordinal = 1, .first_sample = 1};
    record->setup[0].number = 1;
    record->placing[0].channel_count = 2;
    for (int c = 0; c < 2; c++) {
        struct channel_record *channel = &record->placing[0].channel[c];
        snprintf(channel->name, sizeof channel->name, "%s", c == 0 ? "head" : "power");
        channel->role = c == 0 ? ROLE_BODY : ROLE_AUXILIARY;
        channel->gain = 1.0;
    }
    record->capture_count = record->hold_count = record->mark_count = 1;
    record->capture[0] =
        (struct capture_record){.kind = CAPTURE_HOLD, .first_sample = 1, .last_sample = READINGS};
    record->hold[0] = (struct hold_record){
        .number = 1, .target = -1, .band = -1, .status = HOLD_COMPLETE, .guessed_share = 0};
    record->mark[0] =
        (struct mark_record){.kind = MARK_TALKED, .hold = 0, .sample = 1 + MARKED, .cut = true};
    record->last_sample = READINGS;
    for (int ride = 0; ride < 2; ride++) {
        record->hold[0].purpose = ride ? PURPOSE_RIDE : PURPOSE_NONE;
        record->mark[0].cut = true;
        for (int i = 0; i < READINGS; i++) {
            bool cut = i >= FIRST_CUT && i < FIRST_AFTER;
            power_w[i] = cut ? 900 : 200;
        }
        ck_assert_msg(analysis_make(record, samples_of, power_w, analysis, &problem), "%s",
                      problem.sentence);
        ck_assert_double_eq_tol(analysis->hold[0].auxiliary_mean[AUXILIARY_POWER], 200.0, 1e-9);
        power_w[FIRST_AFTER] = 200 + READINGS - (FIRST_AFTER - FIRST_CUT); /* a watt of the mean */
        ck_assert(analysis_make(record, samples_of, power_w, analysis, &problem));
        ck_assert_double_eq_tol(analysis->hold[0].auxiliary_mean[AUXILIARY_POWER], 201.0, 1e-9);
        record->mark[0].cut = false;
        ck_assert(analysis_make(record, samples_of, power_w, analysis, &problem));
        ck_assert_double_gt(analysis->hold[0].auxiliary_mean[AUXILIARY_POWER], 280.0);
    }
    record->hold[0].purpose = PURPOSE_NONE;
    record->placing[0].channel[1].role = ROLE_BODY; /* a sensor of the body that is called so */
    ck_assert(analysis_make(record, samples_of, power_w, analysis, &problem));
    ck_assert(isnan(analysis->hold[0].auxiliary_mean[AUXILIARY_POWER]));
    analysis_destroy(analysis);
    free(record);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold_cuts");
    TCase *tests = tcase_create("hold_cuts");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_cut_begins_with_its_first_reading_and_ends_before_its_last);
    return test_main(suite);
}
