/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Why a hold is in no comparison, one reason after the other. */
#include "support/test_main.h"

#include "analysis/far_level.h"
#include "analysis/hold_use.h"
#include "analysis/ride_summary.h"
#include "support/bikes.h"

#include <math.h>
#include <stdlib.h>

START_TEST(each_reason)
{
    struct session_record *record = calloc(1, sizeof *record);
    struct analysis *analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->hold_count = record->build_count = record->setup_count = 1;
    record->hold[0] = (struct hold_record){.status = HOLD_COMPLETE};
    analysis->channel_count = 2;
    analysis->body[0] = true;
    analysis->tie[0][0].kind = TIE_FIRST;
    struct hold_result *result = &analysis->hold[0];
    struct hold_record *hold = &record->hold[0];
    result->has[0] = result->has[1] = true;
    result->summary[0] =
        (struct hold_summary){.status = MEASURE_OK, .has_interval = true, .has_band = true};
    ck_assert_int_eq(hold_use_of(record, analysis, 0, 0), HOLD_USED);
    ck_assert_int_eq(hold_use_of(record, analysis, 0, 1), HOLD_UNUSED_NOT_OF_THE_BODY);
    analysis->slip[0].asked = true;
    ck_assert_int_eq(hold_use_of(record, analysis, 0, 0), HOLD_UNUSED_SLIP);
    analysis->tie[0][0].kind = TIE_NONE;
    ck_assert_int_eq(hold_use_of(record, analysis, 0, 0), HOLD_UNUSED_NOT_TIED);
    ck_assert_int_eq(hold_use_of_readings(record, analysis, 0, 0), HOLD_USED);
    analysis->slip[0].asked = false;
    analysis->tie[0][0].kind = TIE_FIRST;
    analysis->step_open[0] = 1;
    ck_assert_int_eq(hold_use_of(record, analysis, 0, 0), HOLD_UNUSED_SLIP);
    result->summary[0].stepped = true;
    ck_assert_int_eq(hold_use_of(record, analysis, 0, 0), HOLD_UNUSED_STEP);
    record->hold_count = 2; /* the next one on the build: after a sensor's step, not a rider's */
    record->hold[1] = record->hold[0];
    analysis->hold[1] = *result;
    analysis->hold[1].summary[0].stepped = false;
    analysis->step_open[0] = 0;
    ck_assert_int_eq(hold_use_of(record, analysis, 1, 0), HOLD_USED);
    result->step_alone[0] = true;
    ck_assert_int_eq(hold_use_of(record, analysis, 1, 0), HOLD_UNUSED_AFTER_STEP);
    hold->rejected = true;
    ck_assert_int_eq(hold_use_of(record, analysis, 1, 0), HOLD_USED);
    hold->rejected = false;
    result->summary[0].stepped = result->step_alone[0] = false;
    analysis->tie[0][0].kind = TIE_NONE;
    analysis->slip[0].asked = true;
    hold->guided = true; /* a share in the band needs no tie */
    ck_assert_int_eq(hold_use_of(record, analysis, 0, 0), HOLD_USED);
    result->summary[0].has_band = false;
    ck_assert_int_eq(hold_use_of(record, analysis, 0, 0), HOLD_UNUSED_NO_BAND);
    result->summary[0].has_interval = false;
    ck_assert_int_eq(hold_use_of(record, analysis, 0, 0), HOLD_UNUSED_TOO_LITTLE);
    result->has[0] = false;
    ck_assert_int_eq(hold_use_of(record, analysis, 0, 0), HOLD_UNUSED_NO_NUMBERS);
    hold->kept_afterwards = true;
    ck_assert_int_eq(hold_use_of(record, analysis, 0, 0), HOLD_UNUSED_KEPT_AFTERWARDS);
    hold->rejected = true;
    ck_assert_int_eq(hold_use_of(record, analysis, 0, 0), HOLD_UNUSED_LEFT_OUT);
    hold->status = HOLD_RUNNING;
    ck_assert_int_eq(hold_use_of(record, analysis, 0, 0), HOLD_UNUSED_RUNNING);
    analysis_destroy(analysis);
    free(record);
}
END_TEST

/* By hand: the head in the band for 0.8 of the time and lost, the chest for 0.6; a part without a
 * band, and a sensor that is not on the body, have no say. */
