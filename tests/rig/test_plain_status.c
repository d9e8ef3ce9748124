/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Columns that say whether a reading is good: as they are said (--status), and what is wrong in
 * that. */
#include "decoding.h"

/* Twenty lines of a range and a code that goes by five. */
static const char *stream(const char *const codes[5])
{
    static char text[1000];
    size_t used = (size_t)snprintf(text, sizeof text, "head,code,chest\n");
    for (int i = 0; i < 20; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "%d,%s,%d\n", 412 + i % 7,
                                 codes[i % 5], 300 + i % 3);
    }
    return text;
}

static const char *const numbers[] = {"0", "1", "150", "6000", "7000"};
static const char *const words[] = {"ok", "weak", "ok", "", "ok"};

/* Which of five readings in turn are good. */
static void good_are(const char *status, const char *const codes[5], const char *wanted)
{
    struct decoder_options options = {.dialect = "plain", .columns = "head", .unit = "mm"};
    snprintf(options.status, sizeof options.status, "%s", status);
    struct decoded decoded = decode_with(stream(codes), &options);
    ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
    ck_assert_uint_eq(decoded.count, 20);
    for (size_t i = 0; i < decoded.count; i++) {
        ck_assert_msg((decoded.sample[i].quality[0] == READING_GOOD) == (wanted[i % 5] == '+'),
                      "%s, line %zu", status, i + 1);
    }
    free(decoded.sample);
}

START_TEST(codes_that_are_said_to_be_good)
{
    good_are("code=0", numbers, "+----");
    good_are("code=1/150", numbers, "-++--");
    good_are("code=100..6000", numbers, "--++-");
    good_are("code=100..", numbers, "--+++");
    good_are("code=0/100..200/7000", numbers, "+-+-+");
    good_are("code = 0.0 / 1 ", numbers, "++---");
    good_are("2=0", numbers, "+----");
    good_are("code=ok", words, "+-+++"); /* what is empty says nothing against it */
}
END_TEST

START_TEST(what_is_wrong_in_what_was_said)
{
    static const struct {
        const char *status, *why;
    } cases[] = {
        {"colour=0", "is not there"},
        {"code", "wants its good code, as status=0"},
        {"code=0,code=1", "is named twice"},
        {"code=x", "is no good code"},
        {"code=", "is no good code"},
        {"code=5..x", "is no good code"},
        {"code=..5", "is no good code"},
        {"code=1/2/3/4/5/6/7/8/9/10/11/12/13/14/15/16/17/18/19/20/21/22/23/24/25/26/27/28",
         "is no good code"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct decoder_options options = {.dialect = "plain", .columns = "head", .unit = "mm"};
        snprintf(options.status, sizeof options.status, "%s", cases[i].status);
        struct decoded decoded = decode_with(stream(numbers), &options);
        ck_assert_msg(!decoded.fine, "%s", cases[i].status);
        ck_assert_msg(strstr(decoded.problem.sentence, cases[i].why) != NULL, "%s: %s",
                      cases[i].status, decoded.problem.sentence);
        free(decoded.sample);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plain_status");
    TCase *tests = tcase_create("plain_status");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, codes_that_are_said_to_be_good);
    tcase_add_test(tests, what_is_wrong_in_what_was_said);
    return test_main(suite);
}
