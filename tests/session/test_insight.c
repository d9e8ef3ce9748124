/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What follows from a session's holds beside the comparison: from invented results whose answers
 * are known, and from a driven session. */
#include "analysis/analysis.h"
#include "analysis/insight.h"
#include "say/insight_words.h"
#include "say/setup.h"
#include "session/view.h"
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { HEAD, CHEST };

static struct session_record *record;
static struct analysis *analysis;

/* Setups with pads and spacers as given; heads and chests known to half_width at 6 degrees of
 * freedom. */
static void setup(double pad_rise, double spacers, double head, double chest)
{
    int s = record->setup_count++;
    record->setup[s].number = s + 1;
    bike_values_clear(&record->setup[s].bike);
    record->setup[s].bike.value[BIKE_PAD_RISE] = pad_rise;
    record->setup[s].bike.value[BIKE_SPACERS] = spacers;
    record->setup[s].bike.value[BIKE_PAD_FORE_AFT] = -20;
    record->build[s].setup = s;
    record->build_count = s + 1;
    analysis->free_holds[s] = 2;
    for (int c = 0; c < 2; c++) {
        analysis->free_heights[c].setup_count = s + 1;
        analysis->free_heights[c].setup[s] =
            (struct setup_estimate){.holds = 2,
                                    .builds = 1,
                                    .has_interval = true,
                                    .half_width = 3,
                                    .standard_error = 3 / 2.4469118511, /* t of 6 df */
                                    .df = 6,
                                    .tied = true,
                                    .mean = c == HEAD ? head : chest};
    }
}

static void rate(int s, int effort, int neck, enum sees_ahead sees)
{
    struct rating_record *rating = &record->rating[record->rating_count++];
    rating_clear(rating);
    rating->setup = s;
    rating->value[RATING_EFFORT] = effort;
    rating->value[RATING_NECK] = neck;
    rating->value[RATING_SEES_AHEAD] = sees;
}

/* A hold of setup s with the same steadiness on both channels. */
static struct hold_result *hold(int s, bool guided, double steadiness, double creep, double share)
{
    int h = record->hold_count++;
    struct hold_result *result = &analysis->hold[h];
    record->hold[h].build = s;
    record->hold[h].guided = guided;
    result->counts = true;
    for (int c = 0; c < 2; c++) {
        result->has[c] = true;
        result->summary[c] = (struct hold_summary){.status = MEASURE_OK,
                                                   .has_interval = true,
                                                   .steadiness_mm = steadiness,
                                                   .has_creep = true,
                                                   .creep_mm_per_min = creep,
                                                   .has_band = guided,
                                                   .in_band_share = share};
    }
    return result;
}

static void begin(void)
{
    record = calloc(1, sizeof *record);
    analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    analysis->channel_count = 2;
    analysis->body[HEAD] = analysis->body[CHEST] = true;
    for (int c = 0; c < 2; c++) {
        analysis->free_heights[c].status = MEASURE_OK;
        analysis->free_heights[c].has_repeatability = true;
        analysis->free_heights[c].repeatability = 2;
        analysis->free_heights[c].repeatability_df = 6;
    }
}

static void end(void)
{
    free(record);
    analysis_destroy(analysis);
}

/* Six holds of each, whose steadiness, creep and shares scatter by little. */
static void six_holds(int s, double steadiness)
{
    for (int i = 0; i < 6; i++) {
        double about = i % 2 == 0 ? 1.0 : -1.0;
        hold(s, false, steadiness * exp(0.01 * about), 1 + 0.1 * about, 0);
        hold(s, true, 9, 9, 0.9 + 0.005 * about); /* its steadiness is not mixed in */
    }
}

