/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the rider takes home, in words: only what a rider can use, and nothing left unsaid. */
#include "example_report.h"

#include "base/text.h"
#include "report/digest.h"
#include "report/sheet.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

START_TEST(the_fitters_own_words_stay_with_the_fitter)
{
    check_section(section_heading, "Watch for: left knee", NULL);
    check_section(sheet_heading, "3 setups tried in 9 holds", "Watch for");
    check_section(sheet_heading, "R-07", "build");
    input.fitter = "The winter room";
    check_section(sheet_heading, "The winter room", NULL);
    record->started_ms = INT64_C(1768085400000); /* date -u -d @1768085400: 10 January, 22:50 */
    check_section(sheet_heading, "10 January 2026", NULL);
    setenv("TZ", "<+02>-2", 1);                                    /* two hours ahead */
    check_section(sheet_heading, "11 January 2026", "10 January"); /* where it is read */
    unsetenv("TZ");
}
END_TEST

START_TEST(differences_are_in_a_riders_words)
{
    struct setup_difference *head = &analysis->free_heights[0].difference[1];
    check_section(sheet_evidence, "against setup 1: lower by 12 mm (6 to 18)", "more hold");
    head->verdict = VERDICT_CANNOT_TELL;
    head->advice = ADVICE_MORE_HOLDS;
    head->advice_holds = 8;
    check_section(sheet_evidence, "likely 12 mm lower, but that may be chance", "more hold");
    head->difference = 3;
    check_section(sheet_evidence, "likely 3 mm higher, but that may be chance", NULL);
    head->verdict = VERDICT_LESS_THAN_MATTERS;
    check_section(sheet_evidence, "against setup 1: no difference that matters", NULL);
}
END_TEST

START_TEST(sight_that_was_not_asked_about_is_told)
{
    check_section(sheet_evidence, "sees ahead: strained", "NOT ASKED");
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_SEES_AHEAD] = (double)NAN;
    }
    check_section(sheet_evidence, "sees ahead: NOT ASKED", "sees ahead: -");
    record->rating_count = 0;
    check_section(sheet_evidence, "sees ahead: NOT ASKED", NULL);
    check_section(sheet_evidence, "effort, discomfort and numbness: not asked", NULL);
}
END_TEST

START_TEST(numbness_that_was_not_asked_about_is_told)
{
    at_ease();
    check_section(sheet_evidence, "numbness: none\n", "NOT ASKED");
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_NUMB_SADDLE] = (double)NAN;
    }
    check_section(sheet_evidence, "numbness: none told; NOT ASKED: saddle", NULL);
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_NUMB_HANDS] = (double)NAN;
    }
    check_section(sheet_evidence, "numbness: NOT ASKED\n", "none");
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_NUMB_HANDS] = ANSWER_YES;
    }
    check_section(sheet_evidence, "sees ahead", "numbness");
}
END_TEST

START_TEST(discomfort_that_was_not_asked_about_is_told)
{
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_NECK] = record->rating[i].value[RATING_HANDS] = 0;
    }
    check_section(sheet_evidence, "discomfort, 0 to 10: none of those asked\n", NULL);
    for (int i = 0; i < record->rating_count; i++) {
        for (int item = 0; item < RATING_ITEMS; item++) {
            if (rating_fields[item].discomfort) {
                record->rating[i].value[item] = 0;
            }
        }
    }
    check_section(sheet_evidence, "discomfort, 0 to 10: none\n", "of those asked");
}
END_TEST

/* One number with the fitter's report, which has it apart as well. */
START_TEST(what_all_heights_share_is_said_beside_their_own)
{
    struct tie *ties[] = {&analysis->tie[0][0], &analysis->tie[0][1]};
    ties[0]->u_absolute_mm = 6.4; /* by 1.96, upwards */
    ties[1]->u_absolute_mm = 5.0;
    check_section(sheet_evidence,
                  "all heights may be off together, head \u00b113, chest \u00b110 mm",
                  "the true value lies");
    for (int build = 0; build < record->build_count; build++) {
        analysis->tie[build][0].absolute = analysis->tie[build][1].absolute = false;
    }
    check_section(sheet_evidence, "the true value lies, 95 times in 100.", "together");
}
END_TEST

