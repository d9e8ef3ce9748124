/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/plain_quotes.h"
#include "support/test_main.h"

/* Fields by RFC 4180, section 2, rules 5 to 7; what is no such field stays as it is. */
static const struct {
    const char *line, *wanted;
} lines[] = {
    {"1,\"a,b\",2", "1,\"a b\",2"},
    {"\"a;b\";2", "\"a b\";2"},
    {"1,\"say \"\"x\"\"\",2", "1,\"say 'x'\",2"},
    {"1,\"35,61\",2", "1,\"35.61\",2"},
    {"1,\"1,234\",2", "1,\"? ???\",2"}, /* thousands, or a decimal? */
    {"1,\"1,234.5\",2", "1,\"? ???.?\",2"},
    {"1,\"1,234,567\",2", "1,\"? ??? ???\",2"},
    {"1,\"47.1,8.234\",2", "1,\"47.1.8.234\",2"}, /* two numbers of a text */
    {"1,\"1,2345\",2", "1,\"1.2345\",2"},
    {"1,\"12,5 mm\", \"3,25\"", "1,\"12.5 mm\", \"3.25\""},
    {"1,\"5,x\",2", "1,\"5 x\",2"},
    {"1,\"1,x234\",2", "1,\"1 x234\",2"},
    {"1,\"1,23x45\",2", "1,\"1.23x45\",2"},
    {"1,\"1,234.5 mm\",2", "1,\"? ???.? mm\",2"},
    {"12.5\",13.2\",1", "12.5\",13.2\",1"}, /* inches */
    {"{\"d\":412,\"u\":\"cm\"}", "{\"d\":412,\"u\":\"cm\"}"},
    {"\"a,b", "\"a,b"}, /* never closed */
    {"\"a,b\"c,1", "\"a,b\"c,1"},
    {"\",\"", "\" \""},
    {"\"\",1", "\"\",1"},
};

START_TEST(delimiters_in_quoted_fields_divide_nothing)
{
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        char scratch[64];
        struct span line = {lines[i].line, strlen(lines[i].line)};
        ck_assert(plain_unquote(&line, scratch, sizeof scratch));
        ck_assert_msg(span_is(line, lines[i].wanted), "%s: %.*s", lines[i].line, (int)line.length,
                      line.text);
    }
    char scratch[4];
    struct span line = {"\"a,b\"", 5};
    ck_assert(!plain_unquote(&line, scratch, sizeof scratch));
}
END_TEST

START_TEST(a_field_that_may_be_thousands_is_found_by_its_place)
{
    static const struct {
        const char *line, *text;
        int field;
        char delimiter;
    } found[] = {
        {"0.02,\"1,234.5\"", "1,234.5", 2, ','},
        {"\"-1,234\";2", "-1,234", 1, ','},
        {"\"a;b\";\"c\"; \"1,234 mm\"", "1,234 mm", 3, ';'},
        {"1,\"35,61\",2", NULL, 0, 0},
        {"1,234.5", NULL, 0, 0}, /* no marks: two fields */
    };
    for (size_t i = 0; i < sizeof found / sizeof found[0]; i++) {
        struct plain_unclear unclear;
        struct span line = {found[i].line, strlen(found[i].line)};
        ck_assert_int_eq(plain_unclear_field(line, &unclear), found[i].text != NULL);
        if (found[i].text != NULL) {
            ck_assert(span_is(unclear.text, found[i].text));
            ck_assert_int_eq(unclear.field, found[i].field);
            ck_assert_int_eq(unclear.delimiter, found[i].delimiter);
        }
    }
}
END_TEST

START_TEST(a_field_that_goes_on_in_the_next_line_is_found)
{
    static const struct {
        const char *line;
        int field;
    } open[] = {{"\"time (s)\",\"head", 2}, {"1;2; \"a", 3}, {"\"", 1},  {"\"a\",\"b\"", 0},
                {"1,5\" tube", 0},          {"1,\"a\"b", 0}, {"1,2", 0}, {"", 0}};
    for (size_t i = 0; i < sizeof open / sizeof open[0]; i++) {
        struct span line = {open[i].line, strlen(open[i].line)};
        ck_assert_int_eq(plain_open_field(line), open[i].field);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plain_quotes");
    TCase *tests = tcase_create("plain_quotes");
    tcase_add_test(tests, delimiters_in_quoted_fields_divide_nothing);
    tcase_add_test(tests, a_field_that_may_be_thousands_is_found_by_its_place);
    tcase_add_test(tests, a_field_that_goes_on_in_the_next_line_is_found);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
