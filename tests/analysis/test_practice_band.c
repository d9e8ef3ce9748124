/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* By which band a setup may be practised, and how it was kept there. */
#include "support/test_main.h"

#include "analysis/practice_band.h"

#include <math.h>
#include <stdlib.h>

static struct session_record *record;
static struct analysis *analysis;

/* Setups 1 and 2 on one build each; target 0 was taken on the first, target 1 was typed: head at
 * 880 mm. Its band is 10 above and 20 below; 15 mm matter on the head. */
static void set_up(void)
{
    record = calloc(1, sizeof *record);
    analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->setup_count = record->build_count = 2;
    for (int setup = 0; setup < 2; setup++) {
        record->setup[setup].number = setup + 1;
        record->build[setup].setup = setup;
        analysis->tie[setup][0] = (struct tie){.kind = TIE_FIRST, .absolute = true};
    }
    record->target_count = 2;
    record->target[0] = (struct target_record){.capture = 0, .build = 0, .kept = true};
    record->target[1] = (struct target_record){.capture = -1, .kept = true};
    record->band_count = 1;
    record->band[0].limited[0] = true;
    record->band[0].cue[0] = (struct cue_settings){.band_above_mm = 10, .band_below_mm = 20};
    record->settings.matters_mm[0] = 15;
    analysis->channel_count = 2;
    analysis->body[0] = analysis->body[1] = true;
    for (int target = 0; target < 2; target++) {
        analysis->target[target][0].has = true;
        analysis->target[target][0].height_mm = 880;
    }
    for (int setup = 0; setup < 2; setup++) {
        analysis->free_heights[0].setup[setup] =
            (struct setup_estimate){.holds = 2, .mean = 880, .tied = true};
    }
}

static void tear_down(void)
{
    analysis_destroy(analysis);
    free(record);
}

/* A guided hold that counts, to this target: the head in the band for this share of its 60 s, and
 * kept so long. */
static struct hold_summary *hold_to(int setup, int target, double share, double kept_s, bool lost)
{
    int hold = record->hold_count++;
    record->hold[hold] =
        (struct hold_record){.guided = true, .build = setup, .target = target, .band = 0};
    analysis->hold[hold].counts = true;
    analysis->hold[hold].duration_s = 180;
    analysis->hold[hold].has[0] = true;
    analysis->hold[hold].summary[0] = (struct hold_summary){.status = MEASURE_OK,
                                                            .has_interval = true,
                                                            .has_band = true,
                                                            .in_band_share = share,
                                                            .kept_s = 60,
                                                            .sustain_s = kept_s,
                                                            .sustain_reached = lost};
    return &analysis->hold[hold].summary[0];
}

static struct practice_band band_of(int setup, enum practice_band_of of)
{
    struct practice_band band;
    practice_band_find(record, analysis, setup, &band);
    ck_assert_int_eq(band.of, of);
    ck_assert_int_eq(practice_band_holds_good(&band),
                     of == PRACTICE_BAND_OWN || of == PRACTICE_BAND_ENTERED);
    return band;
}

START_TEST(a_target_of_its_own_or_one_that_it_lies_at)
{
    band_of(0, PRACTICE_BAND_NONE); /* no hold yet */
    hold_to(0, 0, .9, 180, false);
    hold_to(1, 0, .9, 180, false);
    ck_assert_int_eq(band_of(0, PRACTICE_BAND_OWN).other, -1);
    ck_assert_int_eq(band_of(1, PRACTICE_BAND_OTHER).other, 0);
    record->hold[1].target = 1;
    ck_assert_int_eq(band_of(1, PRACTICE_BAND_ENTERED).hold.target, 1);
    record->hold[1].band = -1;
    band_of(1, PRACTICE_BAND_NONE);
    record->hold[1].band = 0;
    analysis->body[0] = false; /* a band on the trainer's channel is none of the body */
    band_of(1, PRACTICE_BAND_NONE);
    analysis->body[0] = true;
    analysis->hold[1].counts = false;
    band_of(1, PRACTICE_BAND_NONE);
}
END_TEST

