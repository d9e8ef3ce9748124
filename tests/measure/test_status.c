/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/status.h"
#include "support/test_main.h"

START_TEST(each_status_has_its_sentence)
{
    ck_assert_str_eq(measure_status_sentence(MEASURE_OK), "measured");
    ck_assert_str_eq(measure_status_sentence(MEASURE_TOO_FEW), "not enough data");
    ck_assert_str_eq(measure_status_sentence(MEASURE_CONSTANT),
                     "all readings are the same: check that the sensor is not stuck");
    ck_assert_str_eq(measure_status_sentence(MEASURE_NOT_FINITE),
                     "a value that is not a number: check the input");
    ck_assert_str_eq(measure_status_sentence(MEASURE_UNSORTED),
                     "time runs backwards or stands still: check the rig's clock");
    ck_assert_str_eq(measure_status_sentence(MEASURE_NO_MEMORY), "not enough memory");
    ck_assert_str_eq(measure_status_sentence(MEASURE_BAD_SETTING), "a setting outside its limits");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("status");
    TCase *tests = tcase_create("status");
    tcase_add_test(tests, each_status_has_its_sentence);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
