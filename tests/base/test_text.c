/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "support/test_main.h"

#include <float.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void expect_clean(const char *source, const char *wanted)
{
    char text[64];
    text_clean(text, sizeof text, source);
    ck_assert_str_eq(text, wanted);
}

START_TEST(cleaning_takes_out_what_a_terminal_obeys)
{
    expect_clean("  two   words \t\n", "two words");
    expect_clean("a\x1b[31mb", "a [31mb");
    expect_clean("a\xC2\x9B"
                 "b",
                 "a b"); /* C1 */
    expect_clean("a\xE2\x80\xAE"
                 "b",
                 "a b"); /* right-to-left override */
    expect_clean("\xC3\xA9t\xC3\xA9", "\xC3\xA9t\xC3\xA9");
    expect_clean("a\xFF"
                 "b",
                 "a\xEF\xBF\xBD"
                 "b");
    expect_clean("\xC0\xAF", "\xEF\xBF\xBD\xEF\xBF\xBD");                 /* overlong */
    expect_clean("\xED\xA0\x80", "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD"); /* surrogate */
    expect_clean("", "");
    expect_clean(" \x7F ", "");
}
END_TEST

START_TEST(cleaning_never_splits_a_character)
{
    char text[5];
    text_clean(text, sizeof text, "abc\xC3\xA9");
    ck_assert_str_eq(text, "abc");
    text_clean(text, sizeof text, "ab\xC3\xA9");
    ck_assert_str_eq(text, "ab\xC3\xA9");
    text_clean(text, 1, "abc");
    ck_assert_str_eq(text, "");
    text_clean(text, sizeof text, "abc defg");
    ck_assert_str_eq(text, "abc");
}
END_TEST

START_TEST(escaping_shows_every_byte_that_is_not_text)
{
    char text[64];
    const char source[] = "a\0b\x1b]\xC3\xA9\xFF\xC2\x9B";
    text_escape(text, sizeof text, source, sizeof source - 1);
    ck_assert_str_eq(text, "a\\x00b\\x1B]\xC3\xA9\\xFF\\xC2\\x9B");
    text_escape(text, 8, "abcdef\x01", 7);
    ck_assert_str_eq(text, "abcdef"); /* an escape is whole or not there */
}
END_TEST

/* Names from the code charts of Unicode; what is not seen goes, what is obeyed leaves a space. */
START_TEST(what_is_not_seen_is_taken_out)
{
    static const char *const unseen[] = {
        "\xC2\xAD",         /* soft hyphen */
        "\xCD\x8F",         /* combining grapheme joiner */
        "\xE2\x80\x8D",     /* zero width joiner */
        "\xE2\x81\xA0",     /* word joiner */
        "\xE3\x85\xA4",     /* Hangul filler */
        "\xEF\xB8\x8F",     /* variation selector 16 */
        "\xEF\xBF\xB9",     /* interlinear annotation anchor */
        "\xEF\xBF\xBE",     /* no character */
        "\xF0\x9F\xBF\xBF", /* no character, in plane 1 */
        "\xF3\xA0\x81\x81", /* tag A */
    };
    static const char *const obeyed[] = {
        "\x1B",         "\xC2\x85",     "\xD8\x9C" /* Arabic letter mark */,
        "\xE2\x80\x8F", "\xE2\x80\xA8", /* line separator */
        "\xE2\x81\xA6",                 /* left-to-right isolate */
    };
    for (size_t i = 0; i < sizeof unseen / sizeof unseen[0]; i++) {
        char text[32];
        snprintf(text, sizeof text, "low%sbars", unseen[i]);
        ck_assert(!text_is_clean(text));
        expect_clean(text, "lowbars");
    }
    for (size_t i = 0; i < sizeof obeyed / sizeof obeyed[0]; i++) {
        char text[32];
        snprintf(text, sizeof text, "low%sbars", obeyed[i]);
        ck_assert(!text_is_clean(text));
        expect_clean(text, "low bars");
    }
    ck_assert(text_is_clean("\xC3\xA9 \xE6\xBC\xA2 e\xCC\x81 \xF0\x9F\x9A\xB2"));
    expect_clean("a\xE2\x80\x8B"
                 "b",
                 "a b"); /* zero width space: words end there */
}
END_TEST