START_TEST(a_number_that_is_not_in_its_middle_has_its_reason)
{
    for (int setup = 0; setup < record->setup_count; setup++) {
        for (int c = 0; c < 2; c++) {
            struct setup_difference *of = &analysis->free_heights[c].difference[setup];
            of->high = of->difference + (of->difference - of->low);
        }
    }
    check_section(sheet_evidence, NULL, "not in the middle of its brackets");
    for (int setup = 0; setup < record->setup_count; setup++) {
        analysis->free_heights[1].difference[setup].high += 10.0;
    }
    check_section(sheet_evidence,
                  "not in the middle of its brackets, a part of it may have come with time", NULL);
}
END_TEST

START_TEST(what_must_not_be_passed_over_stands_first)
{
    at_ease();
    check_section(sheet_attention, NULL, "Look at this first");
    check_section(sheet_practice, "week", "Not on this setup");
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_SEES_AHEAD] = SEES_STRAINED;
        record->rating[i].value[RATING_NUMB_HANDS] = ANSWER_YES;
    }
    check_section(sheet_attention, "Seeing ahead was a strain", "FAILED");
    check_section(sheet_attention, "It made you numb (hands)", NULL);
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_NUMB_HANDS] = ANSWER_NO;
    }
    check_section(sheet_practice, "On the trainer only", "the first rides on the road");
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_NUMB_HANDS] = ANSWER_YES;
    }
    check_section(sheet_decision,
                  "Setup 2, spacers out, pads down: not before the numbness is gone.", "lower");
    check_section(sheet_practice, NULL, "practise"); /* nor how to build it */
    check_section(sheet_wrench, NULL, "bolts");
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_SEES_AHEAD] = SEES_NO;
        record->rating[i].value[RATING_NUMB_SADDLE] = ANSWER_YES;
    }
    check_section(sheet_decision,
                  "Do not ride setup 2: it FAILED, since you cannot see ahead on it.", "lower");
    check_section(sheet_evidence, "sees ahead: no: FAILED", "mm high"); /* whatever its numbers */
    check_section(sheet_attention, NULL, "strain");                     /* each is said once */
    check_section(sheet_practice, NULL, "practise");
    check_section(sheet_wrench, NULL, "bolts");
    check_section(sheet_attention, "numb (hands and saddle)", NULL);
    input.chosen_setup = 0;
    record->settings.chosen_setup = 0;
    check_section(sheet_attention, NULL, "Look at this first");
}
END_TEST

/* The bottle in the beam is no rider, and nobody is to go by its heights unasked. */
START_TEST(a_level_that_is_hardly_the_riders_is_told)
{
    check_section(sheet_attention, NULL, "not have been you");
    struct hold_summary *head = &analysis->hold[1].summary[0];
    head->mean_mm += 99.0 - (head->mean_mm - analysis->hold[0].summary[0].mean_mm);
    check_section(sheet_attention, NULL, "not have been you");
    head->mean_mm += 2.0;
    check_section(
        sheet_attention,
        "head: from one hold to the next the reading jumped by 101 mm, which may not have been "
        "you. Have it looked at before you go by these heights.",
        NULL);
}
END_TEST

/* Of several the furthest. */
START_TEST(the_furthest_level_is_the_one_told)
{
    struct hold_result *hold = analysis->hold;
    hold[1].summary[0].mean_mm = hold[0].summary[0].mean_mm + 110.0;
    hold[3].summary[0].mean_mm = hold[0].summary[0].mean_mm - 1274.0;
    check_section(sheet_attention, "the reading jumped by 1274 mm", "by 110 mm");
}
END_TEST

/* A plate that says otherwise than the parts do: the heights that follow from it are not told as if
 * nothing were the matter. The example's setup 2: head, by 4.2 mm. */
