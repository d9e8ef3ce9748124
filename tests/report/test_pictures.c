/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "pictures.h"

#include "base/text.h"
#include "report/plots.h"
#include "report/svg.h"
#include "support/markup.h"
#include "support/report_text.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Pictures: well-formed, complete, everything in the right place. */

/* Pictures: well-formed, complete, everything in the right place. */

static char *heights(void)
{
    struct caught caught;
    ck_assert(report_heights_svg(catch_begin(&caught), &input, NULL));
    return checked(catch_end(&caught));
}

static char *cloud(void)
{
    struct caught caught;
    ck_assert(report_cloud_svg(catch_begin(&caught), &input, made_samples, NULL, NULL));
    return checked(catch_end(&caught));
}

static char *holds(void)
{
    struct caught caught;
    ck_assert(report_holds_svg(catch_begin(&caught), &input, made_samples, NULL, NULL));
    return checked(catch_end(&caught));
}

START_TEST(the_checker_refuses_what_is_not_well_formed)
{
    static const char *const wrong[] = {"<a><b></a></b>", "<a>",        "a & b", "<a x=1/>",
                                        "1 < 2",          "<a x=\"1/>", "\x01"};
    char error[160];
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        ck_assert_msg(!markup_check(wrong[i], error), "taken: %s", wrong[i]);
    }
    ck_assert(markup_check("<?xml version=\"1.0\"?><a x=\"1\">&amp;<b/></a>", error));
}
END_TEST

START_TEST(heights_show_each_setup_that_is_tied)
{
    char *text = heights();
    /* head: the baseline is a square, setups 2 and 3 are circles; chest: setup 3 is not tied */
    ck_assert_int_eq(markup_count(text, "<circle"), 3);
    check_has(text, ">head: lower on setup 2</text>");
    check_has(text, ">chest: none is lower or higher than setup 1 for certain</text>");
    check_has(text, ">lower by 12 (6 to 18)</text>");
    check_has(text, ">FAILED: cannot see ahead</text>");
    check_has(text, ">height above the bottom bracket, mm</text>");
    free(text);
}
END_TEST

/* Where there is no room for all: the first, which the others are set against, and the last. */
START_TEST(heights_of_some_setups_say_how_many)
{
    struct caught caught;
    input.chosen_setup = record->settings.chosen_setup = 0;
    plot_heights(catch_begin(&caught), &input, 0, 2);
    char *text = checked(catch_end(&caught));
    check_has(text, "setup 1. 2 of 3 setups are shown.</text>");
    ck_assert_ptr_null(strstr(text, ">lower by 12 (6 to 18)</text>"));
    free(text);
    input.chosen_setup = 2;
    plot_heights(catch_begin(&caught), &input, 0, 2);
    text = checked(catch_end(&caught));
    check_has(text, ">lower by 12 (6 to 18)</text>");
    ck_assert_ptr_null(strstr(text, ">FAILED: cannot see ahead</text>"));
    free(text);
}
END_TEST

START_TEST(a_mean_stands_where_it_belongs)
{
    /* head: from 871.6 - 4.4 = 867.2 to 884.1 + 10 = 894.1, with 0.06 of that on both sides, on 20
     * to 700 */
    double room = 0.06 * (894.1 - 867.2);
    double x = 20 + 680 * (871.6 - (867.2 - room)) / (894.1 - 867.2 + 2 * room);
    char expected[64];
    char *text = heights();
    snprintf(expected, sizeof expected, "<circle cx=\"%.1f\" cy=\"132.0\"", x);
    check_has(text, expected);
    free(text);
}
END_TEST

START_TEST(the_cloud_has_an_ellipse_for_each_setup)
{
    char *text = cloud();
    /* setup 3's chest is not tied, so two ellipses */
    ck_assert_int_eq(markup_count(text, "<ellipse"), 2);
    check_has(text, ">Where head and chest were together</text>");
    check_has(text, ">chest height, mm</text>");
    check_has(text, ">2  spacers out, pads down</text>");
    /* three free holds of 60 s and one, a dot a second, and a number in each ellipse */
    ck_assert_int_eq(markup_count(text, "<circle"), 4 * 60 + 2);
    free(text);
}
END_TEST

