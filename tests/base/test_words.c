/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/words.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

START_TEST(a_line_falls_into_words)
{
    struct words words;
    struct problem problem;
    ck_assert(
        words_split("  rider K7 \"Anna \\\"B\\\" \\\\\" watch_for=\"neck # pain\" n=-3.5 # rest",
                    &words, &problem));
    ck_assert_int_eq(words.count, 5);
    ck_assert_ptr_null(words.word[0].key);
    ck_assert_str_eq(words.word[0].value, "rider");
    ck_assert_str_eq(words.word[1].value, "K7");
    ck_assert_str_eq(words.word[2].value, "Anna \"B\" \\");
    ck_assert(words.word[2].quoted);
    ck_assert_str_eq(words.word[3].key, "watch_for");
    ck_assert_str_eq(words.word[3].value, "neck # pain");
    ck_assert_str_eq(words_value(&words, "n"), "-3.5");
    ck_assert_ptr_null(words_value(&words, "rider"));
    ck_assert(words_split("", &words, &problem));
    ck_assert_int_eq(words.count, 0);
    ck_assert(words_split("# only a comment", &words, &problem));
    ck_assert_int_eq(words.count, 0);
    ck_assert(words_split("a# b= =c \"k=v\" x=\"\" file:p?a=1", &words, &problem));
    ck_assert_int_eq(words.count, 6);
    ck_assert_str_eq(words.word[0].value, "a#");
    ck_assert_str_eq(words.word[1].key, "b");
    ck_assert_str_eq(words.word[1].value, "");
    ck_assert_ptr_null(words.word[2].key);
    ck_assert_str_eq(words.word[2].value, "=c");
    ck_assert_ptr_null(words.word[3].key);
    ck_assert_str_eq(words_value(&words, "x"), "");
    ck_assert_str_eq(words.word[5].value, "file:p?a=1");
}
END_TEST

static void expect_refused(const char *line, const char *part)
{
    struct words words;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert_msg(!words_split(line, &words, &problem), "taken: %s", line);
    ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
    ck_assert_msg(strstr(problem.sentence, part) != NULL, "%s", problem.sentence);
}

START_TEST(what_is_wrong_is_named_with_its_place)
{
    expect_refused("note \"open", "column 6");
    expect_refused("note \"a\"b", "column 8");
    expect_refused("note a\"b", "column 7");
    char line[6000];
    memset(line, 'x', sizeof line - 1);
    line[sizeof line - 1] = '\0';
    expect_refused(line, "longer than");
    for (size_t i = 0; i + 1 < sizeof line; i += 2) {
        line[i] = ' ';
    }
    expect_refused(line, "words");
    for (size_t i = 0; i + 1 < sizeof line; i++) {
        line[i] = i % 401 == 0 ? ' ' : 'x';
    }
    expect_refused(line, "line is longer");
}
END_TEST

START_TEST(numbers_carry_their_unit)
{
    double value = 0;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(words_number("60s", "s", &value, &problem));
    ck_assert_double_eq(value, 60);
    ck_assert(words_number("1.5", "mm", &value, &problem));
    ck_assert_double_eq(value, 1.5);
    ck_assert(words_number("-3mm", "mm", &value, &problem));
    ck_assert_double_eq(value, -3);
    ck_assert(words_number("1e3", "", &value, &problem));
    ck_assert_double_eq(value, 1000);
    ck_assert(!words_number("3cm", "mm", &value, &problem));
    ck_assert(strstr(problem.sentence, "'3cm'") != NULL && strstr(problem.sentence, "mm") != NULL);
    ck_assert(!words_number("mm", "mm", &value, &problem));
    ck_assert(!words_number("", "mm", &value, &problem));
    ck_assert(!words_number("3mm", "", &value, &problem));
    ck_assert(!words_number("1.2.3", "", &value, &problem));
    ck_assert(!words_number("1e999", "", &value, &problem));
}
END_TEST

START_TEST(quoted_texts_come_back)
{
    static const char *const texts[] = {"plain", "two words", "",
                                        "#5",    "a\"b",      "back\\slash",
                                        "k=v",   "=x",        "\xC3\xA9t\xC3\xA9 long",
                                        "a#b",   "\\\"",      "file:x?y=1"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        char quoted[64];
        char line[192];
        struct words words;
        words_quote(quoted, sizeof quoted, texts[i]);
        snprintf(line, sizeof line, "note %s v=%s end", quoted, quoted);
        ck_assert_msg(words_split(line, &words, NULL), "%s", line);
        ck_assert_int_eq(words.count, 4);
        ck_assert_ptr_null(words.word[1].key);
        ck_assert_str_eq(words.word[1].value, texts[i]);
        ck_assert_str_eq(words.word[2].key, "v");
        ck_assert_str_eq(words.word[2].value, texts[i]);
    }
    char small[6];
    words_quote(small, sizeof small, "a b c d");
    ck_assert_str_eq(small, "\"a b\"");
}
END_TEST