/* By more than what matters beside it, or out of the band. */
START_TEST(a_target_that_was_typed_and_the_posture_lies_elsewhere)
{
    static const struct {
        double mean;
        enum practice_band_of of;
    } cases[] = {
        {890.0, PRACTICE_BAND_ENTERED},
        {890.1, PRACTICE_BAND_AWAY},
        {865.0, PRACTICE_BAND_ENTERED},
        {864.9, PRACTICE_BAND_AWAY},
    };
    struct setup_estimate *free_head = &analysis->free_heights[0].setup[1];
    hold_to(1, 1, .9, 180, false);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        free_head->mean = cases[i].mean;
        band_of(1, cases[i].of);
    }
    record->settings.matters_mm[0] = 30; /* the band's lower end goes first */
    free_head->mean = 860;
    band_of(1, PRACTICE_BAND_ENTERED);
    free_head->mean = 859.9;
    band_of(1, PRACTICE_BAND_AWAY);
    free_head->tied = false; /* where it lies is not known */
    band_of(1, PRACTICE_BAND_ENTERED);
    free_head->tied = true;
    free_head->holds = 0;
    band_of(1, PRACTICE_BAND_ENTERED);
}
END_TEST

/* Taken since the last hold, with the latest band. */
START_TEST(the_latest_target_of_the_setup_itself)
{
    hold_to(1, 0, .9, 180, false);
    band_of(1, PRACTICE_BAND_OTHER);
    record->target[1] = (struct target_record){.capture = 3, .build = 1, .kept = true};
    record->band[1] = record->band[0];
    record->band_count = 2;
    struct practice_band band = band_of(1, PRACTICE_BAND_OWN);
    ck_assert_int_eq(band.hold.target, 1);
    ck_assert_int_eq(band.hold.band, 1);
    record->target[1].kept = false;
    band_of(1, PRACTICE_BAND_OTHER);
    record->target[1].kept = true;
    record->target[1].undone = true;
    band_of(1, PRACTICE_BAND_OTHER);
    hold_to(0, 1, .9, 180, false); /* the first setup's own is the first of all */
    ck_assert_int_eq(band_of(0, PRACTICE_BAND_OWN).hold.target, 0);
}
END_TEST

START_TEST(the_share_is_of_guided_holds_to_the_bands_target)
{
    hold_to(0, 0, .9, 180, false);
    hold_to(0, 1, .1, 180, false);
    hold_to(1, 0, .2, 180, false);
    hold_to(0, 0, .3, 180, false)->has_interval = false;
    hold_to(0, 0, .4, 180, false);
    record->hold[4].guided = false;
    hold_to(0, 0, .7, 180, false);
    struct practice_band band = band_of(0, PRACTICE_BAND_OWN);
    struct practice_share share = practice_share_of(record, analysis, 0, &band, 0);
    ck_assert_int_eq(share.holds, 2);
    ck_assert_double_eq_tol(share.share, .8, 1e-12);
    ck_assert_double_eq_tol(share.kept_s, 120, 1e-12);
    ck_assert_double_nan(practice_share_of(record, analysis, 0, &band, 1).share);
    band = band_of(1, PRACTICE_BAND_OTHER);
    ck_assert_double_nan(practice_share_of(record, analysis, 1, &band, 0).share);
}
END_TEST

/* The shortest that it was lost after, the longest that it was not; of holds of 150 s and more. */
START_TEST(how_long_it_was_kept_is_of_long_holds_to_the_bands_target)
{
    hold_to(0, 0, .9, 170, false);
    hold_to(0, 0, .9, 160, false);
    hold_to(0, 0, .9, 120, true);
    hold_to(0, 0, .9, 90, true);
    hold_to(0, 0, .9, 100, true);
    hold_to(0, 1, .9, 30, true);
    hold_to(1, 0, .9, 40, true);
    hold_to(0, 0, .9, 50, true);
    analysis->hold[7].duration_s = 149;
    struct practice_band band = band_of(0, PRACTICE_BAND_OWN);
    struct practice_kept kept = practice_kept_of(record, analysis, 0, &band);
    ck_assert_double_eq(kept.gone_after_s, 90);
    ck_assert_double_eq(kept.kept_s, 170);
    ck_assert_double_eq(kept.of_s, 180);
    analysis->hold[7].duration_s = 150;
    ck_assert_double_eq(practice_kept_of(record, analysis, 0, &band).gone_after_s, 50);
    kept = practice_kept_of_all(record, analysis); /* setup 2's band is not its own */
    ck_assert_double_eq(kept.gone_after_s, 50);
    record->target[0].build = 1; /* it is, now, and setup 1's last hold is to another's */
    ck_assert_double_eq(practice_kept_of_all(record, analysis).gone_after_s, 40);
}
END_TEST