START_TEST(a_sensors_place_that_is_told_in_two_ways_is_said)
{
    check_section(
        sheet_attention,
        "Setup 2, head: where the sensor sat is told in two ways, 4 mm apart, so these heights "
        "may be off by as much. Have it looked at before you go by them.",
        NULL);
    const int chosen = input.chosen_setup, choice = record->settings.chosen_setup;
    input.chosen_setup = record->settings.chosen_setup = 0; /* the picture shows it all the same */
    check_section(sheet_attention, "Setup 2, head: where the sensor sat", "numb");
    input.chosen_setup = chosen;
    record->settings.chosen_setup = choice;
    analysis->tie[1][1] = analysis->tie[1][0];
    analysis->tie[1][1].found.apart_mm = 29.3;
    check_section(sheet_attention,
                  "Setup 2, head, chest: where the sensor sat is told in two ways, 29 mm", NULL);
    analysis->tie[0][0].alarm = true;
    analysis->tie[0][0].found = analysis->tie[1][0].found;
    check_section(
        sheet_attention,
        "Setups 1 and 2, head, chest: where the sensor sat is told in two ways, up to 29 mm", NULL);
    for (int h = 0; h < record->hold_count; h++) {
        record->hold[h].rejected = true; /* no height follows from it */
    }
    check_section(sheet_attention, NULL, "two ways");
    for (int h = 0; h < record->hold_count; h++) {
        record->hold[h].rejected = false;
    }
    analysis->tie[0][0].alarm = analysis->tie[1][0].alarm = analysis->tie[1][1].alarm = false;
    check_section(sheet_attention, NULL, "two ways");
}
END_TEST

/* As found is fit to be ridden unless its own sight, numbness or limits speak against it. */
START_TEST(what_to_ride_meanwhile_is_told)
{
    at_ease();
    check_section(sheet_decision, NULL, "meanwhile");
    check_section(sheet_decision, NULL, "Meanwhile");
    for (int i = 0; i < record->rating_count; i++) {
        if (record->rating[i].setup == 1) {
            record->rating[i].value[RATING_SEES_AHEAD] = SEES_STRAINED;
        }
    }
    check_section(sheet_decision, "On the road meanwhile: the bike as it came.", "fitter");
    for (int i = 0; i < record->rating_count; i++) {
        if (record->rating[i].setup == 1) {
            record->rating[i].value[RATING_NUMB_HANDS] = ANSWER_YES;
        }
    }
    check_section(sheet_decision, "Meanwhile ride the bike as it came.", "fitter");
    struct rating_record *found = &record->rating[record->rating_count++];
    *found = record->rating[0];
    found->setup = 0;
    found->value[RATING_NUMB_HANDS] = ANSWER_YES;
    for (int i = 0; i < record->rating_count; i++) { /* the least counts of several */
        if (record->rating[i].setup == 0) {
            record->rating[i].value[RATING_NUMB_HANDS] = ANSWER_YES;
        }
    }
    check_section(sheet_decision, "What to ride meanwhile: ask your fitter.", "as it came");
    input.chosen_setup = 1;
    check_section(sheet_decision, "What to ride meanwhile: ask your fitter.", "Meanwhile ride");
}
END_TEST

START_TEST(the_first_glance_is_the_decision)
{
    at_ease();
    check_section(sheet_decision, "Ride setup 2: spacers out, pads down.", "FAILED");
    check_section(sheet_decision, "Against the bike as it came: head 12 mm lower.", "chest");
    check_section(sheet_decision, "It costs: ", NULL);
    for (int channel = 0; channel < 2; channel++) {
        analysis->free_heights[channel].difference[1].verdict = VERDICT_NO_DIFFERENCE;
    }
    check_section(sheet_decision, "your height did not change by what matters.", "lower");
    analysis->free_heights[0].difference[1].verdict = VERDICT_CANNOT_TELL;
    check_section(sheet_decision, "can't be told yet.", "did not change");
    record->rating_count = 0;
    check_section(sheet_decision, "What it costs you was not asked.", "It costs");
    input.chosen_setup = 1;
    check_section(sheet_decision, "Keep the bike as it came.", "costs");
    record->settings.chosen_setup = input.chosen_setup = 0;
    check_section(sheet_decision, "No setup has been chosen yet.", NULL);
    record->hold_count = 0;
    check_section(sheet_decision, "No measurement counts yet: no setup can be named.", NULL);
}
END_TEST

/* The bike as it came, of which every hold was left out: nothing is handed over as measured. */
START_TEST(a_first_setup_without_a_hold_that_counts)
{
    at_ease();
    input.chosen_setup = 1;
    check_section(sheet_decision, "Keep the bike as it came.", "measured");
    check_section(sheet_practice, "How to practise", NULL);
    for (int hold = 0; hold < record->hold_count; hold++) {
        bool first = record->build[record->hold[hold].build].setup == 0;
        analysis->hold[hold].counts = analysis->hold[hold].counts && !first;
    }
    check_section(sheet_decision, "Setup 1, as it came: chosen, but not measured.",
                  "Keep the bike");
    check_section(sheet_decision, "Meanwhile ride the bike as it came.", "fitter");
    check_section(sheet_practice, NULL, "practise");
    check_section(sheet_wrench, NULL, "as found");
    input.chosen_setup = 2; /* the first still is what there is to ride meanwhile */
    for (int hold = 0; hold < record->hold_count; hold++) {
        analysis->hold[hold].counts = false;
    }
    check_section(sheet_decision, "Meanwhile ride the bike as it came.", "fitter");
}
END_TEST