START_TEST(no_cloud_without_two_channels)
{
    struct caught caught;
    struct problem problem = {PROBLEM_NONE, ""};
    analysis->body[1] = false;
    ck_assert(!report_cloud_svg(catch_begin(&caught), &input, made_samples, NULL, &problem));
    free(catch_end(&caught));
    ck_assert(strstr(problem.sentence, "two tied channels") != NULL);
}
END_TEST

START_TEST(each_hold_has_its_course)
{
    char *text = holds();
    /* nine holds of two channels, but setup 3's chest is named only */
    ck_assert_int_eq(markup_count(text, "<path"), 17);
    check_has(text, ">hold 5: setup 2, free, rejected</text>");
    check_has(text, ">hold 9: setup 1, guided, kept afterwards</text>");
    check_has(text, ">hold 7: setup 3, free, not tied</text>");
    check_has(text, ">head in each hold: none crept by more than chance</text>");
    free(text);
}
END_TEST

static char *tradeoff(void)
{
    struct caught caught;
    ck_assert(report_tradeoff_svg(catch_begin(&caught), &input, NULL));
    return checked(catch_end(&caught));
}

static char *bands(void)
{
    struct caught caught;
    ck_assert(report_bands_svg(catch_begin(&caught), &input, made_samples, NULL, NULL));
    return checked(catch_end(&caught));
}

static char *bike(void)
{
    struct caught caught;
    ck_assert(report_bike_svg(catch_begin(&caught), &input, NULL));
    return checked(catch_end(&caught));
}

static char *fronts(void)
{
    struct caught caught;
    ck_assert(report_fronts_svg(catch_begin(&caught), &input, NULL));
    return checked(catch_end(&caught));
}

START_TEST(the_tradeoff_tells_what_stands)
{
    char *text = tradeoff();
    /* setup 3 has no guided hold: keeping shows setups 1 and 2, feeling all that were rated */
    check_has(text, ">In the band, % of the time, gauge seen (higher up is better)</text>");
    check_has(text, ">Worst discomfort, 0 to 10 (lower down is better)</text>");
    check_has(text, ">head height above the bottom bracket, mm</text>");
    check_has(text, ">3  long and low: FAILED, cannot see ahead</text>");
    /* 2 is lower, 1 was kept better: neither beats the other */
    check_has(text, ">What a lower head costs: no setup is shown to be best</text>");
    free(text);
    for (int setup = 0; setup < 2; setup++) {
        struct tradeoff_mark *mark = &analysis->insight.mark[setup];
        memset(mark->leads, 0, sizeof mark->leads);
    }
    text = tradeoff(); /* a complaint is said, not that none beats it */
    check_has(text, ": it made the rider numb: change that before anything else</text>");
    free(text);
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_NUMB_HANDS] = ANSWER_NO;
        if (record->rating[i].setup < 2) {
            record->rating[i].value[RATING_SEES_AHEAD] = SEES_YES;
        }
    }
    text = tradeoff(); /* what is true of both is said once */
    check_has(text, ">Setups 1 and 2: not shown to be beaten by any other");
    free(text);
}
END_TEST

/* Where all were rated alike, that is no picture. */
START_TEST(what_is_all_the_same_is_not_drawn)
{
    for (int i = 1; i < record->rating_count; i++) {
        memcpy(record->rating[i].value, record->rating[0].value, sizeof record->rating[0].value);
    }
    insight_make(record, analysis);
    char *text = tradeoff();
    check_has(text, "In the band, %");
    ck_assert_ptr_null(strstr(text, "Worst discomfort"));
    free(text);
}
END_TEST