START_TEST(what_no_other_is_shown_to_beat)
{
    setup(50, 20, 900, 780);
    setup(40, 20, 880, 765);
    setup(30, 20, 880.3, 765.2); /* much the same as setup 2, and less steady */
    setup(20, 20, 860, 750);
    const double steady[] = {4, 5, 6, 3};
    for (int s = 0; s < 4; s++) {
        six_holds(s, steady[s]);
        rate(s, 3, 2, s == 3 ? SEES_NO : SEES_YES);
    }
    insight_make(record, analysis);
    const struct insight *insight = &analysis->insight;
    ck_assert_int_eq(insight->tradeoff_setups, 4);
    ck_assert(insight->mark[0].stands && insight->mark[1].stands);
    ck_assert(!insight->mark[2].stands);
    ck_assert_int_eq(insight->mark[2].beaten_by, 1);
    ck_assert(!insight->mark[3].stands && insight->value[3].sight_failed);
    ck_assert_double_eq_tol(insight->value[1].value[TRADEOFF_STEADINESS], 5, 1e-12);
    ck_assert_double_eq_tol(insight->value[1].value[TRADEOFF_IN_BAND], 0.9, 1e-12);
    ck_assert_double_eq(insight->value[2].value[TRADEOFF_HEIGHT], 880.3);
    /* the log's SD is 0.01 sqrt(24/20), its mean's error a sixth's root of that */
    ck_assert_double_eq_tol(insight->value[1].se[TRADEOFF_STEADINESS],
                            5 * 0.01 * sqrt(24.0 / 20.0) / sqrt(6.0), 1e-9);
    ck_assert_double_eq(insight->value[1].df[TRADEOFF_STEADINESS], 20);
    char leads[256];
    snprintf(analysis->channel_name[HEAD], CHANNEL_NAME_SIZE, "head");
    snprintf(analysis->channel_name[CHEST], CHANNEL_NAME_SIZE, "chest");
    insight_leads(analysis, 0, leads, sizeof leads); /* the rest is the same on all */
    ck_assert_str_eq(leads, "best in steadiness");
    insight_leads(analysis, 1, leads, sizeof leads); /* as low as setup 3 */
    ck_assert_str_eq(leads, "");
    insight_leads(analysis, 3, leads, sizeof leads);
    ck_assert_str_eq(leads, "");
    /* an unanswered 'sensor or rider?': nothing is said of that height */
    analysis->slip[HEAD].asked = true;
    insight_make(record, analysis);
    ck_assert(insight->mark[2].stands);
    analysis->slip[HEAD].asked = false;
    /* ratings more for setup 3: effort 1 */
    rate(2, 1, 2, SEES_YES);
    rate(2, 1, 2, SEES_YES);
    insight_make(record, analysis);
    ck_assert(insight->mark[2].stands);
    /* worse channel: the chest of setup 1 is the least steady */
    for (int h = 0; h < 12; h += 2) {
        analysis->hold[h].summary[CHEST].steadiness_mm = 7;
    }
    insight_make(record, analysis);
    ck_assert_double_eq_tol(insight->value[0].value[TRADEOFF_STEADINESS], 7, 1e-12);
}
END_TEST

/* A much lower setup beats the first, unless it is worse elsewhere by more than what matters there
 * (docs/measures.md): 1 mm of steadiness, 5 mm a minute of creep, a tenth of the time in the band,
 * a point of a rating; of ratings two less are better. Its holds are all the same: nothing is
 * uncertain but the height. */
START_TEST(each_criterion_has_what_matters_of_its_own)
{
    static const struct {
        double lower_mm, sway_mm, creep, share;
        int effort, neck;
        bool beaten;
    } other[] = {
        {99, 0, 0, 0, 0, 0, true},     {99, 0.9, 0, 0, 0, 0, true},  {99, 1.1, 0, 0, 0, 0, false},
        {99, 0, 4.5, 0, 0, 0, true},   {99, 0, 5.5, 0, 0, 0, false}, {99, 0, 0, 0.09, 0, 0, true},
        {99, 0, 0, 0.11, 0, 0, false}, {99, 0, 0, 0, 1, 0, false},   {99, 0, 0, 0, 0, 1, false},
        {0, 0, 0, 0, -1, 0, false},    {0, 0, 0, 0, -2, 0, true},    {0, 0, 0, 0, 0, -1, false},
        {0, 0, 0, 0, 0, -2, true},
    };
    for (size_t i = 0; i < sizeof other / sizeof other[0]; i++) {
        record->setup_count = record->hold_count = record->rating_count = 0;
        setup(50, 20, 900, 780);
        setup(20, 20, 900 - other[i].lower_mm, 780 - other[i].lower_mm);
        for (int h = 0; h < 4; h++) {
            hold(0, false, 4.0, 1.0, 0);
            hold(0, true, 9.0, 9.0, 0.9);
            hold(1, false, 4.0 + other[i].sway_mm, 1.0 + other[i].creep, 0);
            hold(1, true, 9.0, 9.0, 0.9 - other[i].share);
        }
        rate(0, 4, 4, SEES_YES);
        rate(1, 4 + other[i].effort, 4 + other[i].neck, SEES_YES);
        insight_make(record, analysis);
        ck_assert_msg(analysis->insight.mark[0].stands == !other[i].beaten, "%zu", i);
        ck_assert(analysis->insight.mark[1].stands);
    }
}
END_TEST

