/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/options.h"
#include "support/test_main.h"

#include <getopt.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

struct wanted {
    bool loud, shy;
    const char *name;
    char copy[8];
    int count;
    int64_t seed;
    double rate;
    char own[32];
};

static bool take_own(void *of, const char *value, struct problem *problem)
{
    (void)problem;
    snprintf(((struct wanted *)of)->own, sizeof((struct wanted *)of)->own, "%s",
             value != NULL ? value : "bare");
    return value == NULL || strcmp(value, "no") != 0;
}

static const struct option_row rows[] = {
    {"loud", OPTION_YES, OPTION_INTO(wanted, loud)},
    {"not-shy", OPTION_NO, OPTION_INTO(wanted, shy)},
    {"name", OPTION_TEXT, OPTION_INTO(wanted, name)},
    {"copy", OPTION_COPY, OPTION_INTO(wanted, copy)},
    {"count", OPTION_WHOLE, OPTION_INTO(wanted, count), 1, 9},
};
static const struct option_row more[] = {
    {"seed", OPTION_WHOLE, OPTION_INTO(wanted, seed), 0, INFINITY, "a whole number from 0"},
    {"rate", OPTION_NUMBER, OPTION_INTO(wanted, rate), 0.5, 100},
    {"own", OPTION_OWN, .wants = "not no", .take = take_own},
    {"bare", OPTION_OWN_BARE, .take = take_own},
    {"either", OPTION_OWN_EITHER, .wants = "not no", .take = take_own},
    {"other", .kind = OPTION_REFUSED},
    {"other-bare", .kind = OPTION_REFUSED_BARE},
};

static struct wanted wanted;
static struct problem problem;

static int count_of(const char *const *words)
{
    int count = 0;
    while (words[count] != NULL) {
        count++;
    }
    return count;
}

static bool read(const char *const *words)
{
    const struct option_set sets[] = {
        OPTION_SET(rows, &wanted), OPTION_SET(more, &wanted), {NULL, 0, NULL}};
    char *argv[16] = {NULL};
    memcpy(argv, words, (size_t)count_of(words) * sizeof *argv);
    wanted = (struct wanted){.shy = true, .count = 5, .rate = 7};
    problem = (struct problem){PROBLEM_NONE, ""};
    return options_read(sets, count_of(words), argv, &problem);
}

#define READ(...) read((const char *const[]){"try", __VA_ARGS__, NULL})

START_TEST(each_goes_where_its_row_says)
{
    ck_assert(READ("--loud", "--not-shy", "--name", "a", "--copy=1234567", "--count", "9",
                   "--seed=9007199254740992", "--rate", "0.5", "--own", "yes", "word"));
    ck_assert(wanted.loud && !wanted.shy);
    ck_assert_str_eq(wanted.name, "a");
    ck_assert_str_eq(wanted.copy, "1234567");
    ck_assert_int_eq(wanted.count, 9);
    ck_assert_int_eq(wanted.seed, INT64_C(9007199254740992));
    ck_assert_double_eq(wanted.rate, 0.5);
    ck_assert_str_eq(wanted.own, "yes");
    ck_assert_int_eq(optind, 13);
    ck_assert(READ("--bare"));
    ck_assert_str_eq(wanted.own, "bare");
    ck_assert(!wanted.loud && wanted.shy);
    ck_assert(READ("--either", "word"));
    ck_assert_str_eq(wanted.own, "bare");
    ck_assert_int_eq(optind, 2); /* the word is none of the option's */
    ck_assert(READ("--either=3"));
    ck_assert_str_eq(wanted.own, "3");
}
END_TEST

START_TEST(what_cannot_be_meant_is_refused)
{
    static const struct {
        const char *words[4];
        const char *sentence;
    } cases[] = {
        {{"try", "--count", "10"}, "try: --count wants a whole number from 1 to 9, not '10'"},
        {{"try", "--count", "2.5"}, "try: --count wants a whole number from 1 to 9, not '2.5'"},
        {{"try", "--rate", "101"}, "try: --rate wants a number from 0.5 to 100, not '101'"},
        {{"try", "--seed", "-1"}, "try: --seed wants a whole number from 0, not '-1'"},
        {{"try", "--name", ""}, "try: --name wants a value, and what is there is empty"},
        {{"try", "--copy="}, "try: --copy wants a value, and what is there is empty"},
        {{"try", "--copy=12345678"}, "try: what --copy has is too long: 7 bytes at most"},
        {{"try", "--own", "no"}, "try: --own wants not no, not 'no'"},
        {{"try", "--either=no"}, "try: --either wants not no, not 'no'"},
        {{"try", "--other", "x"}, "try: takes no --other"},
        {{"try", "--other-bare"}, "try: takes no --other-bare"},
        {{"try", "word", "--unheard=4", "word"},
         "try: '--unheard' is no option here; 'holdline try --help' says which there are"},
        {{"try", "-x"}, "try: '-x' is no option here; 'holdline try --help' says which there are"},
        {{"try", "word", "--rate"},
         "try: '--rate' wants a value; 'holdline try --help' says which there are"},
        {{"try", "--other-bare=3"},
         "try: '--other-bare' takes no value; 'holdline try --help' says which there are"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ck_assert(!read(cases[i].words));
        ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
        ck_assert_str_eq(problem.sentence, cases[i].sentence);
        ck_assert_int_eq(wanted.count, 5);
        ck_assert_double_eq(wanted.rate, 7);
    }
}
END_TEST

static char order[64];

static bool take_word(void *of, const char *word, struct problem *told)
{
    (void)told;
    size_t used = strlen(order);
    snprintf(order + used, sizeof order - used, "%s%d ", word, ((struct wanted *)of)->count);
    return strcmp(word, "stop") != 0;
}

START_TEST(words_stand_between_options)
{
    const struct option_set sets[] = {
        OPTION_SET(rows, &wanted), OPTION_SET(more, NULL), {NULL, 0, NULL}};
    char *argv[] = {"try", "a", "--count", "2", "--rate=x", "b", "--", "--c", NULL};
    wanted = (struct wanted){.count = 1};
    order[0] = '\0';
    ck_assert(options_read_in_order(sets, 8, argv, take_word, &wanted, &problem));
    ck_assert_str_eq(order, "a1 b2 --c2 ");
    char *stopped[] = {"try", "stop", "a", NULL};
    ck_assert(!options_read_in_order(sets, 3, stopped, take_word, &wanted, &problem));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("options");
    TCase *tests = tcase_create("options");
    tcase_add_test(tests, each_goes_where_its_row_says);
    tcase_add_test(tests, what_cannot_be_meant_is_refused);
    tcase_add_test(tests, words_stand_between_options);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
