/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Which of a rider's tests count, and as what, just below and just over the limits. */
#include "analysis/learning.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Five tests of 200 W and 90 a minute, and a sixth; why that is left out. */
static enum test_left_out sixth_test(double power_w, double cadence_per_min)
{
    struct learning *learning = malloc(sizeof *learning);
    ck_assert_ptr_nonnull(learning);
    learning_begin(learning);
    for (int t = 0; t < 6; t++) {
        struct learning_test *test = &learning->test[learning->test_count++];
        *test = (struct learning_test){.phase = PHASE_BASE,
                                       .power_w = t < 5 ? 200.0 : power_w,
                                       .cadence_per_min = t < 5 ? 90.0 : cadence_per_min};
    }
    learning_conclude(learning);
    enum test_left_out left_out = learning->test[5].left_out;
    ck_assert_int_eq(learning->counted[PHASE_BASE], left_out == TEST_COUNTS ? 6 : 5);
    for (int t = 0; t < 5; t++) {
        ck_assert_int_eq(learning->test[t].left_out, TEST_COUNTS);
    }
    free(learning);
    return left_out;
}

START_TEST(ten_watts_apart)
{
    ck_assert_int_eq(sixth_test(200.0 + 9.8, 90.0), TEST_COUNTS);
    ck_assert_int_eq(sixth_test(200.0 + 10.0, 90.0), TEST_COUNTS);
    ck_assert_int_eq(sixth_test(200.0 + 10.2, 90.0), TEST_POWER);
    ck_assert_int_eq(sixth_test(200.0 - 9.8, 90.0), TEST_COUNTS);
    ck_assert_int_eq(sixth_test(200.0 - 10.2, 90.0), TEST_POWER);
    ck_assert_int_eq(sixth_test(NAN, 90.0), TEST_COUNTS);
}
END_TEST

START_TEST(five_turns_apart)
{
    ck_assert_int_eq(sixth_test(200.0, 90.0 + 4.9), TEST_COUNTS);
    ck_assert_int_eq(sixth_test(200.0, 90.0 + 5.0), TEST_COUNTS);
    ck_assert_int_eq(sixth_test(200.0, 90.0 + 5.1), TEST_POWER);
    ck_assert_int_eq(sixth_test(200.0, 90.0 - 4.9), TEST_COUNTS);
    ck_assert_int_eq(sixth_test(200.0, 90.0 - 5.1), TEST_POWER);
    ck_assert_int_eq(sixth_test(200.0, NAN), TEST_COUNTS);
}
END_TEST

/* One more session with one hold: a piece, or a test of which so much was seen in the posture. */
static void take(struct learning *learning, double at_h, enum hold_purpose purpose,
                 double posture_share)
{
    static int64_t id;
    struct session_record *record = calloc(1, sizeof *record);
    struct analysis *analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->started_ms = (int64_t)(at_h * 3600e3);
    record->build_count = record->placing_count = record->hold_count = record->target_count = 1;
    record->hold[0] = (struct hold_record){
        .purpose = purpose, .status = HOLD_COMPLETE, .guided = true, .planned_s = 180.0};
    record->target[0].capture = -1;
    analysis->channel_count = 1;
    analysis->body[0] = true;
    snprintf(analysis->channel_name[0], CHANNEL_NAME_SIZE, "head");
    analysis->tie[0][0] = (struct tie){.kind = TIE_FIRST, .absolute = true};
    struct hold_result *result = &analysis->hold[0];
    result->has[0] = true;
    result->duration_s = 180.0;
    result->posture_share = posture_share;
    result->auxiliary_mean[AUXILIARY_POWER] = result->auxiliary_mean[AUXILIARY_CADENCE] = NAN;
    result->summary[0] =
        (struct hold_summary){.has_band = true, .in_band_share = 0.5, .kept_s = 180.0};
    learning_take(learning, ++id, record, analysis);
    analysis_destroy(analysis);
    free(record);
}

/* A test so long after a piece. */
static struct learning_test test_after(double hours, double posture_share)
{
    struct learning *learning = malloc(sizeof *learning);
    ck_assert_ptr_nonnull(learning);
    learning_begin(learning);
    take(learning, 1000.0, PURPOSE_PIECE, 1.0);
    take(learning, 1000.0 + hours, PURPOSE_TEST, posture_share);
    ck_assert_int_eq(learning->test_count, 1);
    struct learning_test test = learning->test[0];
    free(learning);
    return test;
}

START_TEST(a_test_waits_for_twenty_hours)
{
    ck_assert_int_eq(test_after(20.5, 1.0).left_out, TEST_COUNTS);
    ck_assert_int_eq(test_after(20.0, 1.0).left_out, TEST_COUNTS);
    ck_assert_int_eq(test_after(0.0, 1.0).phase, PHASE_BASE); /* of one time, none was before it */
    ck_assert_int_eq(test_after(19.5, 1.0).left_out, TEST_TOO_SOON);
}
END_TEST

START_TEST(a_test_is_ridden_in_the_posture)
{
    ck_assert_int_eq(test_after(48.0, 0.81).left_out, TEST_COUNTS);
    ck_assert_int_eq(test_after(48.0, 0.80).left_out, TEST_COUNTS);
    ck_assert_int_eq(test_after(48.0, 0.79).left_out, TEST_AWAY);
}
END_TEST

START_TEST(two_weeks_without_practice_tell_what_is_kept)
{
    ck_assert_int_eq(test_after(24.0 * 13.5, 1.0).phase, PHASE_PRACTICE);
    ck_assert_int_eq(test_after(24.0 * 14.0, 1.0).phase, PHASE_KEEP);
    ck_assert_int_eq(test_after(24.0 * 14.5, 1.0).phase, PHASE_KEEP);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("learning_rules");
    TCase *tests = tcase_create("learning_rules");
    tcase_add_test(tests, ten_watts_apart);
    tcase_add_test(tests, five_turns_apart);
    tcase_add_test(tests, a_test_waits_for_twenty_hours);
    tcase_add_test(tests, a_test_is_ridden_in_the_posture);
    tcase_add_test(tests, two_weeks_without_practice_tell_what_is_kept);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
