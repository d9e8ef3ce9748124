/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A hold that is measured while it goes on, piece by piece: it comes to what all of it at once
 * comes to, whatever the rig's rate, and falls when what it hangs on changes. */
#include "long_hold.h"

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
    rows[1].up_s = rows[2].up_s = 7.0; /* what is behind the last row is as it was */
    ck_assert_uint_eq(hold_meter_rows(meter, 1, rows, 10), 2);
    ck_assert(rows[1].up_s == 0.0 && rows[2].up_s == 7.0);
    rows[1].up_s = 7.0;
    ck_assert_uint_eq(hold_meter_rows(meter, 1, rows, 1), 1);
    ck_assert(rows[1].up_s == 7.0);
    hold_meter_destroy(meter);
    hold_meter_destroy(NULL);
}
END_TEST

/* A target at 400 mm on the first channel, a band of +10 and -10 mm or none on a side; practised.
 */
static void band_of(double above_mm, double below_mm, enum hold_purpose purpose)
{
    record->target_count = record->band_count = 1;
    record->hold[0].target = record->hold[0].band = 0;
    record->hold[0].purpose = purpose;
    record->target[0].build = 0;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        record->target[0].entered_mm[c] = c == 0 ? 400.0 : NAN;
    }
    record->target[0].capture = -1;
    record->band[0].limited[0] = true;
    record->band[0].cue[0] = (struct cue_settings){above_mm, below_mm, 1.0, 0.2, 0.7, 0.5, 0.5};
    analysis->target[0][0] = (struct channel_target){.has = true, .height_mm = 400.0};
}

/* A gap right behind a piece that ended for want of room: nothing waits. And nothing at all. */
START_TEST(a_gap_behind_a_full_piece)
{
    hold_of(200.0, 90.0);
    for (int i = 8192; i < LONG; i++) {
        made[i].time_us += 5000000;
    }
    comes_to_the_same();
    struct hold_result result = {.counts = false};
    struct hold_meter *meter = hold_meter_create(record, analysis, 0);
    ck_assert_ptr_nonnull(meter);
    record->mark_count = 1;
    record->mark[0] = (struct mark_record){.hold = 0, .cut = true, .sample = 500};
    hold_meter_end(meter, record, analysis);
    hold_meter_result(meter, record, analysis, &result);
    ck_assert_int_eq(result.summary[0].status, MEASURE_TOO_FEW);
    ck_assert_double_eq(result.duration_s, 0.0);
    hold_meter_destroy(meter);
}
END_TEST

/* What is not known of a sensor is the same as before while it is not known. */
START_TEST(a_tilt_that_is_not_known)
{
    hold_of(50.0, 70.0);
    double tilt_deg = analysis->tie[0][1].tilt_deg;
    analysis->tie[0][1].tilt_deg = NAN;
    struct hold_meter *meter = measured();
    ck_assert(hold_meter_stands(meter, record, analysis));
    analysis->tie[0][1].tilt_deg = tilt_deg;
    ck_assert(!hold_meter_stands(meter, record, analysis));
    hold_meter_destroy(meter);
    meter = measured();
    ck_assert(hold_meter_stands(meter, record, analysis));
    analysis->tie[0][1].tilt_deg = NAN;
    ck_assert(!hold_meter_stands(meter, record, analysis));
    hold_meter_destroy(meter);
}
END_TEST

/* Sat up from a second on to the end of a ride, and of practice; where nothing limits above, nobody
 * tells of it. One sample alone is no time in which to be in the posture. */
START_TEST(who_sat_up_at_the_end)
{
    for (int how = 0; how < 4; how++) {
        struct problem problem = {PROBLEM_NONE, ""};
        struct minute_row rows[4];
        double above_mm = how == 2 ? (double)INFINITY : 10.0;
        hold_of(50.0, 150.0);
        lift(0, 50.0, 130.0, 1e6, 300.0);
        band_of(above_mm, 10.0, how == 0 ? PURPOSE_RIDE : PURPOSE_PIECE);
        record->capture[0].last_sample = how == 3 ? 1 : record->capture[0].last_sample;
        for (int i = 0; i < LONG; i += 2) { /* what is no body's is not wanted for the posture */
            made[i].quality[2] = READING_MISSING;
        }
        ck_assert_msg(analysis_make(record, long_samples, NULL, analysis, &problem), "%s",
                      problem.sentence);
        const struct hold_result *result = &analysis->hold[0];
        ck_assert_int_eq(result->sat_up_times, how < 2);
        ck_assert_int_eq(isnan(result->posture_share), how == 3);
        if (how < 2) {
            ck_assert_double_eq_tol(result->sat_up_s, 20.0, 1.0);
            ck_assert_double_eq_tol(result->posture_share, 130.0 / 150.0, 0.01);
            ck_assert_uint_eq(analysis_minutes(record, analysis, 0, 0, long_samples, NULL, rows, 4),
                              3);
            ck_assert_double_eq_tol(rows[2].up_s, 20.0, 1.0);
            ck_assert_double_eq(rows[0].up_s, 0.0);
        }
    }
}
END_TEST