/* One hold of each shows nothing of how well it is known, and nothing follows. */
START_TEST(nothing_follows_from_one_hold_of_each)
{
    setup(50, 20, 900, 780);
    setup(40, 20, 850, 740);
    for (int s = 0; s < 2; s++) {
        hold(s, false, s == 0 ? 6 : 3, 1, 0);
    }
    insight_make(record, analysis);
    ck_assert(analysis->insight.mark[0].stands && analysis->insight.mark[1].stands);
    char leads[256];
    snprintf(analysis->channel_name[HEAD], CHANNEL_NAME_SIZE, "head");
    snprintf(analysis->channel_name[CHEST], CHANNEL_NAME_SIZE, "chest");
    insight_leads(analysis, 1, leads, sizeof leads);
    ck_assert_str_eq(leads, "lowest head, chest"); /* of these the interval is known */
}
END_TEST

/* Head = 0.6 of the pads, 0.3 of the spacers; chest = 0.2 of both. */
START_TEST(heights_follow_the_parts)
{
    setup(50, 20, 900, 780);
    setup(40, 20, 894, 778);
    setup(40, 0, 888, 774);
    record->setup[2].bike.value[BIKE_STEM_LENGTH] = 90; /* not known before: no change */
    insight_make(record, analysis);
    const struct insight *insight = &analysis->insight;
    ck_assert_int_eq(insight->factor_count, 3); /* the fore-aft was not changed */
    ck_assert_int_eq(insight->factor[0], BIKE_SPACERS);
    ck_assert_int_eq(insight->factor[1], BIKE_PAD_RISE);
    ck_assert_int_eq(insight->factor[2], BIKE_PAD_FORE_AFT);
    ck_assert_double_eq(insight->tried_low[0], 0);
    ck_assert_double_eq(insight->tried_high[0], 20);
    ck_assert_int_eq(insight->steps_setups[HEAD], 3);
    const struct steps *head = &insight->steps[HEAD], *chest = &insight->steps[CHEST];
    ck_assert_int_eq(head->status, MEASURE_OK);
    ck_assert_double_eq_tol(head->factor[0].per_unit, 0.3, 1e-9);
    ck_assert_double_eq_tol(head->factor[1].per_unit, 0.6, 1e-9);
    ck_assert_double_eq_tol(chest->factor[0].per_unit, 0.2, 1e-9);
    ck_assert_double_eq_tol(chest->factor[1].per_unit, 0.2, 1e-9);
    /* two heights known to 3 mm each, over 20 mm and over 10 */
    ck_assert_double_eq_tol(head->factor[0].half_width, 3 * sqrt(2) / 20, 1e-9);
    ck_assert_double_eq_tol(head->factor[1].half_width, 3 * sqrt(2) / 10, 1e-9);
    ck_assert_int_eq(head->factor[2].state, STEPS_NOT_CHANGED);
}
END_TEST

/* What was changed comes first; then the parts that a fitter reaches for, in that order, where they
 * are known. */
