/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Tests that are ridden otherwise than a rider's tests are, just below and just over the limits. */
#include "analysis/learning.h"
#include "support/test_main.h"

#include <math.h>
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
    ck_assert_int_eq(sixth_test(200.0 + 10.2, 90.0), TEST_POWER);
    ck_assert_int_eq(sixth_test(200.0 - 9.8, 90.0), TEST_COUNTS);
    ck_assert_int_eq(sixth_test(200.0 - 10.2, 90.0), TEST_POWER);
    ck_assert_int_eq(sixth_test(NAN, 90.0), TEST_COUNTS);
}
END_TEST

START_TEST(five_turns_apart)
{
    ck_assert_int_eq(sixth_test(200.0, 90.0 + 4.9), TEST_COUNTS);
    ck_assert_int_eq(sixth_test(200.0, 90.0 + 5.1), TEST_POWER);
    ck_assert_int_eq(sixth_test(200.0, 90.0 - 4.9), TEST_COUNTS);
    ck_assert_int_eq(sixth_test(200.0, 90.0 - 5.1), TEST_POWER);
    ck_assert_int_eq(sixth_test(200.0, NAN), TEST_COUNTS);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("learning_rules");
    TCase *tests = tcase_create("learning_rules");
    tcase_add_test(tests, ten_watts_apart);
    tcase_add_test(tests, five_turns_apart);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
