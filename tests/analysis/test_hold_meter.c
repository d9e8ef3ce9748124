/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A hold that is measured while it goes on, piece by piece: it comes to what all of it at once
 * comes to, whatever the rig's rate, and falls when what it hangs on changes. */
#include "plain_session.h"

#include "analysis/hold_meter.h"

enum { LONG = 30000 }; /* samples */

static struct sample made[LONG];

/* A body that breathes, so many samples a second. */
static void make_long(double rate_hz)
{
    for (int i = 0; i < LONG; i++) {
        double at_s = i / rate_hz;
        made[i] = (struct sample){.number = i + 1, .time_us = llround(at_s * 1e6)};
        for (int c = 0; c < CHANNELS; c++) {
            double breath = c < 2 ? 40.0 * sin(2.0 * 3.14159265358979 * 0.3 * at_s + c) : 0.0;
            made[i].range_tenth_mm[c] =
                (int32_t)lround(4000.0 + 500.0 * c + breath) + (i * 7 + c) % 5;
        }
    }
}

static bool long_samples(void *context, int64_t first, int64_t last, const struct sample **samples,
                         size_t *count)
{
    (void)context;
    *samples = made + (first - 1);
    *count = (size_t)(last - first + 1);
    return true;
}

/* The first hold is all of it. */
static void hold_of(double rate_hz, double length_s)
{
    make_long(rate_hz);
    int last = (int)(rate_hz * length_s);
    ck_assert_int_le(last, LONG);
    record->placing[0].announced_rate_hz = rate_hz;
    record->capture[0].last_sample = last;
    record->hold[0].planned_s = length_s;
    record->hold_count = record->build_count = record->setup_count = 1;
    record->target_count = 0;
    record->hold[0].target = -1;
    record->last_sample = LONG;
    analysis_ties(record, analysis);
    analysis->channel_count = CHANNELS;
    for (int c = 0; c < CHANNELS; c++) {
        analysis->body[c] = c < 2;
    }
}

static struct hold_meter *measured(void)
{
    struct hold_meter *meter = hold_meter_create(record, analysis, 0);
    ck_assert_ptr_nonnull(meter);
    ck_assert(hold_meter_read(meter, record, analysis, 1, record->capture[0].last_sample,
                              long_samples, NULL));
    hold_meter_end(meter, record, analysis);
    return meter;
}

/* The same by all samples at once, as of a hold that is no ride. */
static void comes_to_the_same(void)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct hold_result result = {.counts = false};
    struct hold_meter *meter = measured();
    hold_meter_result(meter, record, analysis, &result);
    ck_assert(hold_meter_stands(meter, record, analysis));
    hold_meter_destroy(meter);
    ck_assert_msg(analysis_make(record, long_samples, NULL, analysis, &problem), "%s",
                  problem.sentence);
    for (int c = 0; c < CHANNELS; c++) {
        const struct hold_summary *pieces = &result.summary[c], *whole;
        whole = &analysis->hold[0].summary[c];
        ck_assert_int_eq(pieces->status, MEASURE_OK);
        ck_assert_uint_eq(pieces->readings, whole->readings);
        ck_assert_double_eq_tol(pieces->cut_marked_s, whole->cut_marked_s, 0.1);
        ck_assert_double_eq_tol(pieces->mean_mm, whole->mean_mm, 0.3);
    }
}

START_TEST(a_fast_rig_has_shorter_pieces)
{
    hold_of(200.0, 90.0); /* 8192 samples are 41 s */
    comes_to_the_same();
}
END_TEST

/* Marks that cut out where one piece ends and the next begins (from 60 s on), two of them in one.
 */
START_TEST(a_cut_may_lie_in_two_pieces)
{
    hold_of(50.0, 150.0);
    record->mark_count = 3;
    for (int m = 0; m < 3; m++) {
        record->mark[m] = (struct mark_record){.hold = 0,
                                               .cut = true,
                                               .sample = 1 + (m == 0   ? 1000
                                                              : m == 1 ? 3000
                                                                       : 3010)};
    }
    comes_to_the_same();
    ck_assert_double_gt(analysis->hold[0].summary[0].cut_marked_s, 7.0);
}
END_TEST

/* No reading for longer than a piece may wait: what came before is one of its own. */
START_TEST(a_gap_ends_a_piece)
{
    hold_of(50.0, 100.0);
    for (int i = 2000; i < LONG; i++) {
        made[i].time_us += 5000000;
    }
    comes_to_the_same();
}
END_TEST

/* What it hangs on: marks that cut, targets and bands, where the sensors are, how many there are.
 */
