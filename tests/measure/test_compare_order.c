/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The trial order: from where on it can't be taken out, and what is reckoned with then. */
#include "reference.h"

#include "measure/compare.h"
#include "trial.h"

/* Holds of setups A and B one after the other, up and down by a millimetre in turns. */
static const struct comparison *compared(const char *design, double matters)
{
    static const double apart[] = {1.0, -1.0, 0.5, -0.5};
    struct trial *trial = trial_start(2, matters);
    for (int h = 0; design[h] != '\0'; h++) {
        trial_add(trial, design[h] - 'A', h + 1, 900.0 + apart[h % 4]);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    return &trial->result;
}

/* Share of the order's variation between the setups, by hand: 0.48, and 0.5208. */
START_TEST(half_of_the_order_may_be_the_setups)
{
    const struct comparison *result = compared("AAABBABBB", 10.0);
    ck_assert_double_eq_tol(result->order_index, 0.48, 1e-9);
    ck_assert(result->order_fitted);
    result = compared("AABABBB", 10.0);
    ck_assert_double_eq_tol(result->order_index, 0.520833, 1e-6);
    ck_assert(!result->order_fitted);
}
END_TEST

/* Three holds of each, 1, 2, 3 and 4, 5, 6: three apart in the order on the mean. A tenth of D a
 * hold are 3 mm for D = 10 mm; holds at 1, -1 and .5, and at -.5, 1 and -1 mm about their setups'
 * means have squares of 4.3333, variance 1.08333, of a difference 0.72222. */
START_TEST(a_tenth_of_what_matters_a_hold_is_reckoned_with)
{
    const struct comparison *result = compared("AAABBB", 10.0);
    ck_assert(!result->order_fitted);
    ck_assert_double_eq_tol(result->difference[1].standard_error, sqrt(0.722222 + 9.0), 1e-5);
    result = compared("AAABBB", 20.0);
    ck_assert_double_eq_tol(result->difference[1].standard_error, sqrt(0.722222 + 36.0), 1e-5);
    ck_assert(compared("ABBAAB", 10.0)->order_fitted);
}
END_TEST

/* An order that is taken out costs a degree of freedom, and three must be left: of two setups from
 * six holds on. */
START_TEST(three_degrees_of_freedom_are_left_with_the_order)
{
    ck_assert(!compared("ABBAB", 10.0)->order_fitted);
    ck_assert(compared("ABBABA", 10.0)->order_fitted);
}
END_TEST

/* Five holds of B at one place of the order, told so by the caller, two of A about it: all that the
 * order varies is A's, and nothing is left of its two holds to tell its own scatter by. */
START_TEST(the_order_may_be_one_setups_alone)
{
    static const double value[] = {900.0, 903.0, 880.0, 881.0, 882.0, 883.0, 884.0};
    struct trial *trial = trial_start(2, 10.0);
    for (int h = 0; h < 7; h++) {
        trial_add(trial, h < 2 ? 0 : 1, h == 0 ? 1.0 : h == 1 ? 9.0 : 5.0, value[h]);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert(trial->result.order_fitted);
    ck_assert_double_eq_tol(trial->result.order_per_hold, 3.0 / 8.0, 1e-12);
    ck_assert(isfinite(trial->result.setup[0].half_width));
    ck_assert(!trial->result.setup[0].own_spread);
    /* Holds whose length has no end are not told of as short and long ones. */
    for (int h = 0; h < 7; h++) {
        trial->holds[h].mean_se = 0.5;
        trial->holds[h].kept_s = h == 3 ? (double)INFINITY : 60.0;
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert(!trial->result.uneven && trial->result.longest_s == 0.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("compare_order");
    TCase *tests = tcase_create("compare_order");
    tcase_add_test(tests, half_of_the_order_may_be_the_setups);
    tcase_add_test(tests, a_tenth_of_what_matters_a_hold_is_reckoned_with);
    tcase_add_test(tests, three_degrees_of_freedom_are_left_with_the_order);
    tcase_add_test(tests, the_order_may_be_one_setups_alone);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