START_TEST(the_usual_parts_stand_beside_what_was_changed)
{
    setup(50, 20, 900, 780);
    setup(50, 20, 894, 778);
    for (int s = 0; s < 2; s++) {
        record->setup[s].bike.value[BIKE_STEM_LENGTH] = 100 - 10 * s;
        record->setup[s].bike.value[BIKE_EXTENSION_ANGLE] = 5;
    }
    insight_make(record, analysis);
    const struct insight *insight = &analysis->insight;
    ck_assert_int_eq(insight->factor_count, 5);
    ck_assert_int_eq(insight->factor[0], BIKE_STEM_LENGTH);
    ck_assert_int_eq(insight->factor[1], BIKE_PAD_RISE);
    ck_assert_int_eq(insight->factor[2], BIKE_PAD_FORE_AFT);
    ck_assert_int_eq(insight->factor[3], BIKE_EXTENSION_ANGLE);
    ck_assert_int_eq(insight->factor[4], BIKE_SPACERS);
}
END_TEST

/* Limits on both sides that leave room. */
static struct bike_limits wide_limits(void)
{
    struct bike_limits limits;
    bike_limits_clear(&limits);
    limits.least[BIKE_PAD_RISE] = 5;
    limits.most[BIKE_PAD_RISE] = 65;
    limits.least[BIKE_SPACERS] = 0;
    limits.most[BIKE_SPACERS] = 30;
    return limits;
}

START_TEST(the_next_setup_worth_trying)
{
    struct insight_suggestion next;
    struct bike_limits limits = wide_limits();
    setup(50, 20, 900, 780);
    setup(40, 20, 894, 778);
    setup(40, 0, 888, 774);
    insight_make(record, analysis);
    insight_suggest(record, analysis, 2, &limits, &next);
    ck_assert_int_eq(next.purpose, STEPS_LOWER); /* 10 mm of pads: 6 ±4.2, of spacers 3 ±2.1 */
    ck_assert_int_eq(next.part, BIKE_PAD_RISE);
    ck_assert_double_eq(next.from, 40);
    ck_assert_double_eq(next.to, 30);
    ck_assert_double_eq_tol(next.forecast[HEAD].height_change_mm, -6, 1e-9);
    ck_assert_double_eq_tol(next.forecast[HEAD].half_width_mm, 3 * sqrt(2), 1e-9);
    ck_assert_double_eq_tol(next.forecast[CHEST].height_change_mm, -2, 1e-9);
    ck_assert_int_eq(insight_suggest_from(record, analysis), 2); /* the lowest */
    /* no pads under 35, and no spacers under 0 can be had; what the reach does nobody knows */
    limits.least[BIKE_PAD_RISE] = 35;
    insight_suggest(record, analysis, 2, &limits, &next);
    ck_assert_int_eq(next.purpose, STEPS_NOTHING);
    ck_assert_int_eq(next.reason, SUGGESTION_NO_STEP);
    /* from the first setup, 10 mm of pads are ridden already: the spacers are left */
    limits = wide_limits();
    insight_suggest(record, analysis, 0, &limits, &next);
    ck_assert_int_eq(next.part, BIKE_SPACERS);
    ck_assert_double_eq(next.to, 10);
    /* a column that must carry as much as now leaves nothing */
    bike_limits_clear(&limits);
    limits.least[BIKE_LIMIT_COLUMN] = 60;
    limits.least[BIKE_PAD_RISE] = 45;
    insight_suggest(record, analysis, 0, &limits, &next);
    ck_assert_int_eq(next.purpose, STEPS_NOTHING);
    ck_assert_int_eq(next.reason, SUGGESTION_NO_STEP);
}
END_TEST

static char said[1500];

static void hear(void *context, const char *sentence)
{
    (void)context;
    strcat(said, sentence);
    strcat(said, "|");
}

/* The same in words: what it is, from where, what is expected of each sensor of the body, and what
 * it does not know. A third sensor is no body's. */