static bool no_samples(void *context, int64_t first, int64_t last, const struct sample **samples,
                       size_t *count)
{
    (void)context, (void)first, (void)last, (void)samples, (void)count;
    return false;
}

START_TEST(without_samples_there_are_no_minutes)
{
    struct minute_row rows[4];
    struct minute_auxiliary others[4];
    hold_of(50.0, 150.0);
    for (int ride = 0; ride < 2; ride++) {
        record->hold[0].purpose = ride ? PURPOSE_RIDE : PURPOSE_NONE;
        ck_assert_uint_eq(analysis_minutes(record, analysis, 0, 0, no_samples, NULL, rows, 4), 0);
    }
    record->placing[0].channel[2].role = ROLE_AUXILIARY;
    strcpy(record->placing[0].channel[2].name, "power");
    analysis_minute_auxiliary(record, 0, no_samples, NULL, others, 4);
    ck_assert(isnan(others[0].mean[AUXILIARY_POWER]));
    others[0].mean[AUXILIARY_POWER] = 7.0;
    analysis_minute_auxiliary(record, 0, long_samples, NULL, others, 0); /* no room for any */
    ck_assert_double_eq(others[0].mean[AUXILIARY_POWER], 7.0);
    others[2].mean[AUXILIARY_POWER] = 7.0;
    analysis_minute_auxiliary(record, 0, long_samples, NULL, others, 2); /* of three minutes */
    ck_assert_double_eq(others[2].mean[AUXILIARY_POWER], 7.0);
    ck_assert(isfinite(others[0].mean[AUXILIARY_POWER]));
    ck_assert_double_eq_tol(others[1].mean[AUXILIARY_POWER], others[0].mean[AUXILIARY_POWER], 1.0);
}
END_TEST

/* Over 32 marks in one piece, over 128 in a hold, one of a sample that is not the hold's: what
 * finds no room cuts nothing, and a ride so marked is read again. Over 64 times sat up likewise. */
START_TEST(more_cuts_than_there_is_room_for)
{
    struct problem problem = {PROBLEM_NONE, ""};
    hold_of(50.0, 150.0);
    record->mark_count = 40;
    for (int m = 0; m < 140; m++) {
        record->mark[m] =
            (struct mark_record){.hold = 0, .cut = true, .sample = 1000 + (m < 40 ? 10 * m : 400)};
    }
    struct hold_meter *meter = measured();
    ck_assert(!hold_meter_stands(meter, record, analysis));
    hold_meter_destroy(meter);
    record->mark_count = 140;
    ck_assert(analysis_make(record, long_samples, NULL, analysis, &problem));
    /* from a second before the first to three behind the last: 20 to 28 s */
    ck_assert_double_eq_tol(analysis->hold[0].summary[0].cut_marked_s, 12.0, 0.1);
    record->mark_count = 2;
    record->mark[0].sample = record->capture[0].last_sample + 1;
    record->mark[1].sample = 0;
    ck_assert(analysis_make(record, long_samples, NULL, analysis, &problem));
    ck_assert_double_eq(analysis->hold[0].summary[0].cut_marked_s, 0.0);
    hold_of(20.0, 800.0);
    for (int u = 0; u < 80; u++) {
        lift(0, 20.0, 10.0 * u, 10.0 * u + 5.0, 300.0);
    }
    band_of(10.0, 10.0, PURPOSE_PIECE);
    record->mark_count = 140;
    ck_assert(analysis_make(record, long_samples, NULL, analysis, &problem));
    ck_assert_int_eq(analysis->hold[0].sat_up_times, 64);
    record->mark_count = 0;
    ck_assert(analysis_make(record, long_samples, NULL, analysis, &problem));
    ck_assert_int_eq(analysis->hold[0].sat_up_times, 64);
    struct minute_row rows[20];
    ck_assert_uint_eq(analysis_minutes(record, analysis, 0, 0, long_samples, NULL, rows, 20), 14);
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
    tcase_add_test(tests, a_gap_behind_a_full_piece);
    tcase_add_test(tests, a_tilt_that_is_not_known);
    tcase_add_test(tests, who_sat_up_at_the_end);
    tcase_add_test(tests, without_samples_there_are_no_minutes);
    tcase_add_test(tests, more_cuts_than_there_is_room_for);
    return test_main(suite);
}