START_TEST(what_is_written_is_escaped_whatever_its_length)
{
    static char source[5000], wanted[20000], got[20000];
    size_t used = 0, put = 0;
    while (used + 8 < sizeof source) {
        used += (size_t)snprintf(source + used, sizeof source - used, "a\x1B\xC3\xA9\n");
        put += (size_t)snprintf(wanted + put, sizeof wanted - put, "a\\x1B\xC3\xA9\n");
    }
    for (int lines = 0; lines < 2; lines++) {
        FILE *stream = fmemopen(got, sizeof got, "w");
        ck_assert_ptr_nonnull(stream);
        text_write(stream, source);
        ck_assert_int_eq(fclose(stream), 0);
        ck_assert_str_eq(got, wanted);
        /* the same in one line */
        for (char *c = source; (c = strchr(c, '\n')) != NULL;) {
            *c = '-';
        }
        for (char *c = wanted; (c = strchr(c, '\n')) != NULL;) {
            *c = '-';
        }
    }
    FILE *stream = fmemopen(got, sizeof got, "w");
    ck_assert_ptr_nonnull(stream);
    text_print(stream, "%s is %.1f\n", "\x9B\xE2\x80\xAE", 1.5);
    ck_assert_int_eq(fclose(stream), 0);
    ck_assert_str_eq(got, "\\x9B\\xE2\\x80\\xAE is 1.5\n");
}
END_TEST

START_TEST(widths_follow_the_characters)
{
    ck_assert_int_eq(text_width("head"), 4);
    ck_assert_int_eq(text_width("\xC3\xA9"), 1);
    ck_assert_int_eq(text_width("e\xCC\x81"), 1);                /* e, combining acute */
    ck_assert_int_eq(text_width("\xE6\x97\xA5\xE6\x9C\xAC"), 4); /* two ideographs */
    ck_assert_int_eq(text_width("\xED\x95\x9C"), 2);             /* a Hangul syllable */
    ck_assert_int_eq(text_width("\xE1\x84\x92\xE1\x85\xA1\xE1\x86\xAB"), 2); /* the same in parts */
    ck_assert_int_eq(text_width("\xF0\x9F\x9A\xB4"), 2);                     /* a bicyclist */
    ck_assert_int_eq(text_width("\xEF\xBC\xA1"), 2);                         /* full-width A */
    ck_assert_int_eq(text_width("\xE2\x80\x8B"), 0);                         /* zero-width space */
    ck_assert_int_eq(text_width("\xE2\x96\x88"), 1);                         /* full block */
    ck_assert_int_eq(text_width("\xD8\xB9\xD9\x8E"), 1);         /* Arabic letter and vowel */
    ck_assert_int_eq(text_width("\xE0\xB8\x81\xE0\xB8\xB4"), 1); /* Thai letter and vowel */
    ck_assert_int_eq(text_width("\xF0\xA0\x80\x80"), 2);         /* ideograph of plane 2 */
    ck_assert_int_eq(text_width("a\xFF"), 2);
}
END_TEST

START_TEST(fitting_cuts_between_characters_and_marks_the_cut)
{
    char text[64];
    ck_assert_int_eq(text_fit(text, sizeof text, "chest", 5, false), 5);
    ck_assert_str_eq(text, "chest");
    ck_assert_int_eq(text_fit(text, sizeof text, "chest", 4, false), 4);
    ck_assert_str_eq(text, "che\xE2\x80\xA6");
    ck_assert_int_eq(text_fit(text, sizeof text, "chest", 4, true), 4);
    ck_assert_str_eq(text, "che.");
    ck_assert_int_eq(text_fit(text, sizeof text, "\xE6\x97\xA5\xE6\x9C\xAC\xE6\x97\xA5", 4, false),
                     3);
    ck_assert_str_eq(text, "\xE6\x97\xA5\xE2\x80\xA6");
    ck_assert_int_eq(text_fit(text, sizeof text, "e\xCC\x81t\xC3\xA9s", 3, true), 3);
    ck_assert_str_eq(text, "e\xCC\x81t.");
    ck_assert_int_eq(text_fit(text, sizeof text, "abc", 1, true), 1);
    ck_assert_str_eq(text, ".");
    ck_assert_int_eq(text_fit(text, sizeof text, "abc", 0, true), 0);
    ck_assert_str_eq(text, "");
    ck_assert_int_eq(text_fit(text, 4, "abcdef", 6, true), 3);
    ck_assert_str_eq(text, "ab.");
}
END_TEST

