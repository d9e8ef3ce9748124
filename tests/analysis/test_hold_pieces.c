/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Where a hold that is measured while it goes on is cut into pieces, and what is left out of which.
 */
#include "long_hold.h"

#include <string.h>

#define RATE_HZ_LONG 50.0

/* Readings of the first channel that are known once so many samples have come. */
static size_t known_after(int samples)
{
    struct hold_summary summary;
    struct hold_meter *meter = hold_meter_create(record, analysis, 0);
    ck_assert_ptr_nonnull(meter);
    for (int i = 0; i < samples; i++) {
        hold_meter_sample(meter, record, analysis, &made[i]);
    }
    hold_meter_so_far(meter, 0, &summary);
    hold_meter_destroy(meter);
    return summary.readings;
}

/* A mark cuts from a second before it: of the last second nothing is known yet, and a piece of a
 * minute ends a second late. */
START_TEST(a_piece_is_a_minute)
{
    hold_of(RATE_HZ_LONG, 150.0);
    ck_assert_uint_eq(known_after(3050), 0); /* up to 60.98 s */
    ck_assert_uint_eq(known_after(3051), 3000);
    ck_assert_uint_eq(known_after(6050), 3000);
    ck_assert_uint_eq(known_after(6051), 6000);
}
END_TEST

/* Of two seconds without a reading nothing ends; of more a piece does. */
START_TEST(a_piece_ends_before_a_gap)
{
    for (int more = 0; more < 2; more++) {
        hold_of(RATE_HZ_LONG, 150.0);
        for (int i = 500; i < LONG; i++) {
            made[i].time_us += 1980000 + more;
        }
        ck_assert_uint_eq(known_after(500), 0);
        ck_assert_uint_eq(known_after(501), more ? 500 : 0);
    }
}
END_TEST

/* 8192 samples, whatever the rate, are all that waits. */
START_TEST(a_piece_ends_when_it_is_full)
{
    hold_of(200.0, 90.0);
    ck_assert_uint_eq(known_after(8191), 0);
    ck_assert_uint_eq(known_after(8192), 8192);
}
END_TEST

static double cut_s(int sample)
{
    struct hold_result result = {.counts = false};
    record->mark_count = 1;
    record->mark[0] = (struct mark_record){.hold = 0, .cut = true, .sample = sample};
    struct hold_meter *meter = measured();
    ck_assert(hold_meter_stands(meter, record, analysis));
    hold_meter_result(meter, record, analysis, &result);
    hold_meter_destroy(meter);
    return result.summary[0].cut_marked_s;
}

/* A mark on the first sample behind a gap, on the last before it, on the hold's first and last: a
 * second before it is left out, and three behind it, as far as there are readings. */
START_TEST(marks_at_the_ends_of_pieces)
{
    struct problem problem = {PROBLEM_NONE, ""};
    hold_of(RATE_HZ_LONG, 100.0);
    ck_assert_double_eq_tol(cut_s(2001), 4.0, 0.05);
    ck_assert_double_eq_tol(cut_s(1), 3.0, 0.05);
    ck_assert(analysis_make(record, long_samples, NULL, analysis, &problem)); /* all at once */
    ck_assert_double_eq_tol(analysis->hold[0].summary[0].cut_marked_s, 3.0, 0.05);
    for (int i = 2000; i < LONG; i++) {
        made[i].time_us += 5000000;
    }
    ck_assert_double_eq_tol(cut_s(2001), 3.0, 1.05);
    ck_assert_double_ge(cut_s(2001), 2.95);
    ck_assert_double_ge(cut_s(2000), 0.95);
    ck_assert_double_eq_tol(cut_s(1), 3.0, 0.05);
    ck_assert_double_eq_tol(cut_s(5000), 1.0, 0.05);
}
END_TEST

/* A slow rig, a reading each second and a quarter: the second piece begins at 60.25 s, between two
 * of them. What is marked in it at 100 s cuts what was read from 99 to 103 s. */
START_TEST(a_piece_that_begins_between_two_readings)
{
    struct hold_result result = {.counts = false};
    hold_of(0.8, 150.0);
    record->placing[0].channel[2].role = ROLE_AUXILIARY;
    strcpy(record->placing[0].channel[2].name, "power");
    for (int i = 0; i < LONG; i++) {
        double at_s = 1.25 * i;
        made[i].range_tenth_mm[2] = at_s >= 99.0 && at_s < 103.0 ? 9000 : 2000;
    }
    record->mark_count = 1;
    record->mark[0] = (struct mark_record){.hold = 0, .cut = true, .sample = 1 + 80};
    struct hold_meter *meter = measured();
    hold_meter_result(meter, record, analysis, &result);
    hold_meter_destroy(meter);
    ck_assert_double_eq_tol(result.auxiliary_mean[AUXILIARY_POWER], 200.0, 1e-9);
}
END_TEST