/* A second of it leaves the scale as it was, and is told. */
START_TEST(what_lies_outside_is_told)
{
    char *text = holds();
    ck_assert_ptr_null(strstr(text, "Arrow"));
    int paths = markup_count(text, "<path");
    free(text);
    text = cloud();
    ck_assert_ptr_null(strstr(text, "Beyond"));
    free(text);
    text_copy(record->setup[1].intent, sizeof record->setup[1].intent,
              "spacers half, pads 15 forward");
    text = cloud(); /* a name that is too long for a line goes on in the next */
    check_has(text, ">2  spacers half, pads 15</text>");
    check_has(text, ">forward</text>");
    free(text);
    stray_second = 100;
    text = holds();
    check_has(text, " Arrow: beyond.</text>");
    ck_assert_int_gt(markup_count(text, "<path"), paths);
    free(text);
    text = cloud();
    check_has(text, "Beyond the picture: 1 s.</text>");
    free(text);
    stray_second = 0;
}
END_TEST

/* Setups that are equally low and felt the same: no mark hides another. */
START_TEST(marks_in_one_place_stand_side_by_side)
{
    for (int setup = 1; setup < 3; setup++) {
        analysis->free_heights[0].setup[setup] = analysis->free_heights[0].setup[0];
    }
    for (int i = 1; i < record->rating_count; i++) {
        memcpy(record->rating[i].value, record->rating[0].value, sizeof record->rating[0].value);
        if (record->rating[i].setup == 2) {
            record->rating[i].value[RATING_NECK] = 9; /* or there were nothing to see */
        }
    }
    insight_make(record, analysis);
    char *text = tradeoff();
    struct point at[16] = {{0}};
    int count = 0;
    for (const char *circle = text; (circle = strstr(circle, "<circle")) != NULL && count < 16;
         circle++) {
        ck_assert_int_eq(
            sscanf(circle, "<circle cx=\"%lf\" cy=\"%lf\"", &at[count].x_mm, &at[count].y_mm), 2);
        count++;
    }
    ck_assert_int_eq(count, 2 + 3);
    for (int a = 0; a < count; a++) {
        for (int b = 0; b < a; b++) {
            ck_assert_double_ge(hypot(at[a].x_mm - at[b].x_mm, at[a].y_mm - at[b].y_mm), 17.9);
        }
    }
    ck_assert_double_eq_tol(at[2].y_mm, at[3].y_mm, 0.1); /* the same discomfort */
    free(text);
}
END_TEST

START_TEST(no_tradeoff_of_one_setup)
{
    struct caught caught;
    struct problem problem = {PROBLEM_NONE, ""};
    record->setup_count = 1;
    ck_assert(!report_tradeoff_svg(catch_begin(&caught), &input, &problem));
    char *text = catch_end(&caught);
    ck_assert_str_eq(text, "");
    free(text);
    ck_assert(strstr(problem.sentence, "two setups") != NULL);
}
END_TEST

START_TEST(bands_show_what_was_proposed)
{
    struct band_proposal proposals[BAND_PROPOSALS_MAX];
    char *text = bands();
    int count[2];
    for (int channel = 0; channel < 2; channel++) {
        count[channel] =
            analysis_propose_band(record, analysis, 0, channel, &record->band[0].cue[channel],
                                  made_samples, NULL, proposals);
        ck_assert_int_gt(count[channel], 1);
    }
    check_has(text, ">head: a band of +");
    check_has(text, ">chest: a band of +");
    check_has(text, ">as it was set</text>");
    check_has(text, ">limit above the target, mm</text>");
    check_has(text, ">proposed: +");
    ck_assert(strstr(text, "\u2026") == NULL); /* each is said to its end */
    /* a mark for each proposal: circles, or squares where there is no limit below */
    ck_assert_int_eq(markup_count(text, "<circle") + markup_count(text, "<rect") - 1,
                     count[0] + count[1]);
    free(text);
}
END_TEST