START_TEST(appending_stays_within_the_buffer)
{
    char text[8];
    size_t used = 0;
    text_append(text, sizeof text, &used, "%s=%d", "ab", 12);
    ck_assert_str_eq(text, "ab=12");
    text_append(text, sizeof text, &used, "%s", "\xC3\xA9\xC3\xA9");
    ck_assert_str_eq(text, "ab=12\xC3\xA9");
    ck_assert_uint_eq(used, 7);
    text_append(text, sizeof text, &used, "more");
    ck_assert_str_eq(text, "ab=12\xC3\xA9");
    used = 0;
    text_append(text, sizeof text, &used, "abcdef\xC3\xA9");
    ck_assert_str_eq(text, "abcdef"); /* not half of the last one */
    ck_assert_uint_eq(used, 6);
    text_copy(text, 4, "ab\xE2\x80\xA6");
    ck_assert_str_eq(text, "ab");
    text_copy(text, sizeof text, "ab\xE2\x80\xA6");
    ck_assert_str_eq(text, "ab\xE2\x80\xA6");
}
END_TEST

/* Bytes that are no text stay as they are: only the beginning of a character is unfinished. */
START_TEST(a_cut_in_what_is_no_text_takes_nothing_out)
{
    uint32_t character = 7;
    ck_assert_uint_eq(text_decode("a", 0, &character), 0); /* at the end there is none */
    ck_assert_uint_eq(character, TEXT_NOT_SOUND);
    static const struct {
        const char *source, *cut;
    } rows[] = {{"abc\x80\x80\x80\x80\x80", "abc\x80\x80\x80\x80"}, /* no character begins */
                {"abcdef\xC0\x80", "abcdef\xC0"},                   /* none begins so */
                {"abcdef\xFF\x80", "abcdef\xFF"},
                {"abcdef\xF4\x8F\xBF\xBF", "abcdef"}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char text[8];
        size_t used = 0;
        text_append(text, sizeof text, &used, "%s", rows[i].source);
        ck_assert_str_eq(text, rows[i].cut);
        ck_assert_uint_eq(used, strlen(rows[i].cut));
    }
}
END_TEST

START_TEST(numbers_are_read_whole_or_not_at_all)
{
    double value = 7;
    ck_assert(text_to_double("412.5", &value));
    ck_assert_double_eq(value, 412.5);
    ck_assert(text_to_double("-1e-3", &value));
    ck_assert_double_eq(value, -0.001);
    ck_assert(text_to_double("+.5", &value));
    ck_assert_double_eq(value, 0.5);
    const char *const none[] = {"",     " 1",  "1 ",    "1mm", "nan", "inf",
                                "0x10", "1,5", "1e999", "--1", ".",   "e5"};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        value = 7;
        ck_assert_msg(!text_to_double(none[i], &value), "'%s' was taken as a number", none[i]);
        ck_assert_double_eq(value, 7);
    }
    int64_t whole = 7;
    ck_assert(text_to_int64("-9223372036854775808", &whole));
    ck_assert(whole == INT64_MIN);
    ck_assert(text_to_int64("+12", &whole));
    ck_assert(whole == 12);
    ck_assert(!text_to_int64("9223372036854775808", &whole));
    ck_assert(!text_to_int64("1.5", &whole));
    ck_assert(!text_to_int64("", &whole));
    ck_assert(!text_to_int64("-", &whole));
}
END_TEST

START_TEST(decimals_are_rounded_and_zero_has_no_sign)
{
    char text[32];
    text_from_double(text, sizeof text, 12.345, 1);
    ck_assert_str_eq(text, "12.3");
    text_from_double(text, sizeof text, -0.04, 1);
    ck_assert_str_eq(text, "0.0");
    text_from_double(text, sizeof text, -0.4, 0);
    ck_assert_str_eq(text, "0");
    text_from_double(text, sizeof text, -0.06, 1);
    ck_assert_str_eq(text, "-0.1");
    text_from_double(text, sizeof text, 12.345, -1); /* none at least, and 20 at most */
    ck_assert_str_eq(text, "12");
    text_from_double(text, sizeof text, 0.5, 21);
    ck_assert_str_eq(text, "0.50000000000000000000");
}
END_TEST