/* The most samples that were asked for at once. */
static int64_t asked_most;
static bool counted_samples(void *context, int64_t first, int64_t last,
                            const struct sample **samples, size_t *count)
{
    asked_most = last - first + 1 > asked_most ? last - first + 1 : asked_most;
    return long_samples(context, first, last, samples, count);
}

/* Of a ride of hours not all samples are asked for at once, neither for what it comes to nor for
 * its minutes; of a hold they are. */
START_TEST(a_ride_is_read_some_at_a_time)
{
    enum { SAMPLES = 7500 };
    struct problem problem = {PROBLEM_NONE, ""};
    struct minute_row rows[4];
    for (int ride = 0; ride < 2; ride++) {
        hold_of(RATE_HZ_LONG, SAMPLES / RATE_HZ_LONG);
        record->hold[0].purpose = ride ? PURPOSE_RIDE : PURPOSE_NONE;
        asked_most = 0;
        ck_assert(analysis_make(record, counted_samples, NULL, analysis, &problem));
        ck_assert((asked_most == SAMPLES) != ride);
        asked_most = 0;
        ck_assert_uint_eq(analysis_minutes(record, analysis, 0, 0, counted_samples, NULL, rows, 4),
                          3);
        ck_assert((asked_most == SAMPLES) != ride);
    }
}
END_TEST

/* What comes behind a hold is of none of its minutes, and each minute's readings count once. */
START_TEST(minutes_end_where_the_hold_does)
{
    enum { SAMPLES = 5000 };
    struct minute_auxiliary rows[3];
    hold_of(RATE_HZ_LONG, SAMPLES / RATE_HZ_LONG);
    record->placing[0].channel[2].role = ROLE_AUXILIARY;
    strcpy(record->placing[0].channel[2].name, "power");
    for (int i = 0; i < LONG; i++) {
        made[i].range_tenth_mm[2] = i < 3000 ? 2000 : i < SAMPLES ? 2500 : 90000;
    }
    made[2047].range_tenth_mm[2] += 3000; /* the last and the first of what is read at once */
    made[2048].range_tenth_mm[2] += 3000;
    analysis_minute_auxiliary(record, 0, long_samples, NULL, rows, 3);
    ck_assert_double_eq_tol(rows[0].mean[AUXILIARY_POWER], 200.0 + 600.0 / 3000.0, 1e-9);
    ck_assert_double_eq_tol(rows[1].mean[AUXILIARY_POWER], 250.0, 1e-9);
    ck_assert(isnan(rows[2].mean[AUXILIARY_POWER]));
}
END_TEST

/* What was lost on the way before a hold's first sample is none of it, by a meter as by all at
 * once. Of no samples at all there is nothing to tell. */
static bool none_there(void *context, int64_t first, int64_t last, const struct sample **samples,
                       size_t *count)
{
    (void)context, (void)first, (void)last;
    *samples = NULL;
    *count = 0;
    return true;
}

START_TEST(what_was_lost_before_it_is_not_the_holds)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct hold_result result = {.counts = false};
    struct hold_summary summary;
    struct target_estimate estimate;
    hold_of(RATE_HZ_LONG, 60.0);
    made[0].lost_before = 5;
    made[1000].lost_before = 2;
    struct hold_meter *meter = measured();
    hold_meter_result(meter, record, analysis, &result);
    hold_meter_destroy(meter);
    ck_assert_uint_eq(result.lost, 2);
    ck_assert_double_eq(result.start_s, 3600.0);
    ck_assert(!result.stepped);
    ck_assert(analysis_make(record, long_samples, NULL, analysis, &problem));
    ck_assert_uint_eq(analysis->hold[0].lost, 2);
    ck_assert_double_eq(analysis->hold[0].start_s, 3600.0);
    ck_assert(analysis_stretch(record, analysis, 0, 0, 1, 100, none_there, NULL, NULL, &summary));
    ck_assert_int_eq(summary.status, MEASURE_TOO_FEW);
    ck_assert(
        !analysis_target_stretch(record, analysis, 0, 0, 1, 100, none_there, NULL, &estimate));
    ck_assert(analysis_make(record, none_there, NULL, analysis, &problem));
    ck_assert_double_eq(analysis->hold[0].start_s, 0.0);
    ck_assert_double_eq(analysis->hold[0].duration_s, 0.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold_pieces");
    TCase *tests = tcase_create("hold_pieces");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, a_piece_is_a_minute);
    tcase_add_test(tests, a_piece_ends_before_a_gap);
    tcase_add_test(tests, a_piece_ends_when_it_is_full);
    tcase_add_test(tests, marks_at_the_ends_of_pieces);
    tcase_add_test(tests, a_piece_that_begins_between_two_readings);
    tcase_add_test(tests, a_ride_is_read_some_at_a_time);
    tcase_add_test(tests, minutes_end_where_the_hold_does);
    tcase_add_test(tests, what_was_lost_before_it_is_not_the_holds);
    return test_main(suite);
}