/* Of many that were moved, the three that were moved most, in the order of the channels. */
START_TEST(of_many_channels_the_most_moved_are_told)
{
    static const double by[] = {-12, -9, -30, 14, -13};
    at_ease();
    analysis->channel_count = 5;
    for (int channel = 0; channel < 5; channel++) {
        struct setup_difference *one = &analysis->free_heights[channel].difference[1];
        analysis->body[channel] = true;
        snprintf(analysis->channel_name[channel], sizeof analysis->channel_name[channel], "c%d",
                 channel);
        memcpy(&analysis->free_heights[channel], &analysis->free_heights[0],
               channel > 0 ? sizeof analysis->free_heights[0] : 0);
        one->difference = by[channel];
        one->verdict = by[channel] < 0 ? VERDICT_LOWER : VERDICT_HIGHER;
    }
    check_section(sheet_decision, ": c2 30 mm lower, c3 14 mm higher, c4 13 mm lower.", "c0");
    analysis->free_heights[4].difference[1].difference = -12; /* as much: the first of them */
    check_section(sheet_decision, ": c0 12 mm lower, c2 30 mm lower, c3 14 mm higher.", "c4");
}
END_TEST

/* Of further channels what can't be told yet is said once. */
START_TEST(what_cannot_be_told_of_further_channels_is_said_once)
{
    at_ease();
    analysis->channel_count = 5;
    for (int channel = 2; channel < 5; channel++) {
        analysis->body[channel] = true;
        snprintf(analysis->channel_name[channel], sizeof analysis->channel_name[channel], "c%d",
                 channel);
        analysis->free_heights[channel] = analysis->free_heights[0];
        analysis->free_heights[channel].difference[1].verdict =
            channel == 3 ? VERDICT_LOWER : VERDICT_CANNOT_TELL;
    }
    check_section(sheet_evidence, "c2, c4: no difference can be told yet", "c2: ");
    check_section(sheet_evidence, "c3: 872 ", "may be chance");
}
END_TEST

START_TEST(what_is_dearer_is_told_against_what_it_was)
{
    at_ease();
    for (int i = 0; i < record->rating_count; i++) {
        double more = record->rating[i].setup == 1 ? 1 : 0;
        for (int item = 0; item < RATING_ITEMS; item++) {
            if (rating_fields[item].kind != RATING_WORD) {
                record->rating[i].value[item] = (double)NAN;
            }
        }
        record->rating[i].value[RATING_NECK] = 2 + more;
        record->rating[i].value[RATING_HANDS] = 3 - more;
        record->rating[i].value[RATING_COULD_STAY] = 30 - 5 * more;
    }
    check_section(sheet_decision, "It costs: neck 3 instead of 2, could stay 25 min instead of 30.",
                  "hands");
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_NECK] = record->rating[i].value[RATING_COULD_STAY] = 9;
    }
    check_section(sheet_decision, "It cost nothing of what you were asked about.", "instead");
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].setup = 1;
        record->rating[i].value[RATING_SEES_AHEAD] = SEES_YES;
        record->rating[i].value[RATING_NECK] = 4;
        record->rating[i].value[RATING_HANDS] = 0;
    }
    check_section(sheet_decision, "You said of it: neck 4", "instead");
}
END_TEST

