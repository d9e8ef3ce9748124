/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The plate before and after what was held on a build. */
#include "analysis/analysis.h"
#include "analysis/plate_ends.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>

static struct session_record *record;

/* On build 0 the plate was read up to sample 100, a hold ran from 101 to 200, and the plate was
 * read again up to sample 300: 412 and 416 mm. */
static void set_up(void)
{
    record = calloc(1, sizeof *record);
    ck_assert_ptr_nonnull(record);
    session_record_clear(record);
    record->build_count = record->hold_count = 1;
    record->capture_count = 3;
    record->tie_reading_count = 2;
    for (int i = 0; i < 3; i++) {
        record->capture[i] = (struct capture_record){.kind = i == 1 ? CAPTURE_HOLD : CAPTURE_PLATE,
                                                     .first_sample = 100 * i + 1,
                                                     .last_sample = 100 * (i + 1)};
    }
    for (int i = 0; i < 2; i++) {
        record->tie_reading[i] = (struct tie_reading_record){.kind = TIE_READING_PLATE,
                                                             .value_mm = 412.0 + 4.0 * i,
                                                             .plate_height_mm = NAN,
                                                             .at_sample = i == 0 ? 100 : 300};
    }
    record->hold[0] = (struct hold_record){.capture = 1, .status = HOLD_COMPLETE};
}

static void tear_down(void)
{
    free(record);
}

static double apart(void)
{
    struct plate_ends ends = plate_ends_of(record, 0, 0);
    return plate_ends_apart_mm(&ends);
}

START_TEST(the_plate_at_both_ends)
{
    ck_assert_double_eq(apart(), 4.0);
    struct plate_ends of_another = plate_ends_of(record, 0, 1);
    ck_assert(isnan(plate_ends_apart_mm(&of_another)) && !plate_ends_disagree(&of_another));
    for (int i = 0; i < 2; i++) {
        record->tie_reading[i].plate_height_mm = 15.0;
    }
    ck_assert_double_eq(apart(), 4.0);
}
END_TEST

/* A plate that lay otherwise, at a height that was not said the other time or on another rest. */
START_TEST(another_plate_is_none)
{
    for (int i = 0; i < 2; i++) {
        record->tie_reading[i].plate_height_mm = 15.0;
        ck_assert(isnan(apart()));
        record->tie_reading[i].plate_height_mm = NAN;
        record->tie_reading[i].rest = REST_PADS;
        ck_assert(isnan(apart()));
        record->tie_reading[i].rest = 0;
    }
    record->tie_reading[0].plate_height_mm = 15.0;
    record->tie_reading[1].plate_height_mm = 16.0;
    ck_assert(isnan(apart()));
}
END_TEST

/* What is between is a hold of the build that has its samples. */
START_TEST(a_hold_lies_between)
{
    record->hold[0].capture = -1;
    ck_assert(isnan(apart()));
    record->hold[0].capture = 1;
    record->hold[0].status = HOLD_RUNNING;
    ck_assert(isnan(apart()));
    record->hold[0].status = HOLD_COMPLETE;
    record->hold[0].build = 1;
    ck_assert(isnan(apart()));
    record->hold[0].build = 0;
    record->hold_count = 0; /* taken back */
    ck_assert(isnan(apart()));
    record->hold_count = 1;
    record->capture[1].last_sample = 301; /* over behind it */
    ck_assert(isnan(apart()));
    record->capture[1].last_sample = 300; /* with it */
    ck_assert_double_eq(apart(), 4.0);
    record->capture[1].last_sample = 200;
    ck_assert_double_eq(apart(), 4.0);
    record->capture[1].first_sample = 100; /* begun with the plate's last sample */
    ck_assert(isnan(apart()));
}
END_TEST

/* Open is a build whose last plate was measured before a hold; none is of no build. */
START_TEST(the_end_is_open_until_it_is_read)
{
    ck_assert_int_eq(plate_ends_open(record, 0), -1);
    record->tie_reading_count = 1;
    ck_assert_int_eq(plate_ends_open(record, 0), 0);
    ck_assert_int_eq(plate_ends_open(record, 1), -1);
    ck_assert_int_eq(plate_ends_open(record, -1), -1);
    record->tie_reading[0].at_sample = 99; /* typed: of no capture's end */
    ck_assert_int_eq(plate_ends_open(record, 0), -1);
}
END_TEST

/* Two builds of a sensor on the bars: of the second the plate was read at both ends, of the first
 * not at all, and the parts don't tell. Then a second sensor at a plate ties them, by its mean
 * ranges over their holds, where it has them. */
START_TEST(a_tie_with_a_plate_at_both_ends)
{
    struct analysis *analysis = analysis_create();
    ck_assert_ptr_nonnull(analysis);
    record->setup_count = record->build_count = record->hold_count = 2;
    record->placing_count = 1;
    record->placing[0].channel_count = analysis->channel_count = 2;
    for (int i = 0; i < 2; i++) {
        struct channel_record *channel = &record->placing[0].channel[i];
        channel->role = i == 0 ? ROLE_BODY : ROLE_REFERENCE;
        channel->gain = 1.0;
        channel->mounted = true;
        channel->mount = (struct sensor_mount){.carrier = CARRIER_BASE_BAR, .direction = 1};
        record->setup[i].number = i + 1;
        record->setup[i].bike.value[BIKE_SPACERS] = i == 0 ? NAN : 20.0;
        record->build[i] = (struct build_record){.setup = i, .placing = 0, .ordinal = 1};
        record->tie_reading[i].build = 1;
        record->hold[i] = (struct hold_record){
            .capture = i == 0 ? -1 : 1, .build = i, .target = -1, .status = HOLD_COMPLETE};
    }
    analysis_ties(record, analysis);
    const struct tie *tie = &analysis->tie[1][0];
    ck_assert_int_eq(tie->kind, TIE_NONE);
    ck_assert_double_eq(tie->ends_apart_mm, 4.0);
    ck_assert(!tie->alarm);
    for (int constant = 0; constant < 2; constant++) {
        for (int h = 0; h < 2; h++) {
            analysis->hold[h].has[1] = true;
            analysis->hold[h].summary[1] = (struct hold_summary){
                .status = constant ? MEASURE_CONSTANT : MEASURE_OK, .mean_mm = 300.0 - 20.0 * h};
        }
        analysis_ties(record, analysis);
        ck_assert_int_eq(tie->kind, constant ? TIE_NONE : TIE_REFERENCE);
    }
    analysis_destroy(analysis);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plate ends");
    TCase *tests = tcase_create("plate ends");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, the_plate_at_both_ends);
    tcase_add_test(tests, another_plate_is_none);
    tcase_add_test(tests, a_hold_lies_between);
    tcase_add_test(tests, the_end_is_open_until_it_is_read);
    tcase_add_test(tests, a_tie_with_a_plate_at_both_ends);
    return test_main(suite);
}
