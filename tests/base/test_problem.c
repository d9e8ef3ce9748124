/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/memory.h"
#include "base/problem.h"
#include "support/test_main.h"

#include <string.h>

START_TEST(a_problem_is_a_sentence_with_a_kind)
{
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(!problem_set(&problem, "line %d: '%s' is no number", 3, "x"));
    ck_assert_int_eq(problem.kind, PROBLEM_FAILED);
    ck_assert_str_eq(problem.sentence, "line 3: 'x' is no number");
    ck_assert(!problem_usage(&problem, "what is '%s'?", "\x1b[2J"));
    ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
    ck_assert_str_eq(problem.sentence, "what is '\\x1B[2J'?");
    ck_assert(!problem_prefix(&problem, "%s:%d", "a.script", 7));
    ck_assert_str_eq(problem.sentence, "a.script:7: what is '\\x1B[2J'?");
    ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
}
END_TEST

START_TEST(a_question_says_how_it_is_answered)
{
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(!problem_ask(&problem, "%d mm: a slip?", 63));
    ck_assert_str_eq(problem.sentence, "63 mm: a slip? (sure=yes takes it)");
    problem_prefix(&problem, "a.script:7");
    ck_assert_int_eq(problem.kind, PROBLEM_ASKED);
    ck_assert(!problem_ask(NULL, "unheard"));
}
END_TEST

START_TEST(nobody_needs_to_listen_and_long_texts_are_cut)
{
    ck_assert(!problem_set(NULL, "unheard"));
    ck_assert(!problem_prefix(NULL, "unheard"));
    char text[2000];
    memset(text, 'a', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    struct problem problem;
    problem_set(&problem, "%s", text);
    ck_assert_uint_eq(strlen(problem.sentence), sizeof problem.sentence - 1);
    memset(text, '\x01', sizeof text - 1);
    problem_set(&problem, "%s", text);
    ck_assert_uint_lt(strlen(problem.sentence), sizeof problem.sentence);
    ck_assert_int_eq(strncmp(problem.sentence, "\\x01\\x01", 8), 0);
}
END_TEST

/* Where something is, said of a problem without a kind, makes it one; memory that lacked is one. */
START_TEST(a_place_makes_a_problem)
{
    struct problem problem = {PROBLEM_NONE, "odd"};
    ck_assert(!problem_prefix(&problem, "line %d", 3));
    ck_assert_int_eq(problem.kind, PROBLEM_FAILED);
    ck_assert_str_eq(problem.sentence, "line 3: odd");
    long before = memory_lacks();
    ck_assert(memory_sufficed(before, &problem));
    memory_note_lack();
    ck_assert(!memory_sufficed(before, &problem));
    ck_assert_ptr_eq(strstr(problem.sentence, "there was no memory for all of it"),
                     problem.sentence);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("problem");
    TCase *one = tcase_create("problem");
    tcase_add_test(one, a_problem_is_a_sentence_with_a_kind);
    tcase_add_test(one, a_question_says_how_it_is_answered);
    tcase_add_test(one, nobody_needs_to_listen_and_long_texts_are_cut);
    tcase_add_test(one, a_place_makes_a_problem);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
