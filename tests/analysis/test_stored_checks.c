/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is asked of checks that are on record: was the sensor's scale seen to be wrong, and has it
 * changed since its first step test? */
#include "support/test_main.h"

#include "analysis/check.h"

#include <math.h>
#include <stdlib.h>

static struct session_record *record;
static double shift_mm;

static void set_up(void)
{
    record = calloc(1, sizeof *record);
    ck_assert_ptr_nonnull(record);
    session_record_clear(record);
}

static void tear_down(void)
{
    free(record);
}

static void put(struct check_record *check, enum check_quantity quantity, double value)
{
    check->number[check->number_count++] =
        (struct check_number){.quantity = quantity, .channel = check->channel, .value = value};
}

/* A step test of the second channel with a block of 20 mm; its limit is 1.5 mm, u half of one. */
static struct check_record *step(double step_mm, enum check_verdict verdict)
{
    struct check_record *check = &record->check[record->check_count++];
    check->kind = CHECK_STEP;
    check->placing = 0;
    check->channel = 1;
    check->verdict = verdict;
    check->asked_mm[0] = 20;
    put(check, CHECK_BLOCK_STEP, step_mm);
    put(check, CHECK_BLOCK_STEP_U, 0.5);
    put(check, CHECK_LIMIT, 1.5);
    return check;
}

/* Is the latest further from the first than it may be? */
static bool shifted(void)
{
    return check_step_shifted(record, record->check_count - 1, &shift_mm);
}

/* It failed by its size: of one that does not see the block no scale is made. */
START_TEST(a_step_of_another_size_wants_calibration)
{
    static const struct {
        double step_mm;
        enum check_verdict verdict;
        bool wants;
    } cases[] = {
        {22.0, CHECK_FAILED, true},  {18.0, CHECK_FAILED, true}, {21.5, CHECK_FAILED, false},
        {22.0, CHECK_PASSED, false}, {6.0, CHECK_FAILED, true}, /* three tenths of the block */
        {5.9, CHECK_FAILED, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct check_record *check = step(cases[i].step_mm, cases[i].verdict);
        ck_assert_msg(check_wants_calibration(check) == cases[i].wants, "case %zu", i);
        check->kind = CHECK_BEAM;
        ck_assert(!check_wants_calibration(check));
    }
}
END_TEST

/* Over 2 mm; or over twice what both are known to, where that is more. */
START_TEST(a_later_step_is_set_against_the_first)
{
    step(20.0, CHECK_PASSED);
    ck_assert(!shifted());
    step(22.0, CHECK_PASSED);
    ck_assert(!shifted());
    ck_assert_double_eq_tol(shift_mm, 2.0, 1e-9);
    struct check_record *late = step(22.25, CHECK_PASSED);
    ck_assert(shifted());
    ck_assert_double_eq_tol(shift_mm, 2.25, 1e-9);
    late->number[1].value = 1.2; /* 2 hypot(1.2, .5) = 2.6 */
    ck_assert(!shifted());
    late->number[1].value = 0.5;
    late->verdict = CHECK_FAILED; /* so it is known, too */
    ck_assert(shifted());
    late->verdict = CHECK_UNCERTAIN;
    ck_assert(!shifted());
}
END_TEST

START_TEST(only_what_can_be_compared_is)
{
    struct check_record *first = step(17.0, CHECK_PASSED);
    step(20.0, CHECK_PASSED);
    ck_assert(shifted());
    first->verdict = CHECK_UNCERTAIN;
    ck_assert(!shifted());
    first->verdict = CHECK_PASSED;
    first->asked_mm[0] = 25; /* another block */
    ck_assert(!shifted());
    first->asked_mm[0] = 20;
    first->channel = 0; /* another sensor */
    ck_assert(!shifted());
    first->channel = 1;
    first->placing = 1; /* it was fixed anew */
    ck_assert(!shifted());
    first->placing = 0;
    first->kind = CHECK_BEAM;
    ck_assert(!shifted());
    first->kind = CHECK_STEP;
    ck_assert(shifted());
}
END_TEST

/* Readings mean something else from there on. */
START_TEST(a_calibration_begins_anew)
{
    step(17.0, CHECK_PASSED);
    struct check_record *calibration = step(20.0, CHECK_PASSED);
    calibration->kind = CHECK_CALIBRATION;
    step(20.0, CHECK_PASSED);
    ck_assert(!shifted());
    calibration->verdict = CHECK_FAILED; /* and was not taken */
    ck_assert(shifted());
    calibration->verdict = CHECK_PASSED;
    calibration->channel = 0;
    ck_assert(shifted());
    calibration->channel = 1;
    step(23.0, CHECK_PASSED); /* against the first one since */
    ck_assert(shifted());
    ck_assert_double_eq_tol(shift_mm, 3.0, 1e-9);
}
END_TEST

/* One of each kind and sensor, the latest, up to 24 of them; those of another placing are not asked
 * for. */
START_TEST(the_latest_of_each_kind_and_sensor)
{
    int latest[CHECK_LATEST_MAX];
    ck_assert_int_eq(check_latest(record, 0, latest), 0);
    for (int i = 0; i < 50; i++) {
        record->check[i] = (struct check_record){.kind = i % 2 == 0 ? CHECK_STEP : CHECK_BEAM,
                                                 .channel = i / 2 % 8,
                                                 .placing = i % 7 == 6};
    }
    record->check_count = 16;
    int count = check_latest(record, 0, latest);
    ck_assert_int_eq(count, 14); /* the seventh and the fourteenth are of another placing */
    record->check_count = 50;
    count = check_latest(record, 0, latest);
    ck_assert_int_eq(count, 16);
    for (int k = 1; k < count; k++) {
        ck_assert_int_gt(latest[k], latest[k - 1]);
    }
    for (int i = 0; i < 40; i++) {
        record->check[i] = (struct check_record){.kind = (enum check_kind)(i % CHECK_KINDS),
                                                 .channel = i / CHECK_KINDS};
    }
    record->check_count = 40;
    ck_assert_int_eq(check_latest(record, 0, latest), 24);
    ck_assert_int_eq(latest[0], 16);
    ck_assert_int_eq(latest[23], 39);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("stored_checks");
    TCase *tests = tcase_create("stored_checks");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, a_step_of_another_size_wants_calibration);
    tcase_add_test(tests, a_later_step_is_set_against_the_first);
    tcase_add_test(tests, only_what_can_be_compared_is);
    tcase_add_test(tests, a_calibration_begins_anew);
    tcase_add_test(tests, the_latest_of_each_kind_and_sensor);
    return test_main(suite);
}