/* Digits of a text without leading and trailing zeros, sign, point and exponent. */
static size_t digit_count(const char *text)
{
    size_t count = 0;
    size_t zeros = 0;
    for (; *text != '\0' && *text != 'e'; text++) {
        if (*text == '0') {
            zeros += count > 0 ? 1 : 0;
        } else if (*text >= '1' && *text <= '9') {
            count += zeros + 1;
            zeros = 0;
        }
    }
    return count;
}

START_TEST(shortest_digits_read_back)
{
    static const struct {
        double value;
        const char *text;
    } known[] = {
        {0.1, "0.1"},
        {0.3, "0.3"},
        {100, "100"},
        {1.0 / 3, "0.3333333333333333"},
        {5e-324, "5e-324"},
        {0.1 + 0.2, "0.30000000000000004"},
        {DBL_MAX, "1.7976931348623157e+308"},
        {-2.5, "-2.5"},
        /* Powers of two where the nearest 16 digits fall to the double below (Steele and White
         * 1990, the uneven gap): found with Python's repr, which prints the shortest. */
        {0x1p-1017, "7.120236347223045e-307"},
        {0x1p-957, "8.209073602596753e-289"},
    };
    char text[40];
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        text_from_double_shortest(text, sizeof text, known[i].value);
        ck_assert_str_eq(text, known[i].text);
    }
    uint64_t bits = 88172645463325252U;
    for (int i = 0; i < 20000; i++) {
        bits ^= bits << 13;
        bits ^= bits >> 7;
        bits ^= bits << 17;
        double value;
        memcpy(&value, &bits, sizeof value);
        if (!isfinite(value)) {
            continue;
        }
        text_from_double_shortest(text, sizeof text, value);
        ck_assert_double_eq(strtod(text, NULL), value);
        /* No text with one digit less comes back. */
        char shorter[40];
        size_t digits = digit_count(text);
        if (digits > 1) {
            snprintf(shorter, sizeof shorter, "%.*e", (int)digits - 2, value);
            ck_assert(strtod(shorter, NULL) != value);
        }
    }
}
END_TEST

START_TEST(numbers_keep_their_point_in_every_locale)
{
    static const char *const with_comma[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "de_DE", "it_IT.UTF-8"};
    bool found = false;
    for (size_t i = 0; i < 4 && !found; i++) {
        found = setlocale(LC_ALL, with_comma[i]) != NULL;
    }
    if (!found) {
        printf("skipped: no locale with a decimal comma is installed\n");
        return;
    }
    char text[32];
    double value;
    size_t used = 0;
    text_append(text, sizeof text, &used, "%.1f", 1.5);
    ck_assert_str_eq(text, "1.5");
    text_from_double(text, sizeof text, 2.25, 2);
    ck_assert_str_eq(text, "2.25");
    ck_assert(text_to_double("0.5", &value));
    ck_assert_double_eq(value, 0.5);
    snprintf(text, sizeof text, "%.1f", 1.5); /* the caller's locale is still there */
    ck_assert_str_eq(text, "1,5");
    setlocale(LC_ALL, "C");
}
END_TEST

/* Nothing fits where there is no room; what is no character is cut at the byte. */
START_TEST(without_room_nothing_is_written)
{
    char text[8] = "before";
    size_t used = 0;
    text_copy(text, 0, "x");
    text_clean(text, 0, "x");
    text_escape(text, 0, "x", 1);
    ck_assert_int_eq(text_fit(text, 0, "x", 3, false), 0);
    text_append(text, 0, &used, "x");
    ck_assert_str_eq(text, "before");
    text_copy(text, sizeof text, "abc\x80\x80\x80\x80\x80\x80");
    ck_assert_str_eq(text, "abc\x80\x80\x80\x80");
    text_copy(text, 3, "\x80\x80\x80\x80");
    ck_assert_str_eq(text, "\x80\x80");
    text_copy(text, 5, "abc\xC3\xA9");
    ck_assert_str_eq(text, "abc");
    used = 0;
    text_append(text, 5, &used, "%s", "\x80\x80\x80\x80\x80\x80\x80");
    ck_assert_uint_eq(used, 4);
    used = 0;
    text_append(text, 5, &used, "%s", "abc\xFFz");
    ck_assert_str_eq(text, "abc\xFF"); /* no beginning of anything */
}
END_TEST

