/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The time of a recorded file, in words. */
#include "say/file.h"

#include "base/numbers.h"
#include "support/test_main.h"

START_TEST(each_unit_of_time_is_named)
{
    static const struct {
        enum plain_time time;
        const char *words;
    } said[] = {
        {PLAIN_TIME_US, "column 1: time, in us"},
        {PLAIN_TIME_MS, "column 1: time, in ms"},
        {PLAIN_TIME_S, "column 1: time, in s"},
        {PLAIN_TIME_CALENDAR, "column 1: time, dates and times"},
    };
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        static struct plain_description description;
        char text[SAY_SIZE];
        description.layout.column_use[0] = PLAIN_TIME_COLUMN;
        description.layout.time = said[i].time;
        say_file_column(text, sizeof text, &description, 0);
        ck_assert_str_eq(text, said[i].words);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("file");
    TCase *tests = tcase_create("file");
    tcase_add_test(tests, each_unit_of_time_is_named);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
