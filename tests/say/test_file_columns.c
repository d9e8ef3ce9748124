/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a file of numbers was taken for: as the decoder itself describes texts made by hand. */
#include "rig/plain_describe.h"
#include "say/file.h"
#include "say/say.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

static struct plain_description description;

static void describe(const char *bytes, const char *columns, const char *unit)
{
    struct decoder_options options = {.dialect = ""};
    struct problem problem = {PROBLEM_NONE, ""};
    snprintf(options.columns, sizeof options.columns, "%s", columns);
    snprintf(options.unit, sizeof options.unit, "%s", unit);
    ck_assert_msg(plain_describe(bytes, strlen(bytes), &options, &description, &problem), "%s",
                  problem.sentence);
}

static void has_form(const char *words)
{
    char text[SAY_SIZE];
    say_file_form(text, sizeof text, &description);
    ck_assert_str_eq(text, words);
}

static void has_column(int column, const char *words)
{
    char text[SAY_SIZE];
    say_file_column(text, sizeof text, &description, column - 1);
    ck_assert_str_eq(text, words);
}

/* Fourteen lines of a time, two ranges and a third column. */
static const char *lines(const char *heading, char between, char point, const char *third)
{
    static char text[2000];
    size_t used = (size_t)snprintf(text, sizeof text, "%s", heading);
    for (int i = 0; i < 14; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "%d%c%d%c%d%c%d%c%d%c%s\n",
                                 20 * i, between, 412 + i % 3, point, i % 10, between, 298 - i % 4,
                                 point, (i * 3) % 10, between, third);
    }
    return text;
}

START_TEST(fields_divided_by_commas_under_a_heading)
{
    describe(lines("time_ms,head mm,chest mm,who\n", ',', '.', "ada"), "", "");
    has_form("fields divided by ',', decimal sign '.', a heading");
    has_column(1, "column 1 'time_ms': time, in ms");
    has_column(2, "column 2 'head mm': range 'head', in mm");
    has_column(4, "column 4 'who': not used: no numbers in it");
}
END_TEST

/* Between semicolons either may stand in a number. */
START_TEST(decimal_commas_between_semicolons)
{
    describe(lines("time_ms;a;b;temp\n", ';', ',', "21,5"), "", "");
    has_form("fields divided by ';', decimal sign '.' or ',', a heading");
    has_column(2, "column 2 'a': range 'a', in mm (nothing says it)");
    has_column(4, "column 4 'temp': not used: it is called something else than a range");
}
END_TEST

/* Power is no range, and a status is no reading. */
START_TEST(other_columns_have_their_own_words)
{
    describe(lines("time_ms,head,power,status\n", ',', '.', "ok"), "", "mm");
    has_column(3, "column 3 'power': power, in W");
    has_column(4, "column 4 'status': status: other readings are doubtful");
}
END_TEST

/* The last of the reasons for which a column is left out. */
START_TEST(the_way_that_was_ridden_is_no_range)
{
    char text[600];
    size_t used = (size_t)snprintf(text, sizeof text, "time_ms,head mm,distance,latitude\n");
    for (int i = 0; i < 14; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "%d,%d,%d,50.00%02d\n", 20 * i,
                                 412 + i % 3, 700 + 4 * i, i);
    }
    describe(text, "", "");
    has_column(2, "column 2 'head mm': range 'head', in mm");
    has_column(3, "column 3 'distance': not used: it only rises, as the way that was ridden");
}
END_TEST

START_TEST(a_calendar_begins_somewhen)
{
    char text[1000];
    size_t used = 0;
    for (int i = 0; i < 14; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used,
                                 "2026-01-10T09:00:%02d.500Z,%d,x\n", i, 412 + i % 3);
    }
    describe(text, "", "mm");
    has_form("fields divided by ',', decimal sign '.', no heading");
    has_column(1, "column 1: time, dates and times, from 2026-01-10T09:00:00.500Z");
    has_column(3, "column 3: not used: no numbers in it");
}
END_TEST

START_TEST(whole_numbers_between_tabs)
{
    char text[1000];
    size_t used = 0;
    for (int i = 0; i < 14; i++) {
        used +=
            (size_t)snprintf(text + used, sizeof text - used, "%d\t%d\n", 412 + i % 3, 298 - i % 4);
    }
    describe(text, "", "mm");
    has_form("fields divided by tabs, decimal sign '.' or ',', no heading, no time");
}
END_TEST

START_TEST(words_between_numbers)
{
    char text[1000];
    size_t used = 0;
    for (int i = 0; i < 14; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "head %d chest %d\n", 412 + i % 3,
                                 298 - i % 4);
    }
    describe(text, "", "");
    has_form("numbers with blanks or words between them, decimal sign '.', no heading, no time");
}
END_TEST

/* What was named is used, and what else there is says that it was not. */
START_TEST(columns_that_were_named)
{
    describe(lines("time_ms,head,chest,hip\n", ',', '.', "301.5"), "head", "mm");
    has_column(2, "column 2 'head': range 'head', in mm");
    has_column(3, "column 3 'chest': not used: not among those named");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("file_columns");
    TCase *tests = tcase_create("file_columns");
    tcase_add_test(tests, fields_divided_by_commas_under_a_heading);
    tcase_add_test(tests, decimal_commas_between_semicolons);
    tcase_add_test(tests, other_columns_have_their_own_words);
    tcase_add_test(tests, the_way_that_was_ridden_is_no_range);
    tcase_add_test(tests, a_calendar_begins_somewhen);
    tcase_add_test(tests, whole_numbers_between_tabs);
    tcase_add_test(tests, words_between_numbers);
    tcase_add_test(tests, columns_that_were_named);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
