/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands in columns, and what they are called: names with a unit, headings, columns in which
 * several kinds of fields stand. */
#include "rig/plain_columns.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct span span_of(const char *text)
{
    return (struct span){text, strlen(text)};
}

START_TEST(comments)
{
    static const struct {
        const char *line;
        bool is_comment;
    } lines[] = {{"# a", true}, {"%", true}, {"// a", true},  {"/ a", false},
                 {"/", false},  {"", false}, {"a # b", false}};
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        ck_assert_msg(plain_is_comment(span_of(lines[i].line)) == lines[i].is_comment, "%s",
                      lines[i].line);
    }
}
END_TEST

/* Punctuation goes, what is no text stays. */
START_TEST(punctuation_around_a_name)
{
    ck_assert(span_is(plain_strip(span_of("{\"head\": ")), "head"));
    ck_assert_uint_eq(plain_strip(span_of("{[(:")).length, 0);
    struct span zeros = {"\0head\0", 6};
    ck_assert_uint_eq(plain_strip(zeros).length, 6);
}
END_TEST

START_TEST(names_and_their_units)
{
    static const struct {
        const char *text, *name, *unit;
    } names[] = {
        {"distance [cm]", "distance", "cm"},
        {"distance_cm", "distance", "cm"},
        {"distance cm", "distance", "cm"},
        {"distance in", "distance in", ""}, /* a word of the language */
        {"d/in", "d", "in"},
        {"t (\xC2\xB5s)", "t", "us"},
        {"t (\xCE\xBCs)", "t", "us"},
        {"D (MM)", "D", "mm"},
        {"head []", "head []", ""},
        {"head [xyz]", "head [xyz]", ""},
        {"Range(head", "head", ""},
        {"Range(head)", "Range(head)", ""},
        {"Range((head", "head", ""},
        {"a(%", "", ""}, /* nothing behind the bracket */
        {"head \"mm", "head", "mm"},
        {"412", "", ""},
    };
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        struct plain_column column;
        memset(&column, 0, sizeof column);
        plain_column_name(&column, span_of(names[i].text));
        ck_assert_msg(span_is(plain_name_of(&column), names[i].name), "%s: %.*s", names[i].text,
                      (int)column.name_length, column.name);
        ck_assert_msg(strcmp(column.unit, names[i].unit) == 0, "%s: %s", names[i].text,
                      column.unit);
    }
}
END_TEST

/* Columns that a line of words names under a shape, and what the first and the last are called. */
START_TEST(headings)
{
    static const struct {
        const char *line;
        struct plain_shape shape;
        int columns;
        const char *first, *last;
    } lines[] = {
        {"a b", {' ', 2}, 2, "a", "b"},
        {" a \t b\tc ", {' ', 3}, 3, "a", "c"},
        {"# a b", {' ', 2}, 2, "a", "b"},
        {"a,b", {',', 3}, 2, "a", ""},
        {"a 2", {' ', 2}, 0, "a", ""},
        {"", {' ', 2}, 0, "", ""},
        {"head of it", {' ', 1}, 1, "head of it", "head of it"},
    };
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        static struct plain_columns columns;
        struct span line = span_of(lines[i].line);
        int last = lines[i].shape.columns - 1;
        ck_assert_msg(plain_heading_columns(line, lines[i].shape) == lines[i].columns, "%s",
                      lines[i].line);
        plain_columns_begin(&columns, lines[i].shape);
        plain_columns_name(&columns, line);
        ck_assert_str_eq(columns.column[0].name, lines[i].first);
        ck_assert_str_eq(columns.column[last].name, lines[i].last);
    }
}
END_TEST

/* Lines of one shape, added; a NULL ends them. */
static struct plain_columns *columns_of(struct plain_shape shape, const char *const *lines)
{
    struct plain_columns *columns = malloc(sizeof *columns);
    ck_assert_ptr_nonnull(columns);
    plain_columns_begin(columns, shape);
    for (int i = 0; lines[i] != NULL; i++) {
        plain_columns_add(columns, span_of(lines[i]));
    }
    return columns;
}

/* What most of a column's fields are. */
START_TEST(columns_of_several_kinds)
{
    static const struct {
        const char *lines[5];
        bool numbers, times;
    } kinds[] = {
        {{"1,412", "1,413", "1,weak"}, true, false},
        {{"1,412", "1,weak", "1,weak"}, false, false},
        {{"1,412", "1,12:00:01", "1,12:00:02"}, false, true},
        {{"1,412", "1,413", "1,12:00:02"}, true, false},
        {{"1,12:00:01", "1,weak", "1,weak"}, false, false},
        {{"1,weak", "1,weak", "1,weak"}, false, false},
        {{"1,", "1,", "1"}, false, false},
    };
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        struct plain_columns *columns = columns_of((struct plain_shape){',', 2}, kinds[i].lines);
        ck_assert_msg(plain_holds_numbers(&columns->column[1]) == kinds[i].numbers, "%zu", i);
        ck_assert_msg(plain_holds_times(&columns->column[1]) == kinds[i].times, "%zu", i);
        free(columns);
    }
}
END_TEST

/* A line with fewer numbers than the others leaves the last columns as they are. */
START_TEST(a_line_that_is_too_short)
{
    static const char *const lines[] = {"412 296", "413", "414 mm", NULL};
    struct plain_columns *columns = columns_of((struct plain_shape){' ', 2}, lines);
    ck_assert_int_eq(columns->lines, 3);
    ck_assert_int_eq(columns->column[0].numbers, 3);
    ck_assert_int_eq(columns->column[1].numbers, 1);
    free(columns);
}
END_TEST

