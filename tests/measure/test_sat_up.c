/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Sitting up, told from glances. Signals made by hand, ten readings a second. */
#include "support/test_main.h"

#include "measure/rules.h"
#include "measure/sat_up.h"

#include <math.h>

static struct hold_cut found[8];
static int count;

/* Over from each first to each second; the hold is length_s long. */
static struct sat_up ride(double length_s, const double (*over)[2], int stretches)
{
    struct sat_up sat;
    sat_up_start(&sat);
    count = 0;
    for (int i = 0; i < (int)(length_s * 10.0 + 0.5); i++) {
        double t = i / 10.0;
        bool is_over = false;
        for (int k = 0; k < stretches; k++) {
            is_over = is_over || (t >= over[k][0] - 1e-9 && t < over[k][1] - 1e-9);
        }
        count += sat_up_step(&sat, t, is_over, &found[count]);
    }
    count += sat_up_end(&sat, length_s, &found[count]);
    return sat;
}

START_TEST(a_glance_is_none)
{
    const double glances[][2] = {{10, 12.9}, {20, 23}, {30, 31}};
    struct sat_up sat = ride(60, glances, 3);
    ck_assert_int_eq(sat.times, 0);
    ck_assert_int_eq(count, 0);
    ck_assert_double_eq(sat.total_s, 0.0);
}
END_TEST

START_TEST(up_until_back_for_three_seconds)
{
    const double up[][2] = {{10, 30}, {40, 45}, {47, 50}, {70, 73.2}};
    struct sat_up sat = ride(90, up, 4);
    ck_assert_int_eq(sat.times, 3);
    ck_assert_int_eq(count, 3);
    ck_assert_double_eq_tol(found[0].from_s, 10, 1e-9);
    ck_assert_double_eq_tol(found[0].to_s, 30, 1e-9);
    ck_assert_double_eq_tol(found[1].from_s, 40, 1e-9); /* two seconds down between: one of them */
    ck_assert_double_eq_tol(found[1].to_s, 50, 1e-9);
    ck_assert_double_eq_tol(found[2].to_s, 73.2, 1e-9);
    ck_assert_double_eq_tol(sat.total_s, 33.2, 1e-9);
}
END_TEST

START_TEST(up_to_the_end)
{
    const double up[][2] = {{50, 70}}, back[][2] = {{50, 58}};
    struct sat_up sat = ride(60, up, 1);
    ck_assert_int_eq(count, 1);
    ck_assert_double_eq_tol(found[0].to_s, 60, 1e-9);
    ck_assert(!sat.up);
    ride(60, back, 1); /* down for the last two seconds */
    ck_assert_double_eq_tol(found[0].to_s, 58, 1e-9);
}
END_TEST

START_TEST(how_far_over)
{
    ck_assert(!sat_up_is_over(910 + 60, 910, true) && sat_up_is_over(910 + 60.1, 910, true));
    ck_assert(!sat_up_is_over(700 + 80, 700, false) && sat_up_is_over(700 + 80.1, 700, false));
    ck_assert(!sat_up_is_over(2000, (double)INFINITY, true) &&
              !sat_up_is_over((double)NAN, 900, true));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sat_up");
    TCase *tests = tcase_create("sat_up");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_glance_is_none);
    tcase_add_test(tests, up_until_back_for_three_seconds);
    tcase_add_test(tests, up_to_the_end);
    tcase_add_test(tests, how_far_over);
    return test_main(suite);
}
