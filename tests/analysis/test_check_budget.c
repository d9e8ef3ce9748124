/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* What sensors leave open of a difference: worked by hand from JCGM 100:2008, 5.1.2 and 4.3.7. */
#include "analysis/check_budget.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

static struct check_record check[2];

static void put(struct check_record *of, enum check_quantity quantity, double value)
{
    struct check_number *number = &of->number[of->number_count++];
    memset(number, 0, sizeof *number);
    number->quantity = quantity;
    number->channel = 1;
    number->value = value;
}

static void begin(void)
{
    memset(check, 0, sizeof check);
    check[0].kind = CHECK_STILL;
    check[0].channel = -1;
    put(&check[0], CHECK_BEST_DEVIATION, 0.3);
    put(&check[0], CHECK_QUANTUM, 1.0);
    check[1].kind = CHECK_STEP;
    check[1].channel = 1;
    check[1].asked_mm[0] = 25.0;
    put(&check[1], CHECK_BLOCK_STEP_U, 0.25);
    put(&check[1], CHECK_SCALE_ERROR, 2.0);
}

START_TEST(parts_add_as_squares)
{
    struct check_budget budget;
    ck_assert(check_budget(check, 2, 1, &budget));
    ck_assert_double_eq_tol(budget.mean_u_mm, 0.3, 1e-12);
    ck_assert_double_eq_tol(budget.step_u_mm, 0.288675135, 1e-9); /* 1 / (2 sqrt 3) */
    ck_assert_double_eq_tol(budget.scale_error, 0.02, 1e-12);
    ck_assert_double_eq_tol(budget.scale_u, 0.01, 1e-12);          /* 0.25 of 25 mm */
    ck_assert_double_eq_tol(budget.scale_u_mm, 0.447213595, 1e-9); /* 20 sqrt(.02^2 + .01^2) */
    /* sqrt(2 (.09 + 1/12) + .2) = sqrt(.546667) */
    ck_assert_double_eq_tol(budget.u_mm, 0.739369, 1e-6);
}
END_TEST

START_TEST(what_was_not_checked_is_not_known)
{
    struct check_budget budget;
    ck_assert(!check_budget(check, 1, 1, &budget)); /* no step test */
    ck_assert(!check_budget(&check[1], 1, 1, &budget));
    ck_assert(!check_budget(check, 2, 0, &budget)); /* of another sensor */
    check[0].channel = 0;
    ck_assert(!check_budget(check, 2, 1, &budget));
    check[0].channel = 1; /* of this one alone */
    ck_assert(check_budget(check, 2, 1, &budget));
}
END_TEST

/* 300 mm sqrt(.02^2 + .01^2) = 6.708 mm */
START_TEST(a_scale_leaves_its_share_of_the_range_open)
{
    static struct session_record record;
    put(&check[1], CHECK_RANGE, 300.0);
    check[1].placing = 1;
    session_record_clear(&record);
    record.check[0] = check[1];
    record.check_count = 1;
    ck_assert_double_eq_tol(check_scale_u_mm(&record, 1, 1), 6.708204, 1e-6);
    ck_assert_double_nan(check_scale_u_mm(&record, 0, 1));
    ck_assert_double_nan(check_scale_u_mm(&record, 1, 0));
    record.check[0].verdict = CHECK_UNCERTAIN;
    ck_assert_double_nan(check_scale_u_mm(&record, 1, 1));
    record.check[0].verdict = CHECK_PASSED;
    record.check[1] = (struct check_record){
        .kind = CHECK_CALIBRATION, .placing = 1, .channel = 1, .verdict = CHECK_FAILED};
    record.check_count = 2;
    ck_assert_double_eq_tol(check_scale_u_mm(&record, 1, 1), 6.708204, 1e-6); /* not taken */
    record.check[1].verdict = CHECK_PASSED;
    ck_assert_double_nan(check_scale_u_mm(&record, 1, 1));
    record.check[2] = check[1]; /* tested again since */
    record.check_count = 3;
    ck_assert_double_eq_tol(check_scale_u_mm(&record, 1, 1), 6.708204, 1e-6);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("check_budget");
    TCase *tests = tcase_create("budget");
    tcase_add_checked_fixture(tests, begin, NULL);
    tcase_add_test(tests, parts_add_as_squares);
    tcase_add_test(tests, what_was_not_checked_is_not_known);
    tcase_add_test(tests, a_scale_leaves_its_share_of_the_range_open);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
