/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a person says of a stream: set by key, written as it is typed, and read again. */
#include "rig/decoder_options.h"
#include "support/test_main.h"

#include <string.h>

/* A value of each, with what a shell must be told of it. */
static const struct {
    const char *key, *value, *words;
} each[] = {
    {"dialect", "bench", "--dialect bench"},
    {"columns", "head=3,chest=5", "--columns head=3,chest=5"},
    {"columns", "my head", "--columns 'my head'"},
    {"columns", "it's", "--columns \"it's\""},
    {"unit", "ft-in", "--unit ft-in"},
    {"time-column", "t [ms]", "--time-column 't [ms]'"},
    {"time-unit", "ms", "--time-unit ms"},
    {"no-echo", "8190", "--no-echo 8190"},
    {"status", "code=0/3..7", "--status code=0/3..7"},
    {"hexadecimal", "", "--hexadecimal"},
    {"line-end", ";", "--line-end ';'"},
    {"layout", "slip,head=u16:mm", "--layout slip,head=u16:mm"},
};

START_TEST(each_is_written_as_it_is_read)
{
    for (size_t i = 0; i < sizeof each / sizeof each[0]; i++) {
        struct decoder_options options, again;
        struct problem problem = {PROBLEM_NONE, ""};
        char text[400];
        memset(&options, 0, sizeof options);
        memset(&again, 0, sizeof again);
        ck_assert(!decoder_options_said(&options));
        ck_assert_msg(decoder_option_set(&options, each[i].key, each[i].value, &problem), "%s: %s",
                      each[i].key, problem.sentence);
        ck_assert(decoder_options_said(&options));
        ck_assert(decoder_options_words(&options, text, sizeof text));
        ck_assert_str_eq(text, each[i].words);
        ck_assert_msg(decoder_options_read(&again, text, &problem), "%s", problem.sentence);
        ck_assert_mem_eq(&options, &again, sizeof options);
        ck_assert(!decoder_options_words(&options, text, 6)); /* no room for all */
    }
}
END_TEST

START_TEST(what_cannot_be_is_named)
{
    static const struct {
        const char *text, *why;
    } cases[] = {
        {"unit cm", "'unit' is no option of a stream"},
        {"--unit", "'--unit' is no option of a stream"},
        {"--colour red", "nothing is called '--colour'"},
        {"--no-echo far", "--no-echo wants a number, not 'far'"},
        {"--unit parsecs-or-more", "'parsecs-or-more...' is too long"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct decoder_options options;
        struct problem problem = {PROBLEM_NONE, ""};
        memset(&options, 0, sizeof options);
        ck_assert(!decoder_options_read(&options, cases[i].text, &problem));
        ck_assert_msg(strstr(problem.sentence, cases[i].why) != NULL, "%s", problem.sentence);
    }
    struct decoder_options options;
    char text[700];
    memset(&options, 0, sizeof options);
    memset(text, 'x', sizeof text - 1); /* a word longer than any is cut, and then is no option */
    text[sizeof text - 1] = '\0';
    ck_assert(!decoder_options_read(&options, text, NULL));
    ck_assert(decoder_options_read(&options, "  ", NULL));
}
END_TEST

/* What is said now goes over what was said; the rest stays. */
START_TEST(what_is_said_goes_over_what_was)
{
    struct decoder_options options, more;
    char text[200];
    memset(&options, 0, sizeof options);
    memset(&more, 0, sizeof more);
    ck_assert(decoder_options_read(&options, "--unit cm --no-echo 500 --columns 1", NULL));
    ck_assert(decoder_options_read(&more, "--unit in --no-echo 80 --hexadecimal", NULL));
    decoder_options_merge(&options, &more);
    ck_assert(decoder_options_words(&options, text, sizeof text));
    ck_assert_ptr_nonnull(strstr(text, "--unit in"));
    ck_assert_ptr_nonnull(strstr(text, "--no-echo 80"));
    ck_assert_ptr_nonnull(strstr(text, "--columns 1"));
    ck_assert_ptr_nonnull(strstr(text, "--hexadecimal"));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("decoder_options");
    TCase *tests = tcase_create("decoder_options");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, each_is_written_as_it_is_read);
    tcase_add_test(tests, what_cannot_be_is_named);
    tcase_add_test(tests, what_is_said_goes_over_what_was);
    return test_main(suite);
}
