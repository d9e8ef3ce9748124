/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A sensor that may have slipped: the question, and what came of the answer. */
#include "say/say.h"
#include "say/slip.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

START_TEST(builds_that_disagree_are_asked_about)
{
    struct session_record *record = malloc(sizeof *record);
    struct analysis *analysis = calloc(1, sizeof *analysis);
    char text[SAY_SIZE];
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->setup_count = 1;
    record->setup[0].number = 3;
    record->build_count = 2;
    for (int b = 0; b < 2; b++) {
        record->build[b].setup = 0;
        record->build[b].ordinal = b + 1;
    }
    analysis->channel_count = 2;
    strcpy(analysis->channel_name[1], "chest");
    say_slip(text, sizeof text, record, analysis);
    ck_assert_str_eq(text, "");
    analysis->slip[1] =
        (struct slip){.asked = true, .earlier = 0, .later = 1, .apart_mm = 6.6, .beside = false};
    say_slip(text, sizeof text, record, analysis);
    ck_assert_str_eq(text, "chest: setup 3, build 2 is 7 mm higher than build 1: sensor or rider?");
    analysis->slip[1].apart_mm = -6.6;
    analysis->slip[1].beside = true;
    say_slip(text, sizeof text, record, analysis);
    ck_assert_str_eq(text, "chest: setup 3, build 2 is 7 mm lower than build 1, and nothing else "
                           "moved: sensor or rider?");
    record->build_count = 1; /* the later was taken back */
    say_slip(text, sizeof text, record, analysis);
    ck_assert_str_eq(text, "");
    analysis->step_open[1] = 4;
    say_step_open(text, sizeof text, analysis, 1);
    ck_assert_str_eq(text,
                     "chest: its sensor moved within hold 4: leave that hold out, or read the "
                     "plate on the next build.");
    free(record);
    free(analysis);
}
END_TEST

START_TEST(an_answer_says_what_follows)
{
    ck_assert_str_eq(say_slipped(ANSWER_NO),
                     "no sensor slipped: the rider sat differently, and that counts as it is");
    ck_assert_str_eq(say_slipped(ANSWER_YES),
                     "a sensor slipped: builds since are not tied; read the plate (p) on each");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("slip");
    TCase *tests = tcase_create("slip");
    tcase_add_test(tests, builds_that_disagree_are_asked_about);
    tcase_add_test(tests, an_answer_says_what_follows);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