START_TEST(the_next_setup_in_words)
{
    struct bike_limits limits = wide_limits();
    setup(50, 20, 900, 780);
    setup(40, 20, 894, 778);
    setup(40, 0, 888, 774);
    insight_make(record, analysis);
    analysis->channel_count = 3;
    strcpy(analysis->channel_name[HEAD], "head");
    strcpy(analysis->channel_name[CHEST], "chest");
    said[0] = '\0';
    insight_say_next(record, analysis, 2, &limits, hear, NULL);
    ck_assert_str_eq(said, "A suggestion, no more: from setup 3, pad rise 40 to 30 mm. Expected: "
                           "head -6 mm (-10 to -2), chest -2 mm (-6 to +2).|It keeps to the limits "
                           "entered and to a step beyond what was tried. Comfort, sight and race "
                           "rules are not in it.|");
    analysis->insight.steps[CHEST].status = MEASURE_TOO_FEW;
    analysis->insight.steps[CHEST].factor_count = 0;
    said[0] = '\0';
    insight_say_next(record, analysis, 2, &limits, hear, NULL);
    ck_assert_ptr_nonnull(strstr(said, "head -6 mm (-10 to -2), chest not known yet.|"));
    said[0] = '\0';
    insight_say_next(record, analysis, -1, &limits, hear, NULL);
    ck_assert_str_eq(said, "");
    insight_say_next(record, analysis, 2, NULL, hear, NULL);
    ck_assert_ptr_eq(strstr(said, "No next step is suggested from setup 3: "), said);
}
END_TEST

/* Nobody is sent where nobody looked how far the part may go, on that side. */
START_TEST(without_a_limit_no_step)
{
    struct insight_suggestion next;
    struct bike_limits limits;
    setup(50, 20, 900, 780);
    setup(40, 20, 894, 778);
    setup(40, 0, 888, 774);
    insight_make(record, analysis);
    insight_suggest(record, analysis, 2, NULL, &next);
    ck_assert_int_eq(next.purpose, STEPS_NOTHING);
    ck_assert_int_eq(next.reason, SUGGESTION_NO_LIMIT);
    ck_assert_int_eq(next.part, BIKE_PAD_RISE);
    bike_limits_clear(&limits);
    limits.most[BIKE_PAD_RISE] = 65; /* the other side */
    insight_suggest(record, analysis, 2, &limits, &next);
    ck_assert_int_eq(next.reason, SUGGESTION_NO_LIMIT);
    limits.least[BIKE_PAD_RISE] = 5;
    insight_suggest(record, analysis, 2, &limits, &next);
    ck_assert_int_eq(next.purpose, STEPS_LOWER);
    /* the column's limit is the spacers' */
    bike_limits_clear(&limits);
    limits.least[BIKE_LIMIT_COLUMN] = 0;
    insight_suggest(record, analysis, 0, &limits, &next);
    ck_assert_int_eq(next.part, BIKE_SPACERS);
    ck_assert_int_eq(next.purpose, STEPS_LOWER);
}
END_TEST

/* Nobody is sent to where the rider could not see ahead. */
START_TEST(not_as_low_as_where_sight_failed)
{
    struct insight_suggestion next;
    const struct bike_limits limits = wide_limits();
    setup(50, 20, 900, 780);
    setup(40, 20, 894, 778);
    setup(40, 0, 888, 774);
    rate(2, 3, 2, SEES_NO);
    insight_make(record, analysis);
    insight_suggest(record, analysis, 2, &limits, &next);
    ck_assert_int_eq(next.purpose, STEPS_NOTHING);
    ck_assert_int_eq(next.reason, SUGGESTION_COMPLAINT);
    ck_assert_int_eq(next.complaint, COMPLAINT_FAILED);
    ck_assert_int_eq(insight_suggest_from(record, analysis), 1);
    /* from setup 2, 10 mm of pads would be 888 as well: spacers, 891, would not */
    insight_suggest(record, analysis, 1, &limits, &next);
    ck_assert_int_eq(next.purpose, STEPS_LOWER);
    ck_assert_int_eq(next.part, BIKE_SPACERS);
    ck_assert_double_eq(next.to, 10);
}
END_TEST

START_TEST(parts_that_went_together)
{
    struct insight_suggestion next;
    setup(50, 20, 900, 780);
    setup(40, 10, 890, 775);
    insight_make(record, analysis);
    const struct steps *head = &analysis->insight.steps[HEAD];
    ck_assert_int_eq(head->factor[0].state, STEPS_NOT_TOLD_APART);
    ck_assert_int_eq(head->factor[1].state, STEPS_NOT_TOLD_APART);
    insight_suggest(record, analysis, 1, NULL, &next);
    ck_assert_int_eq(next.purpose, STEPS_NOTHING);
}
END_TEST

