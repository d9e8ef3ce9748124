/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Fields and lines as boards print them, taken apart: what is a number, a time, a word for nothing,
 * and what only looks like one. */
#include "rig/plain_tokens.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

static struct span span_of(const char *text)
{
    return (struct span){text, strlen(text)};
}

/* 45 001 s are 12:30:01; 2026-01-10 18:00 UTC is 1 768 068 000 s after 1970. */
static const struct {
    const char *field;
    enum token_kind kind;
    bool comma_too;
    int64_t value; /* of a number in thousandths, of a time in us */
} fields[] = {
    {"412", TOKEN_NUMBER, false, 412000},
    {"412,5", TOKEN_NUMBER, true, 412500},
    {"12:30:01", TOKEN_CALENDAR, false, INT64_C(45001000000)},
    {"12:30:01.", TOKEN_CALENDAR, false, INT64_C(45001000000)},
    {"12:30:01.x", TOKEN_CALENDAR, false, INT64_C(45001000000)},
    {"12:30:01,5", TOKEN_CALENDAR, true, INT64_C(45001500000)},
    {"12:30:01 x", TOKEN_CALENDAR, true, INT64_C(45001000000)},
    {"12:30:01,x", TOKEN_CALENDAR, true, INT64_C(45001000000)},
    {"12:30:01,5", TOKEN_SEVERAL, false, 0},
    {"12:60:01", TOKEN_SEVERAL, false, 0}, /* no minute 60 */
    {"12:30:61", TOKEN_SEVERAL, false, 0}, /* and no second 61 */
    {"12:30", TOKEN_SEVERAL, false, 0},
    {"2026-01-10T18:00:00Z", TOKEN_CALENDAR, false, INT64_C(1768068000000000)},
    {"2026-01-10t18:00:00z", TOKEN_CALENDAR, false, INT64_C(1768068000000000)},
    {"2026-01-10 18:00:00", TOKEN_CALENDAR, false, INT64_C(1768068000000000)},
    {"2026-01-10 is today", TOKEN_CALENDAR, false, INT64_C(1768003200000000)},
    {"2026-01-10 18:00:00.5+01:00", TOKEN_CALENDAR, false, INT64_C(1768064400500000)},
    {"1.5.x", TOKEN_NUMBER_IN, false, 1500},
    {"v 1.0.2", TOKEN_TEXT, false, 0}, /* a version */
    {"x_412", TOKEN_TEXT, false, 0},
    {"x.5", TOKEN_TEXT, false, 0},
    {"..5", TOKEN_TEXT, false, 0},
    {"0x3f", TOKEN_TEXT, false, 0},
    {"2nd 412", TOKEN_NUMBER_IN, false, 412000},
    {"400-412", TOKEN_SEVERAL, false, 0},
    {"-412 mm", TOKEN_NUMBER_IN, false, -412000},
    {"nan", TOKEN_NO_READING, false, 0},
    {"", TOKEN_EMPTY, false, 0},
    {"-", TOKEN_NO_READING, false, 0},
    {"+", TOKEN_TEXT, false, 0},
};

START_TEST(what_a_field_holds)
{
    for (size_t i = 0; i < sizeof fields / sizeof fields[0]; i++) {
        struct token token;
        int64_t milli = 0;
        plain_read_field(span_of(fields[i].field), fields[i].comma_too, &token);
        ck_assert_msg(token.kind == fields[i].kind, "%s: kind %d", fields[i].field, token.kind);
        if (token.kind == TOKEN_CALENDAR) {
            ck_assert_msg(token.calendar_us == fields[i].value, "%s: %lld us", fields[i].field,
                          (long long)token.calendar_us);
        } else if (token.kind == TOKEN_NUMBER || token.kind == TOKEN_NUMBER_IN) {
            ck_assert(decimal_scale(&token.number, 1000, INT64_MAX / 4, &milli));
            ck_assert_msg(milli == fields[i].value, "%s: %lld", fields[i].field, (long long)milli);
        }
    }
}
END_TEST

/* So many figures behind a date are no time of it, whatever follows. */
START_TEST(a_time_that_never_ends_is_none)
{
    char field[100] = "2026-01-10 18:00:00.";
    struct token token;
    memset(field + strlen(field), '5', 60);
    plain_read_field(span_of(field), false, &token);
    ck_assert_int_eq(token.kind, TOKEN_SEVERAL);
}
END_TEST

/* 'nan', 'inf', 'null' and 'ovf' keep a number's place between blanks. */
START_TEST(words_that_keep_a_numbers_place)
{
    static const char *const words[] = {"nan", "INF", "null", "ovf"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        char line[60];
        struct token token;
        snprintf(line, sizeof line, "head %s chest 296", words[i]);
        struct span rest = span_of(line);
        ck_assert(plain_next_number(&rest, &token));
        ck_assert_int_eq(token.kind, TOKEN_NO_READING);
        ck_assert(span_is(token.before, "head") && span_is(token.text, words[i]));
        ck_assert(plain_next_number(&rest, &token));
        ck_assert(token.kind == TOKEN_NUMBER_IN && span_is(token.before, "chest"));
        ck_assert(!plain_next_number(&rest, &token));
    }
}
END_TEST

/* What divides a line, and into how many columns. */
START_TEST(how_a_line_is_divided)
{
    static const struct {
        const char *line;
        char delimiter;
        int columns;
    } lines[] = {
        {"412 296", ' ', 2},     {"412,296", ',', 2},      {"a;1,5;b", ';', 3},
        {"\"d\": 412,", ' ', 1}, {"1 2,3 4", ' ', 4},      {"a,b", ',', 0},
        {"12:00:01,x", ',', 2},  {"head 412\tx", '\t', 2}, {"nothing", ' ', 0},
    };
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        struct plain_shape shape = plain_shape_of(span_of(lines[i].line));
        ck_assert_msg(shape.delimiter == lines[i].delimiter && shape.columns == lines[i].columns,
                      "%s: '%c' %d", lines[i].line, shape.delimiter, shape.columns);
    }
}
END_TEST

START_TEST(what_a_line_is_cleaned_of)
{
    char scratch[8];
    struct span line = span_of("\x1b[0m412\x1b]x\a");
    ck_assert(plain_prepare(&line, scratch, sizeof scratch));
    ck_assert(span_is(line, "412"));
    line = span_of("\x1b[0m412345678"); /* more than scratch has room for */
    ck_assert(!plain_prepare(&line, scratch, sizeof scratch));
    line = span_of("4\x01"); /* noise */
    ck_assert(!plain_prepare(&line, scratch, sizeof scratch));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plain tokens");
    TCase *tests = tcase_create("plain tokens");
    tcase_add_test(tests, what_a_field_holds);
    tcase_add_test(tests, a_time_that_never_ends_is_none);
    tcase_add_test(tests, words_that_keep_a_numbers_place);
    tcase_add_test(tests, how_a_line_is_divided);
    tcase_add_test(tests, what_a_line_is_cleaned_of);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