/* 60 s at 50 a second: the head's sensor goes up and down by 4 mm once in 20 s (made_samples). */
START_TEST(a_still_test_shows_course_and_averaging)
{
    struct caught caught;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(!report_still_svg(catch_begin(&caught), &input, made_samples, NULL, &problem));
    free(catch_end(&caught));
    ck_assert(strstr(problem.sentence, "still test") != NULL);
    record->check_count = 1;
    record->check[0] = (struct check_record){.kind = CHECK_STILL, .channel = -1, .capture = 1};
    ck_assert(report_still_svg(catch_begin(&caught), &input, made_samples, NULL, NULL));
    char *text = checked(catch_end(&caught));
    check_has(text, ">Check 1: the sensors at rest, and how far averaging helps</text>");
    check_has(text, ">time, s</text>");
    check_has(text, ">averaged over, s</text>");
    check_has(text, ">head: noise ");
    check_has(text, ">chest: noise ");
    /* a course and a curve for each channel, a dot at each curve's least */
    ck_assert_int_eq(markup_count(text, "<path"), 4);
    ck_assert_int_eq(markup_count(text, "<circle"), 2);
    free(text);
    record->check[0].channel = 1;
    ck_assert(report_still_svg(catch_begin(&caught), &input, made_samples, NULL, NULL));
    text = checked(catch_end(&caught));
    ck_assert_int_eq(markup_count(text, "<path"), 2);
    ck_assert(strstr(text, ">head: noise ") == NULL);
    free(text);
    record->check[0].kind = CHECK_BEAM;
    ck_assert(!report_still_svg(catch_begin(&caught), &input, made_samples, NULL, NULL));
    free(catch_end(&caught));
}
END_TEST

START_TEST(the_bike_as_chosen_over_as_found)
{
    char *text = bike();
    check_has(text, "id=\"now-pads\"");
    check_has(text, "id=\"before-pads\"");
    free(text);
    input.chosen_setup = 0;
    text = bike();
    ck_assert(strstr(text, "before-pads") == NULL);
    free(text);
}
END_TEST

START_TEST(the_bars_of_all_setups_are_to_scale)
{
    char *text = fronts();
    const char *at = text;
    double y[3];
    /* a circle at each bar clamp: 10 mm of spacers less and 10 less again, along a head angle of 73
     * degrees, are 10 sin 73 = 9.56 mm each */
    ck_assert_int_eq(markup_count(text, "<circle"), 3);
    for (int setup = 0; setup < 3; setup++) {
        double x = 0;
        at = strstr(at, "<circle");
        ck_assert(at != NULL && sscanf(at, "<circle cx=\"%lf\" cy=\"%lf\"", &x, &y[setup]) == 2);
        at++;
    }
    ck_assert_double_gt(y[1] - y[0], 1);
    ck_assert_double_eq_tol(y[2] - y[1], y[1] - y[0], 0.21);
    check_has(text, ">forward of the bottom bracket, mm (front at the right)</text>");
    free(text);
}
END_TEST

START_TEST(parts_that_are_missing_are_named)
{
    struct caught caught;
    struct problem problem = {PROBLEM_NONE, ""};
    record->setup[0].bike.value[BIKE_STACK] = NAN;
    ck_assert(!report_bike_svg(catch_begin(&caught), &input, &problem));
    free(catch_end(&caught));
    ck_assert_msg(strstr(problem.sentence, "stack") != NULL, "%s", problem.sentence);
}
END_TEST

START_TEST(a_course_breaks_where_readings_are_missing)
{
    struct caught caught;
    bool pen_down = false;
    svg_path_begin(catch_begin(&caught), "fill=\"none\"");
    svg_path_point(caught.stream, 1, 2, &pen_down);
    svg_path_point(caught.stream, 2, 3, &pen_down);
    svg_path_point(caught.stream, 3, NAN, &pen_down);
    svg_path_point(caught.stream, 4, 5, &pen_down);
    svg_path_end(caught.stream);
    char *text = catch_end(&caught);
    ck_assert_str_eq(text, "<path fill=\"none\" d=\"M1.0 2.0L2.0 3.0M4.0 5.0\"/>\n");
    free(text);
}
END_TEST