/* A mark needs a cell and its bytes; of what is no text a byte is a cell. */
START_TEST(a_cut_is_marked_where_the_mark_fits)
{
    char text[16];
    ck_assert_int_eq(text_fit(text, sizeof text, "abc", 0, false), 0);
    ck_assert_str_eq(text, "");
    ck_assert_int_eq(text_fit(text, 3, "abcdef", 5, false), 0); /* three bytes and an end */
    ck_assert_str_eq(text, "");
    ck_assert_int_eq(text_fit(text, sizeof text, "a\xFF\xFF\xFFz", 3, true), 3);
    ck_assert_str_eq(text, "a\xFF.");
}
END_TEST

/* White space of all of Unicode is one blank between words (its list, chapter 6.2). */
START_TEST(a_files_kind_is_no_matter_of_capitals)
{
    ck_assert(text_is_named("plan.pdf", ".pdf") && text_is_named("PLAN.PDF", ".pdf"));
    ck_assert(text_is_named("A-Sheet.Pdf", "-sheet.pdf") && text_is_named(".pdf", ".pdf"));
    ck_assert(!text_is_named("planxpdf", ".pdf") && !text_is_named("pdf", ".pdf"));
    ck_assert(!text_is_named("plan.pdf ", ".pdf") && !text_is_named("plan.p@f", ".p`f"));
}
END_TEST

START_TEST(every_blank_is_a_blank)
{
    static const char *const blanks[] = {"\t",           "\xC2\xA0",     "\xE1\x9A\x80",
                                         "\xE2\x80\x80", "\xE2\x80\x8A", "\xE2\x80\x8B",
                                         "\xE2\x80\xA8", "\xE2\x80\xA9", "\xE2\x80\xAF",
                                         "\xE2\x81\x9F", "\xE3\x80\x80", "\xEF\xBB\xBF"};
    for (size_t i = 0; i < sizeof blanks / sizeof blanks[0]; i++) {
        char source[16], text[16];
        snprintf(source, sizeof source, "a%sb", blanks[i]);
        text_clean(text, sizeof text, source);
        ck_assert_msg(strcmp(text, "a b") == 0, "%zu: '%s'", i, text);
    }
    char text[16];
    text_clean(text, sizeof text,
               "a\xE2\x80\x90"
               "b"); /* a hyphen, right behind them */
    ck_assert_str_eq(text, "a\xE2\x80\x90"
                           "b");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("text");
    TCase *one = tcase_create("text");
    tcase_add_test(one, cleaning_takes_out_what_a_terminal_obeys);
    tcase_add_test(one, cleaning_never_splits_a_character);
    tcase_add_test(one, escaping_shows_every_byte_that_is_not_text);
    tcase_add_test(one, what_is_not_seen_is_taken_out);
    tcase_add_test(one, what_is_written_is_escaped_whatever_its_length);
    tcase_add_test(one, widths_follow_the_characters);
    tcase_add_test(one, fitting_cuts_between_characters_and_marks_the_cut);
    tcase_add_test(one, appending_stays_within_the_buffer);
    tcase_add_test(one, a_cut_in_what_is_no_text_takes_nothing_out);
    tcase_add_test(one, numbers_are_read_whole_or_not_at_all);
    tcase_add_test(one, decimals_are_rounded_and_zero_has_no_sign);
    tcase_add_test(one, shortest_digits_read_back);
    tcase_add_test(one, numbers_keep_their_point_in_every_locale);
    tcase_add_test(one, without_room_nothing_is_written);
    tcase_add_test(one, a_cut_is_marked_where_the_mark_fits);
    tcase_add_test(one, a_files_kind_is_no_matter_of_capitals);
    tcase_add_test(one, every_blank_is_a_blank);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