/* The part that was kept worst; a channel that is no part of the body is none. */
START_TEST(the_part_that_was_kept_worst_counts)
{
    hold_to(0, 0, .9, 175, false);
    analysis->hold[0].has[1] = true;
    analysis->hold[0].summary[1] = (struct hold_summary){.has_band = true, .sustain_s = 151};
    struct practice_band band = band_of(0, PRACTICE_BAND_OWN);
    struct practice_kept kept = practice_kept_of(record, analysis, 0, &band);
    ck_assert_double_eq(kept.kept_s, 151);
    ck_assert_double_nan(kept.gone_after_s);
    analysis->hold[0].summary[1].sustain_reached = true;
    kept = practice_kept_of(record, analysis, 0, &band);
    ck_assert_double_eq(kept.gone_after_s, 151);
    ck_assert_double_nan(kept.kept_s);
    analysis->body[1] = false;
    ck_assert_double_eq(practice_kept_of(record, analysis, 0, &band).kept_s, 175);
}
END_TEST

/* A posture that lies far off its typed target, of a part that is no body's, was not held without
 * the gauge or is not tied: nothing says that it lies elsewhere. */
START_TEST(what_is_not_known_does_not_lie_elsewhere)
{
    struct setup_estimate *head = &analysis->free_heights[0].setup[1];
    hold_to(1, 1, .9, 180, false);
    head->mean = 950;
    band_of(1, PRACTICE_BAND_AWAY);
    head->holds = 0;
    band_of(1, PRACTICE_BAND_ENTERED);
    head->holds = 2;
    head->tied = false;
    band_of(1, PRACTICE_BAND_ENTERED);
    head->tied = true;
    record->band[0].limited[1] = true; /* the chest's band stands; the first part is no body's */
    record->band[0].cue[1] = record->band[0].cue[0];
    analysis->tie[1][1] = analysis->tie[1][0];
    analysis->target[1][1] = analysis->target[1][0];
    analysis->body[0] = false;
    band_of(1, PRACTICE_BAND_ENTERED);
}
END_TEST

/* Without one of what a share is told from a hold has none, and how long the band was kept is of
 * what had a band. */
START_TEST(what_does_not_count_says_nothing)
{
    for (int lacks = 0; lacks < 5; lacks++) {
        record->hold_count = 0;
        struct hold_summary *summary = hold_to(0, 0, .9, 180, false);
        struct practice_band band = band_of(0, PRACTICE_BAND_OWN);
        analysis->hold[0].has[0] = lacks != 1;
        summary->status = lacks == 2 ? MEASURE_TOO_FEW : MEASURE_OK;
        summary->has_interval = lacks != 3;
        summary->has_band = lacks != 4;
        struct practice_share share = practice_share_of(record, analysis, 0, &band, 0);
        struct practice_kept kept = practice_kept_of(record, analysis, 0, &band);
        ck_assert_int_eq(share.holds, lacks == 0);
        ck_assert(isnan(share.share) == (lacks > 0));
        ck_assert(isnan(kept.kept_s) == (lacks == 1 || lacks == 4) && isnan(kept.gone_after_s));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("practice_band");
    TCase *tests = tcase_create("practice_band");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, a_target_of_its_own_or_one_that_it_lies_at);
    tcase_add_test(tests, a_target_that_was_typed_and_the_posture_lies_elsewhere);
    tcase_add_test(tests, the_latest_target_of_the_setup_itself);
    tcase_add_test(tests, the_share_is_of_guided_holds_to_the_bands_target);
    tcase_add_test(tests, how_long_it_was_kept_is_of_long_holds_to_the_bands_target);
    tcase_add_test(tests, the_part_that_was_kept_worst_counts);
    tcase_add_test(tests, what_is_not_known_does_not_lie_elsewhere);
    tcase_add_test(tests, what_does_not_count_says_nothing);
    return test_main(suite);
}