/* The first 64 values are kept, all are counted. */
START_TEST(more_values_than_are_kept)
{
    struct plain_columns *columns = malloc(sizeof *columns);
    ck_assert_ptr_nonnull(columns);
    plain_columns_begin(columns, (struct plain_shape){' ', 1});
    for (int i = 0; i < 70; i++) {
        char line[20];
        snprintf(line, sizeof line, "%d", 400 + i);
        plain_columns_add(columns, span_of(line));
    }
    const struct plain_column *column = &columns->column[0];
    ck_assert_int_eq(column->numbers, 70);
    ck_assert_int_eq(column->last_milli, 469000);
    ck_assert_int_eq(column->value_milli[63], 463000);
    ck_assert(column->rises && column->first_milli == 400000);
    free(columns);
}
END_TEST

/* '"unit":"cm"' is the unit of a range without one, and of what has no name; not of a temperature,
 * and not where another is said. */
START_TEST(a_unit_in_a_column_of_its_own)
{
    static const struct {
        const char *heading, *line, *units[3];
    } cases[] = {
        {NULL, "412,296,cm", {"cm", "cm", ""}},
        {"dist,temp,unit", "412,21,cm", {"cm", "", ""}},
        {"dist (mm),d,unit", "412,21,cm", {"mm", "cm", ""}},
        {NULL, "412,x,{\"unit\":\"cm\"}", {"cm", "", ""}},
        {NULL, "412,x,bpm", {"", "", ""}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const char *const lines[] = {cases[i].line, cases[i].line, NULL};
        struct plain_columns *columns = columns_of((struct plain_shape){',', 3}, lines);
        if (cases[i].heading != NULL) {
            plain_columns_name(columns, span_of(cases[i].heading));
        }
        plain_columns_unit_beside(columns);
        for (int c = 0; c < 3; c++) {
            ck_assert_msg(strcmp(columns->column[c].unit, cases[i].units[c]) == 0, "%s, %d: %s",
                          cases[i].line, c, columns->column[c].unit);
        }
        free(columns);
    }
}
END_TEST

/* A unit is a word: a sentence behind a number is none. */
START_TEST(words_behind_a_number_are_no_unit)
{
    static const char *const lines[] = {"412 of a foot and more,1", NULL};
    struct plain_columns *columns = columns_of((struct plain_shape){',', 2}, lines);
    ck_assert_str_eq(columns->column[0].unit, "");
    ck_assert_int_eq(columns->column[0].numbers, 1);
    free(columns);
}
END_TEST

/* Which second numbers belong to the name of a number that stands still behind a word. */
START_TEST(numbers_that_belong_to_a_name)
{
    static const struct {
        const char *lines[5]; /* four, and the end */
        const char *second;   /* what the second column is called then */
    } cases[] = {
        {{"Sensor 1 412", "Sensor 1 413", "Sensor 1 414", "Sensor 1 412"}, "Sensor 1"},
        {{"Sensor 0 412", "Sensor 0 413", "Sensor 0 414", "Sensor 0 412"}, "Sensor 0"},
        {{"Sensor 1 412", "Sensor 1 413", "Sensor 1 414"}, ""}, /* too few */
        {{"Sensor 1 412", "Sensor 1 413", "Sensor 2 414", "Sensor 1 412"}, ""},
        {{"Sensor 1.0 412", "Sensor 1.0 413", "Sensor 1.0 414", "Sensor 1.0 412"}, ""},
        {{"1 412", "1 413", "1 414", "1 412"}, ""},
        {{"(1) 412", "(1) 413", "(1) 414", "(1) 412"}, ""}, /* no word */
        {{"Sensor 1 mm 412", "Sensor 1 mm 413", "Sensor 1 mm 414", "Sensor 1 mm 412"}, ""},
        {{"Sensor 1 d: 412", "Sensor 1 d: 413", "Sensor 1 d: 414", "Sensor 1 d: 412"}, "d"},
        {{"Sensor 1 nan", "Sensor 1 nan", "Sensor 1 nan", "Sensor 1 nan"}, ""},
        {{"Sensor -1 412", "Sensor -1 413", "Sensor -1 414", "Sensor -1 412"}, ""},
        {{"Sensor 100 412", "Sensor 100 413", "Sensor 100 414", "Sensor 100 412"}, ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct plain_columns *columns = columns_of((struct plain_shape){' ', 2}, cases[i].lines);
        plain_columns_join_numbers(columns);
        ck_assert_msg(span_is(plain_name_of(&columns->column[1]), cases[i].second), "%s: %s",
                      cases[i].lines[0], columns->column[1].name);
        free(columns);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plain columns");
    TCase *tests = tcase_create("plain columns");
    tcase_add_test(tests, comments);
    tcase_add_test(tests, punctuation_around_a_name);
    tcase_add_test(tests, names_and_their_units);
    tcase_add_test(tests, headings);
    tcase_add_test(tests, columns_of_several_kinds);
    tcase_add_test(tests, a_line_that_is_too_short);
    tcase_add_test(tests, more_values_than_are_kept);
    tcase_add_test(tests, a_unit_in_a_column_of_its_own);
    tcase_add_test(tests, words_behind_a_number_are_no_unit);
    tcase_add_test(tests, numbers_that_belong_to_a_name);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
