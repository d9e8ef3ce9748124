/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The columns of a recorded file, in words. */
#include "say/file.h"

#include "base/numbers.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

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

/* Why a column is not used: by a note of that column, of a kind that leaves one out. */
START_TEST(a_column_is_left_out_by_its_own_note)
{
    static const struct {
        struct wire_note note[2];
        int notes;
        const char *words;
    } said[] = {
        {{{.kind = WIRE_LEFT_OUT_COUNTER, .column = 1}}, 1, "it counts the lines"},
        {{{.kind = WIRE_LEFT_OUT_DISTANCE, .column = 1}},
         1,
         "it only rises, as the way that was ridden"},
        {{{.kind = WIRE_LEFT_OUT_COUNTER, .column = 2}}, 1, "no numbers in it"},
        {{{.kind = WIRE_STATUS, .column = 1}}, 1, "no numbers in it"},
        {{{.kind = WIRE_LEFT_OUT_COUNTER, .column = 1}}, 0, "no numbers in it"},
        {{{.kind = WIRE_STATUS, .column = 1}, {.kind = WIRE_LEFT_OUT_STILL, .column = 1}},
         2,
         "it is always 0"},
    };
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        static struct plain_description description;
        char text[SAY_SIZE], expected[SAY_SIZE];
        description.layout.column_use[0] = -1;
        memcpy(description.info.note, said[i].note, sizeof said[i].note);
        description.info.note_count = said[i].notes;
        snprintf(expected, sizeof expected, "column 1: not used: %s", said[i].words);
        say_file_column(text, sizeof text, &description, 0);
        ck_assert_str_eq(text, expected);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("file");
    TCase *tests = tcase_create("file");
    tcase_add_test(tests, each_unit_of_time_is_named);
    tcase_add_test(tests, a_column_is_left_out_by_its_own_note);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