/* Of an earlier session's setups the one that the bike came with is the first that was built. */
START_TEST(as_found_is_what_the_bike_came_with)
{
    at_ease();
    check_section(sheet_wrench, "stem's clamp bolts", "Nothing");
    check_section(sheet_heading, "3 setups tried", NULL);
    for (int i = 0; i < record->build_count; i++) {
        record->build[i].setup = record->build[i].setup == 0 ? 1 : record->build[i].setup;
    }
    check_section(sheet_wrench, "Nothing: the bike stays as it was.", "stem's clamp bolts");
    check_section(sheet_decision, "Keep the bike as it came.", "Ride setup");
    check_section(sheet_heading, "2 setups tried in 9 holds", NULL);
    check_section(sheet_rest, "Your bike as found", "as chosen");
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_SEES_AHEAD] = SEES_YES;
    }
    record->settings.chosen_setup = input.chosen_setup = record->setup[2].number;
    check_section(sheet_decision, "setup 1", "Against the bike as it came");
    record->settings.baseline_setup = record->setup[1].number;
    /* not the rider's first: 'as it came' would be taken for that one */
    check_section(sheet_decision, "setup 2", "the bike as it came");
    for (int i = 0; i < record->build_count; i++) {
        record->build[i].setup = 1;
    }
    check_section(sheet_decision, "Setup 3, long and low: chosen, but not measured.", "Against");
    check_section(sheet_decision, "eanwhile", NULL); /* so it is neither built nor practised */
    check_section(sheet_practice, NULL, "practise");
    check_section(sheet_wrench, NULL, "bolts");
    record->hold_count = 0;
    check_section(sheet_heading, "training bike, 10 January 2026\n", "tried");
}
END_TEST

/* 494 to 499 is 5, whatever the tenths were; what did not move does not by rounding. */
START_TEST(a_move_is_what_lies_between_its_places)
{
    ck_assert_double_eq(digest_moved_mm(493.6, 499.4), 5.0);
    ck_assert_double_eq(digest_moved_mm(494.4, 489.5), -4.0);
    ck_assert_double_eq(digest_moved_mm(499.4, 499.8), 0.0);
    ck_assert_double_eq(digest_moved_mm(499.4, 499.95), 1.0);
}
END_TEST

START_TEST(work_is_told_bolt_by_bolt)
{
    at_ease();
    check_section(sheet_wrench, "stem's clamp bolts", "deg");
    check_section(sheet_wrench, "20 mm", NULL);
    /* for the torque, a blank for each of the bolts where none was entered */
    check_section(sheet_wrench, "____", "5.5");
    record->torques.nm[BOLT_STEM_CLAMP] = 5.5;
    check_section(sheet_wrench, "5.5  \xE2\x98\x90", NULL);
    check_section(sheet_wrench, "____  \xE2\x98\x90", NULL); /* the top cap's */
    check_section(sheet_wrench, "Never loosen a bolt under a leaning rider", NULL);
    check_section(sheet_wrench, "before the stem's clamp bolts are tightened, the top cap is set",
                  NULL);
    check_section(sheet_cautions, "no medical advice", "Never loosen"); /* each once */
    check_section(sheet_cautions, NULL, "top cap");
    memcpy(&record->setup[1].bike, &record->setup[0].bike, sizeof record->setup[0].bike);
    record->setup[1].bike.value[BIKE_PAD_RISE] -= 20; /* nothing of the steering */
    check_section(sheet_wrench, "risers' bolts", "top cap");
    memcpy(&record->setup[1].bike, &record->setup[0].bike, sizeof record->setup[0].bike);
    check_section(sheet_wrench, "Nothing: the bike stays as it was.", "____");
    check_section(sheet_cautions, "Never loosen", NULL);
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
    tcase_add_test(tests, numbness_that_was_not_asked_about_is_told);
    tcase_add_test(tests, discomfort_that_was_not_asked_about_is_told);
    tcase_add_test(tests, what_all_heights_share_is_said_beside_their_own);
    tcase_add_test(tests, a_number_that_is_not_in_its_middle_has_its_reason);
    tcase_add_test(tests, what_must_not_be_passed_over_stands_first);
    tcase_add_test(tests, a_level_that_is_hardly_the_riders_is_told);
    tcase_add_test(tests, the_furthest_level_is_the_one_told);
    tcase_add_test(tests, a_sensors_place_that_is_told_in_two_ways_is_said);
    tcase_add_test(tests, what_to_ride_meanwhile_is_told);
    tcase_add_test(tests, the_first_glance_is_the_decision);
    tcase_add_test(tests, a_first_setup_without_a_hold_that_counts);
    tcase_add_test(tests, of_many_channels_the_most_moved_are_told);
    tcase_add_test(tests, what_cannot_be_told_of_further_channels_is_said_once);
    tcase_add_test(tests, what_is_dearer_is_told_against_what_it_was);
    tcase_add_test(tests, a_move_is_what_lies_between_its_places);
    tcase_add_test(tests, work_is_told_bolt_by_bolt);
    tcase_add_test(tests, as_found_is_what_the_bike_came_with);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
