/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "report/table.h"
#include "support/report_text.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

static const struct table_column two[] = {{"setup", TABLE_LEFT, false}, {"mm", TABLE_RIGHT, false}};

START_TEST(columns_are_as_wide_as_their_widest_cell)
{
    struct caught caught;
    struct table *table = table_create(two, 2);
    table_cell(table, "as it came");
    table_cell(table, "884");
    table_cell(table, "low");
    table_cell(table, "-3");
    ck_assert_int_eq(table_rows(table), 2);
    ck_assert(table_write(table, catch_begin(&caught), 2, 80, NULL));
    char *text = catch_end(&caught);
    ck_assert_str_eq(text, "  setup        mm\n"
                           "  ----------  ---\n"
                           "  as it came  884\n"
                           "  low          -3\n");
    free(text);
    table_destroy(table);
}
END_TEST

START_TEST(widths_are_cells_and_not_bytes)
{
    struct caught caught;
    struct table *table = table_create(two, 2);
    table_cell(table, "Zoë");
    table_cell(table, "884 ±3");
    table_cell(table, "高い");
    table_cell(table, "1");
    ck_assert(table_write(table, catch_begin(&caught), 0, 80, NULL));
    char *text = catch_end(&caught);
    ck_assert_str_eq(text, "setup      mm\n"
                           "-----  ------\n"
                           "Zoë    884 ±3\n"
                           "高い        1\n");
    free(text);
    table_destroy(table);
}
END_TEST

START_TEST(no_line_is_wider_than_asked_or_ends_with_a_blank)
{
    static const struct table_column columns[] = {{"setup", TABLE_LEFT, true},
                                                  {"n", TABLE_RIGHT, false},
                                                  {"against\nsetup 1", TABLE_LEFT, true}};
    for (int width = 34; width <= 90; width++) {
        struct caught caught;
        struct table *table = table_create(columns, 3);
        table_cell(table, "2  spacers out, pads down and a bit forward");
        table_cell(table, "4");
        table_cell(
            table,
            "head: cannot tell yet: -3 (-9 to 3); 2 more holds\nchest lower by 12 (6 to 18)");
        table_cell(table, "3  averyveryverylongwordwithoutanyblankinit");
        table_cell(table, "12");
        table_cell(table, "");
        ck_assert(table_write(table, catch_begin(&caught), 1, width, NULL));
        char *text = catch_end(&caught);
        for (char *line = strtok(text, "\n"); line != NULL; line = strtok(NULL, "\n")) {
            ck_assert_msg(text_width(line) <= width, "%d cells of %d: '%s'", text_width(line),
                          width, line);
            ck_assert_msg(line[strlen(line) - 1] != ' ', "a blank at the end: '%s'", line);
        }
        free(text);
        table_destroy(table);
    }
}
END_TEST

START_TEST(a_column_without_anything_takes_no_room)
{
    static const struct table_column columns[] = {{"setup", TABLE_LEFT, false},
                                                  {"", TABLE_LEFT, false}};
    struct caught caught;
    struct table *table = table_create(columns, 2);
    table_cell(table, "1");
    table_cell(table, "");
    ck_assert(table_write(table, catch_begin(&caught), 0, 80, NULL));
    char *text = catch_end(&caught);
    ck_assert_str_eq(text, "setup\n-----\n1\n");
    free(text);
    table_destroy(table);
}
END_TEST

START_TEST(wrapped_cells_go_on_under_themselves)
{
    static const struct table_column columns[] = {{"setup", TABLE_LEFT, true},
                                                  {"found", TABLE_LEFT, true}};
    struct caught caught;
    struct table *table = table_create(columns, 2);
    table_cell(table, "1");
    table_cell(table, "no difference that matters");
    ck_assert(table_write(table, catch_begin(&caught), 0, 24, NULL));
    char *text = catch_end(&caught);
    /* 24 cells: 5 for the heading 'setup', 2 between, 17 for the other */
    ck_assert_str_eq(text, "setup  found\n"
                           "-----  -----------------\n"
                           "1      no difference\n"
                           "       that matters\n");
    free(text);
    table_destroy(table);
}
END_TEST

static void check_lines(const char *text, int width, const char *const *lines, int count)
{
    const char *cursor = text, *start = NULL;
    size_t length = 0;
    for (int i = 0; i < count; i++) {
        ck_assert(wrap_next(&cursor, width, &start, &length));
        ck_assert_uint_eq(length, strlen(lines[i]));
        ck_assert_msg(strncmp(start, lines[i], length) == 0, "'%.*s' is not '%s'", (int)length,
                      start, lines[i]);
    }
    ck_assert(!wrap_next(&cursor, width, &start, &length));
}

START_TEST(lines_break_at_blanks_and_not_within_brackets)
{
    static const char *const plain[] = {"abc def", "ghi"};
    static const char *const brackets[] = {"lower by 12", "(6 to 18)"};
    static const char *const word[] = {"abcd", "efgh", "i"};
    static const char *const given[] = {"a", "b c"};
    check_lines("abc def ghi", 8, plain, 2);
    check_lines("abc def   ghi  ", 7, plain, 2);
    check_lines("lower by 12 (6 to 18)", 15, brackets, 2);
    check_lines("abcdefghi", 4, word, 3);
    check_lines("a\nb c", 20, given, 2);
    check_lines("", 4, NULL, 0);
    check_lines("   ", 4, NULL, 0);
}
END_TEST

START_TEST(a_paragraph_hangs_under_its_first_line)
{
    struct caught caught;
    paragraph_write(catch_begin(&caught), 2, 3, 14, "- one two three four");
    char *text = catch_end(&caught);
    ck_assert_str_eq(text, "  - one two\n     three\n     four\n");
    free(text);
}
END_TEST

START_TEST(a_table_that_could_not_be_made_is_told)
{
    struct problem problem = {PROBLEM_NONE, ""};
    table_cell(NULL, "x");
    ck_assert_int_eq(table_rows(NULL), 0);
    ck_assert(!table_write(NULL, stdout, 0, 80, &problem));
    ck_assert_str_eq(problem.sentence, "no memory for a table of the report");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("table");
    TCase *tests = tcase_create("table");
    tcase_add_test(tests, columns_are_as_wide_as_their_widest_cell);
    tcase_add_test(tests, widths_are_cells_and_not_bytes);
    tcase_add_test(tests, no_line_is_wider_than_asked_or_ends_with_a_blank);
    tcase_add_test(tests, a_column_without_anything_takes_no_room);
    tcase_add_test(tests, wrapped_cells_go_on_under_themselves);
    tcase_add_test(tests, lines_break_at_blanks_and_not_within_brackets);
    tcase_add_test(tests, a_paragraph_hangs_under_its_first_line);
    tcase_add_test(tests, a_table_that_could_not_be_made_is_told);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
