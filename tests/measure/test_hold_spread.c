/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is counted of a hold that goes on, tenth by tenth of a millimetre. */
#include "../../src/measure/hold_spread.h"
#include "support/test_main.h"

#include <math.h>

/* 900, 901 to 919 mm: shares of them end at the upper edges of the first, tenth and nineteenth. */
START_TEST(shares_end_in_their_tenths)
{
    struct spread spread;
    struct hold_summary summary;
    ck_assert(spread_begin(&spread));
    for (int i = 0; i < 20; i++) {
        spread_take(&spread, 900.0 + i * 7 % 20); /* in no order */
    }
    ck_assert_int_eq(spread_tell(&spread, &summary), MEASURE_OK);
    ck_assert_double_eq_tol(summary.mean_mm, 909.5, 1e-9);
    ck_assert_double_eq_tol(summary.sd_mm, sqrt(665.0 / 19.0), 1e-9); /* 20 (20^2 - 1) / 12 */
    ck_assert_double_eq(summary.minimum_mm, 900.0);
    ck_assert_double_eq(summary.maximum_mm, 919.0);
    ck_assert_double_eq_tol(summary.quantile_05_mm, 900.1, 1e-9);
    ck_assert_double_eq_tol(summary.quantile_50_mm, 909.1, 1e-9);
    ck_assert_double_eq_tol(summary.quantile_95_mm, 918.1, 1e-9);
    spread_end(&spread);
}
END_TEST

/* Two places, and a half just between: that of the lower one, not of what is far off. */
START_TEST(a_half_stays_with_the_lower_one)
{
    struct spread spread;
    struct hold_summary summary;
    ck_assert(spread_begin(&spread));
    for (int i = 0; i < 40; i++) {
        spread_take(&spread, i % 2 ? 930.0 : 900.0);
    }
    ck_assert_int_eq(spread_tell(&spread, &summary), MEASURE_OK);
    ck_assert_double_eq_tol(summary.quantile_50_mm, 900.1, 1e-9);
    ck_assert_double_eq_tol(summary.quantile_05_mm, 900.0 + 0.1 * 2 / 20, 1e-9);
    ck_assert_double_eq_tol(summary.quantile_95_mm, 930.0, 1e-9); /* no higher than any */
    spread_end(&spread);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold_spread");
    TCase *tests = tcase_create("hold_spread");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, shares_end_in_their_tenths);
    tcase_add_test(tests, a_half_stays_with_the_lower_one);
    return test_main(suite);
}
