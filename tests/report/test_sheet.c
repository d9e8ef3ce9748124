/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the rider takes home, in words: only what a rider can use, and nothing left unsaid. */
#include "example_report.h"

#include "report/sheet.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* One text is in the section, the other is not; NULL: no matter. */
static void check(report_section *section, const char *there, const char *not_there)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct caught caught;
    struct paper paper;
    paper_begin(&paper, &paper_text, catch_begin(&caught), 200);
    ck_assert(section(&paper, &input, &problem));
    paper_end(&paper);
    char *text = catch_end(&caught);
    ck_assert_msg(there == NULL || strstr(text, there) != NULL, "'%s' is not in: %s", there, text);
    ck_assert_msg(not_there == NULL || strstr(text, not_there) == NULL, "'%s' is in: %s", not_there,
                  text);
    free(text);
}

START_TEST(the_fitters_own_words_stay_with_the_fitter)
{
    check(section_heading, "Watch for: left knee", NULL);
    check(sheet_heading, "3 setups tried in 9 holds", "Watch for");
    check(sheet_heading, "R-07", "build");
}
END_TEST

START_TEST(differences_are_in_a_riders_words)
{
    struct setup_difference *head = &analysis->free_heights[0].difference[1];
    check(sheet_evidence, "against setup 1: lower by 12 mm (6 to 18)", "more hold");
    head->verdict = VERDICT_CANNOT_TELL;
    head->advice = ADVICE_MORE_HOLDS;
    head->advice_holds = 8;
    check(sheet_evidence, "likely 12 mm lower, but that may be chance", "more hold");
    head->difference = 3;
    check(sheet_evidence, "likely 3 mm higher, but that may be chance", NULL);
    head->verdict = VERDICT_LESS_THAN_MATTERS;
    check(sheet_evidence, "against setup 1: no difference that matters", NULL);
}
END_TEST

START_TEST(sight_that_was_not_asked_about_is_told)
{
    check(sheet_evidence, "sees ahead: strained", "NOT ASKED");
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_SEES_AHEAD] = (double)NAN;
    }
    check(sheet_evidence, "sees ahead: NOT ASKED", "sees ahead: -");
    record->rating_count = 0;
    check(sheet_evidence, "sees ahead: NOT ASKED", NULL);
    check(sheet_evidence, "effort and discomfort: not asked", NULL);
}
END_TEST

START_TEST(what_must_not_be_passed_over_stands_first)
{
    at_ease();
    check(sheet_attention, NULL, "Look at this first");
    check(sheet_practice, "week", "Not on this setup");
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_SEES_AHEAD] = SEES_STRAINED;
        record->rating[i].value[RATING_NUMB_HANDS] = ANSWER_YES;
    }
    check(sheet_attention, "Seeing ahead was a strain", "FAILED");
    check(sheet_attention, "It made you numb (hands)", NULL);
    check(sheet_practice, "Not on this setup yet: it made you numb (hands)", "week");
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_SEES_AHEAD] = SEES_NO;
        record->rating[i].value[RATING_NUMB_SADDLE] = ANSWER_YES;
    }
    check(sheet_attention, "FAILED: you cannot see ahead", "strain");
    check(sheet_attention, "numb (hands and saddle)", NULL);
    input.chosen_setup = 0;
    record->settings.chosen_setup = 0;
    check(sheet_attention, NULL, "Look at this first");
}
END_TEST

/* The target is 884 and 771 mm; head +10 and -20, chest +8 and none below. */
START_TEST(the_band_is_where_practice_speaks_of_it)
{
    at_ease();
    struct setup_estimate *head = &analysis->free_heights[0].setup[1];
    head->mean = 872;
    check(sheet_practice,
          "The band, in mm above the bottom bracket: head 864 to 894, chest 779 at most.",
          "not in that band");
    head->mean = 860;
    check(sheet_practice, "not in that band (head below it)", "You were in the band");
    check(sheet_practice, "without a gauge: begin with five holds of 30 s", NULL);
    analysis->free_heights[1].setup[1].mean = 790;
    check(sheet_practice, "not in that band (head below it, chest above it)", NULL);
    record->band[0].cue[0].band_above_mm = (double)INFINITY;
    check(sheet_practice, "head 864 at least", NULL);
    for (int hold = 0; hold < record->hold_count; hold++) {
        record->hold[hold].band = -1;
    }
    check(sheet_practice, NULL, "The band,");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sheet");
    TCase *tests = tcase_create("sheet");
    tcase_add_checked_fixture(tests, begin_chosen, end);
    tcase_add_test(tests, the_fitters_own_words_stay_with_the_fitter);
    tcase_add_test(tests, differences_are_in_a_riders_words);
    tcase_add_test(tests, sight_that_was_not_asked_about_is_told);
    tcase_add_test(tests, what_must_not_be_passed_over_stands_first);
    tcase_add_test(tests, the_band_is_where_practice_speaks_of_it);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