START_TEST(the_part_kept_worst)
{
    struct analysis *analysis = analysis_create();
    bool lost;
    ck_assert_ptr_nonnull(analysis);
    ck_assert(isnan(hold_worst_share(analysis, 0, &lost)) && !lost);
    struct hold_result *result = &analysis->hold[0];
    analysis->channel_count = 4;
    for (int c = 0; c < 5; c++) { /* the last one is no sensor of these */
        analysis->body[c] = c != 3;
        result->has[c] = true;
        result->summary[c] =
            (struct hold_summary){.has_band = c != 2, .in_band_share = 0.8 - 0.2 * c};
    }
    ck_assert_double_eq_tol(hold_worst_share(analysis, 0, &lost), 0.6, 1e-12);
    ck_assert(!lost);
    result->summary[0].sustain_reached = true;
    ck_assert_double_eq_tol(hold_worst_share(analysis, 0, &lost), 0.6, 1e-12);
    ck_assert(lost);
    analysis_destroy(analysis);
}
END_TEST

/* The rider was not seen to sit up since the hold before it: one hold of the two has a say. That is
 * a free one on the same build, of the same kind. */
START_TEST(one_sit_is_one_hold)
{
    struct session_record *record = calloc(1, sizeof *record);
    struct analysis *analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->hold_count = record->build_count = record->setup_count = 2;
    analysis->channel_count = 1;
    analysis->body[0] = true;
    for (int h = 0; h < 2; h++) {
        record->hold[h] = (struct hold_record){.status = HOLD_COMPLETE, .target = -1};
        analysis->tie[h][0].kind = TIE_FIRST;
        analysis->hold[h].has[0] = true;
        analysis->hold[h].summary[0] =
            (struct hold_summary){.status = MEASURE_OK, .has_interval = true, .has_band = true};
    }
    struct hold_record *before = &record->hold[0];
    record->hold[1].resit = RESIT_NOT_SEEN;
    ck_assert_int_eq(hold_use_of(record, analysis, 1, 0), HOLD_UNUSED_SAME_SIT);
    before->build = 1;
    ck_assert_int_eq(hold_use_of(record, analysis, 1, 0), HOLD_USED);
    before->build = 0;
    before->guided = true;
    ck_assert_int_eq(hold_use_of(record, analysis, 1, 0), HOLD_USED);
    before->guided = false;
    before->purpose = PURPOSE_TEST;
    ck_assert_int_eq(hold_use_of(record, analysis, 1, 0), HOLD_USED);
    before->purpose = PURPOSE_NONE;
    before->rejected = true; /* it has none: this one stands for both */
    before->resit = RESIT_NOT_SEEN;
    ck_assert_int_eq(hold_use_of(record, analysis, 1, 0), HOLD_USED);
    record->hold[1].guided = true; /* a guided hold's share is its own */
    ck_assert_int_eq(hold_use_of(record, analysis, 1, 0), HOLD_USED);
    /* Of a guided hold a step of the rider is a matter of the band, one of a sensor alone is none.
     */
    analysis->hold[1].summary[0].stepped = true;
    ck_assert_int_eq(hold_use_of(record, analysis, 1, 0), HOLD_USED);
    analysis->hold[1].step_alone[0] = true;
    ck_assert_int_eq(hold_use_of(record, analysis, 1, 0), HOLD_UNUSED_STEP);
    analysis_destroy(analysis);
    free(record);
}
END_TEST

/* A target stands beside the holds of its own build, of any other where the sensor is tied; one
 * that was typed only where heights are known from the bottom bracket. */
START_TEST(beside_its_target)
{
    struct session_record *record = calloc(1, sizeof *record);
    struct analysis *analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->hold_count = record->target_count = 1;
    record->build_count = record->setup_count = 2;
    record->hold[0] = (struct hold_record){.status = HOLD_COMPLETE, .target = 0, .build = 1};
    record->target[0] = (struct target_record){.capture = 0, .build = 0};
    struct tie *tie = &analysis->tie[1][0];
    tie->kind = TIE_NONE;
    ck_assert(!hold_is_beside_target(record, analysis, 0, 0));
    tie->kind = TIE_PLATE;
    ck_assert(hold_is_beside_target(record, analysis, 0, 0));
    record->target[0].capture = -1;
    ck_assert(!hold_is_beside_target(record, analysis, 0, 0));
    tie->absolute = true;
    ck_assert(hold_is_beside_target(record, analysis, 0, 0));
    record->hold[0].target = -1;
    ck_assert(!hold_is_beside_target(record, analysis, 0, 0));
    analysis_destroy(analysis);
    free(record);
}
END_TEST