START_TEST(it_falls_when_what_it_hangs_on_changes)
{
    hold_of(50.0, 70.0);
    struct hold_meter *meter = measured();
    ck_assert(hold_meter_stands(meter, record, analysis));
    record->mark_count = 2;
    record->mark[0] = (struct mark_record){.hold = 0, .cut = false, .sample = 500};
    record->mark[1] = (struct mark_record){.hold = 1, .cut = true, .sample = 500};
    ck_assert(hold_meter_stands(meter, record, analysis)); /* neither cuts this one */
    record->mark[0].cut = true;
    ck_assert(!hold_meter_stands(meter, record, analysis));
    record->mark[0].cut = false;
    record->placing[0].channel_count = 2;
    ck_assert(!hold_meter_stands(meter, record, analysis));
    record->placing[0].channel_count = CHANNELS;
    record->placing[0].channel[1].offset_mm = 3.0;
    ck_assert(!hold_meter_stands(meter, record, analysis));
    record->placing[0].channel[1].offset_mm = 0.0;
    record->placing[0].channel[1].gain = 1.01;
    ck_assert(!hold_meter_stands(meter, record, analysis));
    record->placing[0].channel[1].gain = 1.0;
    ck_assert(hold_meter_stands(meter, record, analysis));
    hold_meter_destroy(meter);
}
END_TEST

START_TEST(another_target_or_band_is_another_hold)
{
    hold_of(50.0, 70.0);
    record->target_count = record->band_count = 1;
    record->hold[0].target = record->hold[0].band = 0;
    struct channel_target *target = &analysis->target[0][0];
    *target = (struct channel_target){.has = true, .height_mm = 400.0};
    record->band[0].limited[0] = true;
    record->band[0].cue[0] = (struct cue_settings){10.0, 10.0, 1.0, 0.2, 0.7, 0.5, 0.5};
    struct hold_meter *meter = measured();
    ck_assert(hold_meter_stands(meter, record, analysis));
    target->height_mm = 405.0;
    ck_assert(!hold_meter_stands(meter, record, analysis));
    target->height_mm = 400.0;
    record->band[0].cue[0].band_above_mm = 12.0;
    ck_assert(!hold_meter_stands(meter, record, analysis));
    record->band[0].limited[0] = false;
    ck_assert(!hold_meter_stands(meter, record, analysis));
    target->has = false;
    ck_assert(!hold_meter_stands(meter, record, analysis));
    hold_meter_destroy(meter);
}
END_TEST

/* A ride is measured this way when it is read again, and its minutes are those of the same hold. */
START_TEST(a_ride_read_again_is_the_same_hold)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct minute_row hold_rows[10], ride_rows[10];
    hold_of(50.0, 150.0);
    ck_assert(analysis_make(record, long_samples, NULL, analysis, &problem));
    double mean_mm = analysis->hold[0].summary[1].mean_mm;
    size_t count = analysis_minutes(record, analysis, 0, 1, long_samples, NULL, hold_rows, 10);
    record->hold[0].purpose = PURPOSE_RIDE;
    ck_assert(analysis_make(record, long_samples, NULL, analysis, &problem));
    ck_assert_double_eq_tol(analysis->hold[0].summary[1].mean_mm, mean_mm, 0.3);
    ck_assert_uint_eq(analysis_minutes(record, analysis, 0, 1, long_samples, NULL, ride_rows, 10),
                      count);
    ck_assert_uint_eq(count, 3);
    for (size_t r = 0; r < count; r++) {
        ck_assert_double_eq_tol(ride_rows[r].mean_mm, hold_rows[r].mean_mm, 0.3);
        ck_assert_double_eq_tol(ride_rows[r].seen_s, hold_rows[r].seen_s, 0.5);
    }
}
END_TEST

/* A sensor of which there is no height has no rows and nothing so far. */
START_TEST(an_auxiliary_has_no_height)
{
    struct hold_summary summary;
    struct minute_row rows[10];
    hold_of(50.0, 70.0);
    record->placing[0].channel[2].role = ROLE_AUXILIARY;
    struct hold_meter *meter = measured();
    hold_meter_so_far(meter, 2, &summary);
    ck_assert_int_eq(summary.status, MEASURE_TOO_FEW);
    ck_assert_uint_eq(hold_meter_rows(meter, 2, rows, 10), 0);
    ck_assert_uint_eq(hold_meter_rows(meter, 1, rows, 10), 2);
    hold_meter_destroy(meter);
    hold_meter_destroy(NULL);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold_meter");
    TCase *tests = tcase_create("hold_meter");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, a_fast_rig_has_shorter_pieces);
    tcase_add_test(tests, a_cut_may_lie_in_two_pieces);
    tcase_add_test(tests, a_gap_ends_a_piece);
    tcase_add_test(tests, it_falls_when_what_it_hangs_on_changes);
    tcase_add_test(tests, a_ride_read_again_is_the_same_hold);
    tcase_add_test(tests, an_auxiliary_has_no_height);
    tcase_add_test(tests, another_target_or_band_is_another_hold);
    return test_main(suite);
}