START_TEST(pictures_keep_text_as_text)
{
    char *texts[] = {heights(), cloud(), holds(), tradeoff(), bands(), bike(), fronts()};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        ck_assert(strstr(texts[i], " opacity=") == NULL);
        ck_assert(strstr(texts[i], "<mask") == NULL && strstr(texts[i], "<filter") == NULL);
        ck_assert(strstr(texts[i], "<image") == NULL && strstr(texts[i], "<script") == NULL);
        free(texts[i]);
    }
}
END_TEST

START_TEST(hostile_names_stay_text)
{
    snprintf(record->rider.code, sizeof record->rider.code, "<script>alert('1')</script>");
    snprintf(record->setup[1].intent, sizeof record->setup[1].intent, "a & b <i>\"c\"</i>");
    snprintf(analysis->channel_name[0], CHANNEL_NAME_SIZE, "<b>&");
    snprintf(record->note[0].text, sizeof record->note[0].text, "</body>\x02");
    char *texts[] = {page(), heights(), cloud(), holds(), tradeoff(), bands(), bike(), fronts()};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        ck_assert(strstr(texts[i], "<script") == NULL && strstr(texts[i], "<i>") == NULL);
        free(texts[i]);
    }
}
END_TEST

START_TEST(an_empty_session_is_no_trouble)
{
    memset(record, 0, sizeof *record);
    memset(analysis, 0, sizeof *analysis);
    record->settings.baseline_setup = 1;
    input.chosen_setup = 0;
    free(page());
    /* pictures of nothing are refused, not drawn empty */
    struct caught caught;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(!report_heights_svg(catch_begin(&caught), &input, &problem));
    check_has(problem.sentence, "it takes a free hold that counts");
    char *text = catch_end(&caught);
    ck_assert_str_eq(text, "");
    free(text);
    ck_assert(!report_holds_svg(catch_begin(&caught), &input, made_samples, NULL, &problem));
    check_has(problem.sentence, "it takes a hold with readings");
    text = catch_end(&caught);
    ck_assert_str_eq(text, "");
    free(text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("pictures");
    TCase *tests = tcase_create("pictures");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, begin_chosen, end);
    tcase_add_test(tests, the_checker_refuses_what_is_not_well_formed);
    tcase_add_test(tests, what_is_all_the_same_is_not_drawn);
    tcase_add_test(tests, what_lies_outside_is_told);
    tcase_add_test(tests, heights_show_each_setup_that_is_tied);
    tcase_add_test(tests, heights_of_some_setups_say_how_many);
    tcase_add_test(tests, a_mean_stands_where_it_belongs);
    tcase_add_test(tests, the_cloud_has_an_ellipse_for_each_setup);
    tcase_add_test(tests, no_cloud_without_two_channels);
    tcase_add_test(tests, each_hold_has_its_course);
    tcase_add_test(tests, the_tradeoff_tells_what_stands);
    tcase_add_test(tests, marks_in_one_place_stand_side_by_side);
    tcase_add_test(tests, no_tradeoff_of_one_setup);
    tcase_add_test(tests, bands_show_what_was_proposed);
    tcase_add_test(tests, a_still_test_shows_course_and_averaging);
    tcase_add_test(tests, the_bike_as_chosen_over_as_found);
    tcase_add_test(tests, the_bars_of_all_setups_are_to_scale);
    tcase_add_test(tests, parts_that_are_missing_are_named);
    tcase_add_test(tests, a_course_breaks_where_readings_are_missing);
    tcase_add_test(tests, pictures_keep_text_as_text);
    tcase_add_test(tests, hostile_names_stay_text);
    tcase_add_test(tests, an_empty_session_is_no_trouble);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