/* A ride's summary is of the parts that came to numbers. */
START_TEST(a_ride_of_parts_that_have_numbers)
{
    struct session_record *record = calloc(1, sizeof *record);
    struct analysis *analysis = analysis_create();
    struct ride_summary summary;
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->hold_count = record->build_count = record->setup_count = 1;
    record->hold[0] = (struct hold_record){
        .number = 3, .status = HOLD_COMPLETE, .purpose = PURPOSE_RIDE, .target = -1};
    analysis->channel_count = 3;
    for (int c = 0; c < 3; c++) {
        analysis->body[c] = true;
        analysis->hold[0].has[c] = true;
        analysis->hold[0].summary[c].status = c == 1 ? MEASURE_TOO_FEW : MEASURE_OK;
        analysis->hold[0].course[c].quarter[0].to_s = c == 2 ? 0.0 : 60.0;
    }
    ck_assert(ride_summary_of(record, analysis, 0, &summary));
    ck_assert_int_eq(summary.channel_count, 1);
    record->hold[0].status = HOLD_RUNNING; /* it is not over */
    ck_assert(!ride_summary_of(record, analysis, 0, &summary));
    record->hold[0].status = HOLD_COMPLETE;
    record->hold[0].purpose = PURPOSE_PIECE;
    ck_assert(!ride_summary_of(record, analysis, 0, &summary));
    record->hold[0].purpose = PURPOSE_RIDE;
    analysis->channel_count = CHANNELS_MAX;
    for (int c = 1; c < CHANNELS_MAX; c++) {
        analysis->body[c] = analysis->hold[0].has[c] = true;
        analysis->hold[0].summary[c].status = MEASURE_OK;
        analysis->hold[0].course[c].quarter[0].to_s = 60.0;
    }
    ck_assert(ride_summary_of(record, analysis, 0, &summary));
    ck_assert_int_eq(summary.channel_count, CHANNELS_MAX);
    analysis->channel_count = 3;
    analysis->hold[0].summary[1].status = MEASURE_TOO_FEW;
    analysis->body[2] = false;
    analysis->hold[0].summary[0].status = MEASURE_CONSTANT;
    ck_assert(!ride_summary_of(record, analysis, 0, &summary));
    analysis_destroy(analysis);
    free(record);
}
END_TEST

/* A hold between that has no say: it stands for nothing, but the rider that sat up before it did.
 */
START_TEST(a_sit_over_a_hold_that_has_no_say)
{
    struct session_record *record = calloc(1, sizeof *record);
    struct analysis *analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->hold_count = 3;
    record->build_count = record->setup_count = 1;
    analysis->channel_count = 1;
    analysis->body[0] = true;
    analysis->tie[0][0].kind = TIE_FIRST;
    for (int h = 0; h < 3; h++) {
        record->hold[h] = (struct hold_record){.status = HOLD_COMPLETE,
                                               .target = -1,
                                               .rejected = h == 1,
                                               .resit = h == 0 ? RESIT_SEEN : RESIT_NOT_SEEN};
        analysis->hold[h].has[0] = true;
        analysis->hold[h].summary[0] =
            (struct hold_summary){.status = MEASURE_OK, .has_interval = true};
    }
    ck_assert_int_eq(hold_use_of(record, analysis, 2, 0), HOLD_UNUSED_SAME_SIT);
    ck_assert(hold_is_same_sit(record, analysis, 2));
    record->hold[1].resit = RESIT_SEEN;
    ck_assert_int_eq(hold_use_of(record, analysis, 2, 0), HOLD_USED);
    ck_assert(!hold_is_same_sit(record, analysis, 2));
    analysis_destroy(analysis);
    free(record);
}
END_TEST

/* By hand: the target at 900 mm, the hold's mean 5 over it; what its quarters were off, and where
 * it went after the band was lost. Of a hold that is not beside its target none of that is known.
 */