/* As a shell has them, whatever stands in them. */
START_TEST(texts_come_back_from_a_shell)
{
    static const char *const texts[] = {
        "plain/s.db", "two words", "",  "virtual:winter?seed=7&speed=1",
        "it's",       "$HOME`x`",  "*", "a\\\"b;c|d\n~"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        char quoted[64], line[128], got[64] = "";
        words_quote_for_shell(quoted, sizeof quoted, texts[i]);
        ck_assert_int_eq(quoted[0] == '\'', i > 0);
        snprintf(line, sizeof line, "printf %%s %s", quoted);
        FILE *shell = popen(line, "r");
        ck_assert_ptr_nonnull(shell);
        got[fread(got, 1, sizeof got - 1, shell)] = '\0';
        pclose(shell);
        ck_assert_str_eq(got, texts[i]);
    }
}
END_TEST

/* An exponent is one only with figures behind it. */
START_TEST(an_exponent_belongs_to_its_number)
{
    struct problem problem = {PROBLEM_NONE, ""};
    double value;
    ck_assert(words_number("1e3", "", &value, &problem) && value == 1000.0);
    ck_assert(words_number("1E+3", "", &value, &problem) && value == 1000.0);
    ck_assert(words_number("25e-1", "", &value, &problem) && value == 2.5);
    ck_assert(words_number("3e", "e", &value, &problem) && value == 3.0);
    ck_assert(!words_number("3e+", "", &value, &problem));
    ck_assert(!words_number("e3", "", &value, &problem));
    ck_assert(!words_number("1111111111222222222233333333334444444444555555555566666666667777", "",
                            &value, &problem));
}
END_TEST

/* Eight words of the longest, and no more: a word, a key or a word's end that finds no room. */
START_TEST(words_have_room_for_so_much)
{
    static const struct {
        int longest; /* words of WORD_SIZE - 1 */
        int length;  /* of one more, 0: none */
        const char *behind, *why;
    } cases[] = {
        {8, 0, "", NULL},
        {8, 0, " b", "the line is longer than"},
        {8, 0, " k=1", " is too long"},
        {7, 510, " b", "the line is longer than"}, /* nothing is left for its end */
        {7, 511, "", NULL},
        {7, 512, "", " is longer than 511 bytes"},
        {0, 512, "=1", " is too long"},
        {0, 0, "\"a\"b", "a blank is missing after the quote"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        static char line[2 * sizeof((struct words *)0)->storage];
        struct words words;
        struct problem problem = {PROBLEM_NONE, ""};
        size_t used = 0;
        for (int w = 0; w <= cases[i].longest; w++) {
            int length = w < cases[i].longest ? WORD_SIZE - 1 : cases[i].length;
            memset(line + used, 'a', (size_t)length);
            used += (size_t)length;
            line[used++] = ' ';
        }
        strcpy(line + (used > 0 ? used - 1 : 0), cases[i].behind);
        bool good = words_split(line, &words, &problem);
        ck_assert_msg(good == (cases[i].why == NULL), "case %zu: %s", i, problem.sentence);
        ck_assert(good || strstr(problem.sentence, cases[i].why) != NULL);
    }
    struct words words;
    struct problem problem = {PROBLEM_NONE, ""};
    char quoted[3] = "";
    words_quote(quoted, 2, "a b");
    ck_assert_str_eq(quoted, "");
    words_quote(quoted, sizeof quoted, "a b");
    ck_assert_str_eq(quoted, "\"\"");
    ck_assert(words_split("a\tb\r\nc", &words, &problem));
    ck_assert_int_eq(words.count, 3);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("words");
    TCase *one = tcase_create("words");
    tcase_add_test(one, a_line_falls_into_words);
    tcase_add_test(one, what_is_wrong_is_named_with_its_place);
    tcase_add_test(one, numbers_carry_their_unit);
    tcase_add_test(one, quoted_texts_come_back);
    tcase_add_test(one, texts_come_back_from_a_shell);
    tcase_add_test(one, an_exponent_belongs_to_its_number);
    tcase_add_test(one, words_have_room_for_so_much);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