START_TEST(too_little_says_nothing)
{
    struct insight_suggestion next;
    insight_make(record, analysis);
    ck_assert_int_eq(analysis->insight.tradeoff_setups, 0);
    insight_suggest(record, analysis, 0, NULL, &next);
    ck_assert_int_eq(next.purpose, STEPS_NOTHING);
    setup(50, 20, 900, 780);
    setup(50, 20, 899, 780);
    insight_make(record, analysis);
    ck_assert_int_eq(analysis->insight.steps[HEAD].status, MEASURE_CONSTANT); /* no part changed */
    setup(40, 20, 890, 775);
    analysis->free_heights[HEAD].has_repeatability = false;
    insight_make(record, analysis);
    ck_assert_int_eq(analysis->insight.steps[HEAD].status, MEASURE_TOO_FEW);
    ck_assert_int_eq(analysis->insight.steps[CHEST].status, MEASURE_OK);
    insight_suggest(record, analysis, 2, NULL, &next);
    ck_assert_int_eq(next.purpose, STEPS_NOTHING);
    ck_assert_int_eq(next.reason, SUGGESTION_TOO_LITTLE);
    /* not tied: its height says nothing */
    analysis->free_heights[CHEST].setup[2].tied = false;
    insight_make(record, analysis);
    ck_assert_int_eq(analysis->insight.steps_setups[CHEST], 2);
    /* more parts than can be told apart */
    for (int key = BIKE_STEM_LENGTH; key < BIKE_STEM_LENGTH + 7; key++) {
        record->setup[0].bike.value[key] = 1;
        record->setup[1].bike.value[key] = 1;
        record->setup[2].bike.value[key] = 2;
    }
    insight_make(record, analysis);
    ck_assert_int_ge(analysis->insight.factors_too_many, 7);
    ck_assert_int_eq(analysis->insight.steps[CHEST].status, MEASURE_TOO_FEW);
}
END_TEST

/* Breathing of the same phase on both channels: a narrow ellipse around the heights. */
START_TEST(two_channels_together)
{
    struct drive drive;
    drive_start(&drive, 5);
    drive_describe(&drive);
    drive_do(&drive, "hold 30s free settle=0s");
    drive_finish(&drive);
    const struct analysis *made = session_analysis(drive.session);
    ck_assert(made->hold[0].together);
    ck_assert_int_eq(made->insight.y_channel, 0);
    ck_assert_int_eq(made->insight.x_channel, 1);
    ck_assert(made->insight.together[0]);
    const struct ellipse *ellipse = &made->insight.ellipse[0];
    ck_assert_double_eq_tol(ellipse->mean_y, made->hold[0].summary[0].mean_mm, 0.2);
    ck_assert_double_eq_tol(ellipse->mean_x, made->hold[0].summary[1].mean_mm, 0.2);
    ck_assert_double_eq_tol(sqrt(ellipse->var_y), made->hold[0].summary[0].steadiness_mm, 0.1);
    ck_assert_double_eq_tol(sqrt(ellipse->var_x), made->hold[0].summary[1].steadiness_mm, 0.1);
    ck_assert_double_eq_tol(ellipse->area, made->hold[0].ellipse.area, 1e-9);
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("insight");
    TCase *tests = tcase_create("insight");
    tcase_add_checked_fixture(tests, begin, end);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, each_criterion_has_what_matters_of_its_own);
    tcase_add_test(tests, what_no_other_is_shown_to_beat);
    tcase_add_test(tests, nothing_follows_from_one_hold_of_each);
    tcase_add_test(tests, heights_follow_the_parts);
    tcase_add_test(tests, the_usual_parts_stand_beside_what_was_changed);
    tcase_add_test(tests, the_next_setup_worth_trying);
    tcase_add_test(tests, the_next_setup_in_words);
    tcase_add_test(tests, without_a_limit_no_step);
    tcase_add_test(tests, not_as_low_as_where_sight_failed);
    tcase_add_test(tests, parts_that_went_together);
    tcase_add_test(tests, too_little_says_nothing);
    tcase_add_test(tests, two_channels_together);
    return test_main(suite);
}