START_TEST(a_ride_beside_its_target)
{
    struct session_record *record = calloc(1, sizeof *record);
    struct analysis *analysis = analysis_create();
    struct ride_summary summary;
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->hold_count = record->build_count = record->setup_count = record->target_count = 1;
    record->hold[0] = (struct hold_record){.status = HOLD_COMPLETE, .purpose = PURPOSE_RIDE};
    analysis->channel_count = 1;
    analysis->body[0] = analysis->hold[0].has[0] = true;
    analysis->tie[0][0].kind = TIE_FIRST;
    analysis->hold[0].summary[0] = (struct hold_summary){.status = MEASURE_OK,
                                                         .has_band = true,
                                                         .mean_mm = 905.0,
                                                         .offset_mm = 5.0,
                                                         .sustain_s = 70.0,
                                                         .sustain_reached = true};
    struct minutes_course *course = &analysis->hold[0].course[0];
    course->after_mm = 912.0;
    for (int q = 0; q < RIDE_QUARTERS; q++) {
        course->quarter[q] = (struct minute_row){.from_s = 30.0 * q,
                                                 .to_s = 30.0 * (q + 1),
                                                 .seen_s = 29.0,
                                                 .up_s = q,
                                                 .in_band_share = 0.9 - 0.1 * q,
                                                 .mean_mm = 903.0 + q,
                                                 .cues = q};
    }
    for (int beside = 1; beside >= 0; beside--) {
        record->target[0] = (struct target_record){.capture = 0, .build = 0};
        record->hold[0].target = beside ? 0 : -1;
        ck_assert(ride_summary_of(record, analysis, 0, &summary));
        const struct ride_part *part = &summary.channel[0];
        for (int q = 0; q < RIDE_QUARTERS; q++) {
            ck_assert_double_eq(part->quarter[q].from_s, 30.0 * q);
            ck_assert_double_eq(part->quarter[q].to_s, 30.0 * (q + 1));
            ck_assert_double_eq(part->quarter[q].up_s, q);
            ck_assert(beside ? part->quarter[q].off_mm == 3.0 + q : isnan(part->quarter[q].off_mm));
            ck_assert(isnan(part->quarter[q].in_band_share) == !beside);
        }
        ck_assert(beside ? part->kept_s == 70.0 : isnan(part->kept_s));
        ck_assert(beside ? part->then_mm == 12.0 : isnan(part->then_mm));
        ck_assert(!part->at_least);
    }
    analysis_destroy(analysis);
    free(record);
}
END_TEST

/* A level over 100 mm from the hold before it, beyond what the parts moved; where the parts of one
 * of two bikes do not say where it was, nothing is said. */
START_TEST(a_level_far_from_the_one_before)
{
    struct session_record *record = calloc(1, sizeof *record);
    struct analysis *analysis = analysis_create();
    struct far_level found;
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->hold_count = record->build_count = record->setup_count = 2;
    analysis->channel_count = 1;
    analysis->body[0] = true;
    for (int h = 0; h < 2; h++) {
        record->hold[h] = (struct hold_record){.status = HOLD_COMPLETE, .build = h, .target = -1};
        record->build[h].setup = h;
        record->setup[h].bike = usual_bike();
        analysis->tie[h][0].kind = TIE_FIRST;
        analysis->hold[h].has[0] = true;
        analysis->hold[h].summary[0] = (struct hold_summary){
            .status = MEASURE_OK, .has_interval = true, .mean_mm = 900.0 + 125.0 * h};
    }
    struct bike_values *bike = &record->setup[1].bike;
    ck_assert(far_level_of(record, analysis, 1, 0, &found));
    ck_assert_double_eq(found.by_mm, 125.0);
    bike->value[BIKE_SPACERS] += 20.0;
    ck_assert(far_level_of(record, analysis, 1, 0, &found));
    bike->value[BIKE_SPACERS] += 10.0;
    ck_assert(!far_level_of(record, analysis, 1, 0, &found));
    *bike = usual_bike();
    bike->value[BIKE_PAD_RISE] = NAN; /* no pads to have moved */
    ck_assert(far_level_of(record, analysis, 1, 0, &found));
    ck_assert(!far_level_of(record, analysis, 0, 0, &found));
    bike->value[BIKE_STEM_LENGTH] = NAN;
    ck_assert(!far_level_of(record, analysis, 1, 0, &found));
    *bike = usual_bike();
    record->setup[0].bike.value[BIKE_STEM_LENGTH] = NAN;
    ck_assert(!far_level_of(record, analysis, 1, 0, &found));
    analysis_destroy(analysis);
    free(record);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold use");
    TCase *tests = tcase_create("hold use");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, each_reason);
    tcase_add_test(tests, the_part_kept_worst);
    tcase_add_test(tests, one_sit_is_one_hold);
    tcase_add_test(tests, beside_its_target);
    tcase_add_test(tests, a_ride_of_parts_that_have_numbers);
    tcase_add_test(tests, a_sit_over_a_hold_that_has_no_say);
    tcase_add_test(tests, a_ride_beside_its_target);
    tcase_add_test(tests, a_level_far_from_the_one_before);
    return test_main(suite);
}
