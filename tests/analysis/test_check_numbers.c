/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The numbers that a check tells, and what lies on its limits to the last digit. Numbers by hand.
 */
#include "check_readings.h"

/* NULL: not found. */
static const struct check_finding *finding(enum check_found kind)
{
    check_judge(&plan, &placing, stretch, &check, &findings);
    for (int i = 0; i < findings.count; i++) {
        if (findings.finding[i].kind == kind) {
            return &findings.finding[i];
        }
    }
    return NULL;
}

static void told(enum check_found kind, int value, double number)
{
    const struct check_finding *found = finding(kind);
    ck_assert_ptr_nonnull(found);
    ck_assert_double_eq_tol(found->value[value], number, 1e-9);
}

/* A plate that reads half a millimetre less and more, second by second, and a block of which it
 * reads this much: exact in binary where the numbers are. */
static void plan_step(double block_mm, double plate_mm, double step_mm)
{
    plan.kind = CHECK_STEP;
    plan.channel = HEAD;
    plan.phase_count = 2;
    plan.asked_mm[0] = block_mm;
    for (int i = 0; i < READINGS; i++) {
        sample[0][i].range_tenth_mm[HEAD] =
            (int32_t)lround(10.0 * plate_mm) + (i / 50 % 2 == 0 ? -5 : 5);
    }
    read_all(1, HEAD, plate_mm - step_mm);
}

/* Twenty seconds, an SD of .5 sqrt(20 / 19) mm. */
#define STEP_U_MM (0.5 / sqrt(19.0))

START_TEST(what_a_step_tells)
{
    plan_step(40.0, 300.0, 44.0);
    told(CHECK_FOUND_BLOCK_READS, 0, 40.0);
    told(CHECK_FOUND_BLOCK_READS, 1, 44.0);
    told(CHECK_FOUND_BLOCK_READS, 2, 2.0 * STEP_U_MM);
    told(CHECK_FOUND_BLOCK_READS, 3, 2.0);
    told(CHECK_FOUND_SCALE, 0, 10.0);
    told(CHECK_FOUND_SCALE, 1, 2.0 * 2.5 * STEP_U_MM);
    told(CHECK_FOUND_SCALE_COSTS, 0, 30.0);
    told(CHECK_FOUND_SCALE_COSTS, 1, 300.0);
    plan_step(20.0, 300.0, 20.0);
    plan.block_u_mm = 0.25;
    told(CHECK_FOUND_SCALE_OPEN, 0, 3.0 * 5.0 * hypot(STEP_U_MM, 0.25));
    told(CHECK_FOUND_SCALE_OPEN, 1, 2.0);
    plan_step(40.0, 80.0, 20.0);
    told(CHECK_FOUND_TOO_NEAR, 0, 40.0);
    told(CHECK_FOUND_TOO_NEAR, 1, 50.0);
    plan_step(40.0, 30.0, 20.0);
    told(CHECK_FOUND_PLATE_TOO_NEAR, 0, 30.0);
    told(CHECK_FOUND_PLATE_TOO_NEAR, 1, 50.0);
}
END_TEST

/* What is as large as its limit has not passed it. */
START_TEST(steps_on_their_limits)
{
    plan_step(80.0, 300.0, 81.0); /* 1.25 of 100 */
    ck_assert_ptr_null(finding(CHECK_FOUND_SCALE));
    ck_assert_int_eq(check.verdict, CHECK_PASSED);
    plan_step(80.0, 300.0, 81.1);
    told(CHECK_FOUND_BLOCK_READS, 3, 1.0); /* told with the limit that it failed by */
    ck_assert_int_eq(check.verdict, CHECK_FAILED);
    plan_step(40.0, 50.0, 20.0);
    ck_assert_ptr_null(finding(CHECK_FOUND_PLATE_TOO_NEAR));
    ck_assert_ptr_nonnull(finding(CHECK_FOUND_TOO_NEAR));
    plan_step(40.0, 90.0, 20.0);
    ck_assert_ptr_null(finding(CHECK_FOUND_TOO_NEAR));
    plan_step(40.0, 300.0, 12.0);
    ck_assert_ptr_null(finding(CHECK_FOUND_BLOCK_NOT_SEEN));
    ck_assert_ptr_nonnull(finding(CHECK_FOUND_SCALE));
}
END_TEST

/* Distances with a few seconds each, and how far each reads off. */
static struct check_stretch points[CHECK_PHASES_MAX];
static void plan_points(int count, const double *asked_mm, double times, const double *off_mm)
{
    enum { EACH = 100 };
    plan.kind = CHECK_CALIBRATION;
    plan.channel = HEAD;
    plan.phase_count = count;
    for (int p = 0; p < count; p++) {
        struct sample *samples = &sample[p / 8][p % 8 * EACH];
        plan.asked_mm[p] = asked_mm[p];
        points[p] = (struct check_stretch){samples, EACH};
        for (int i = 0; i < EACH; i++) {
            samples[i].range_tenth_mm[HEAD] =
                (int32_t)lround(10.0 * (times * asked_mm[p] + off_mm[p]));
        }
    }
    memcpy(stretch, points, sizeof stretch);
}

static bool is_found(enum check_found kind)
{
    check_judge(&plan, &placing, points, &check, &findings);
    for (int i = 0; i < findings.count; i++) {
        if (findings.finding[i].kind == kind) {
            return true;
        }
    }
    return false;
}

/* Three distances twice each: bent by 3 mm in the middle, beyond chance (F 81 of 1 and 3 degrees),
 * is let pass, by 3.2 mm not. Residuals that scatter by 3 mm are, too. */
START_TEST(a_line_on_its_limits)
{
    static const double twice[] = {300, 300, 500, 500, 700, 700}, once[] = {300, 500, 500, 700};
    static const double bent[] = {-1, -2, 3, 3, -1, -2};
    static const double more[] = {-1.1, -2.1, 3.2, 3.2, -1.1, -2.1};
    static const double apart[] = {0, 3, -3, 0}, farther[] = {0, 3.1, -3.1, 0}, none[4] = {0};
    plan_points(6, twice, 1.0, bent);
    ck_assert(!is_found(CHECK_FOUND_NOT_STRAIGHT));
    ck_assert_double_lt(check_value(&check, CHECK_LACK_OF_FIT_P, HEAD, 0), 0.01);
    ck_assert_double_eq(check_value(&check, CHECK_WORST_RESIDUAL, HEAD, 0), 3.0);
    plan_points(6, twice, 1.0, more);
    ck_assert(is_found(CHECK_FOUND_NOT_STRAIGHT));
    ck_assert_double_lt(check_value(&check, CHECK_RESIDUAL_SD, HEAD, 0), 3.0);
    plan_points(4, once, 1.0, apart);
    ck_assert(!is_found(CHECK_FOUND_NOT_STRAIGHT));
    ck_assert_double_eq(check_value(&check, CHECK_RESIDUAL_SD, HEAD, 0), 3.0);
    plan_points(4, once, 1.0, farther);
    ck_assert(is_found(CHECK_FOUND_NOT_STRAIGHT));
    plan_points(4, once, 1.25, none);
    ck_assert(!is_found(CHECK_FOUND_WRONG_DISTANCES));
    ck_assert_double_eq(check_value(&check, CHECK_GAIN, HEAD, 0), 0.8);
    plan_points(4, once, 0.8, none);
    ck_assert(!is_found(CHECK_FOUND_WRONG_DISTANCES));
    ck_assert_double_eq(check_value(&check, CHECK_GAIN, HEAD, 0), 1.25);
}
END_TEST

/* Chance says that it is not bent: residuals of 5 mm are let pass then, where all together scatter
 * by less than 3 mm. */
START_TEST(a_line_that_is_off_by_chance)
{
    static const double asked[] = {300, 300, 400, 400, 500, 500, 600, 600, 700, 700};
    static const double off[] = {0, 0, 0, 0, 5, -5, 0, 0, 0, 0};
    plan_points(10, asked, 1.0, off);
    ck_assert(!is_found(CHECK_FOUND_NOT_STRAIGHT));
    ck_assert_double_gt(check_value(&check, CHECK_LACK_OF_FIT_P, HEAD, 0), 0.5);
    ck_assert_double_eq_tol(fabs(check_value(&check, CHECK_WORST_RESIDUAL, HEAD, 0)), 5.0, 1e-9);
}
END_TEST

/* It reads 1.25 of each and 10 mm more: 0.8 of that, less 8 mm, are millimetres. Off by 1 and -1 mm
 * at one distance; the slope is known to 1 / sqrt(80000) then. */
START_TEST(what_a_calibration_tells)
{
    static const double asked[] = {300, 500, 500, 700}, off[] = {10, 11, 9, 10};
    plan_points(4, asked, 1.25, off);
    told(CHECK_FOUND_LINE, 0, 0.8);
    told(CHECK_FOUND_LINE, 1, -8.0);
    told(CHECK_FOUND_LINE_ERRORS, 0, 2.0 / sqrt(80000.0) / (1.25 * 1.25));
    told(CHECK_FOUND_LINE_ERRORS, 1, 1.0);
    told(CHECK_FOUND_LINE_ERRORS, 2, 1.0);
    ck_assert_double_eq_tol(check_value(&check, CHECK_GAIN_U, HEAD, 0),
                            1.0 / sqrt(80000.0) / (1.25 * 1.25), 1e-12);
    placing.channel[HEAD].gain = 2.0; /* what was calibrated before has no say in it */
    placing.channel[HEAD].offset_mm = 7.0;
    told(CHECK_FOUND_LINE, 0, 0.8);
    told(CHECK_FOUND_LINE, 1, -8.0);
}
END_TEST

/* 30 mm from the median is near it. */
START_TEST(readings_as_far_from_the_median_as_may_be)
{
    static const double asked[] = {200, 400}, off[] = {0, 0};
    plan_points(2, asked, 1.0, off);
    for (int i = 0; i < 25; i++) {
        sample[0][4 * i].range_tenth_mm[HEAD] = 2300;
    }
    is_found(CHECK_FOUND_LINE);
    ck_assert_double_eq_tol(check_value(&check, CHECK_RANGE, HEAD, 0), 200.0 + 30.0 / 4.0, 1e-9);
    for (int i = 0; i < 25; i++) {
        sample[0][4 * i].range_tenth_mm[HEAD] = 1700;
    }
    is_found(CHECK_FOUND_LINE);
    ck_assert_double_eq_tol(check_value(&check, CHECK_RANGE, HEAD, 0), 200.0 - 30.0 / 4.0, 1e-9);
}
END_TEST

static void plan_beam(double block_mm)
{
    plan.kind = CHECK_BEAM;
    plan.channel = HEAD;
    plan.phase_count = 2;
    plan.asked_mm[0] = block_mm;
}

/* Of a hand's 100 mm 40 show in the other, by the readings as they are calibrated; of a block's 50
 * mm 20. */
START_TEST(what_a_beam_tells)
{
    plan_beam(NAN);
    read_half(1, HEAD, 300.0);
    read_half(1, CHEST, 460.0);
    told(CHECK_FOUND_FOLLOWS_HAND, 0, 100.0);
    told(CHECK_FOUND_CROSSTALK, 0, 40.0);
    ck_assert_double_eq_tol(check_value(&check, CHECK_CROSSTALK, CHEST, 0), 0.4, 1e-9);
    placing.channel[HEAD].gain = 2.0;
    told(CHECK_FOUND_FOLLOWS_HAND, 0, 200.0);
    told(CHECK_FOUND_CROSSTALK, 0, 20.0);
    placing.channel[CHEST].gain = 4.0;
    told(CHECK_FOUND_CROSSTALK, 0, 80.0);
    placing.channel[HEAD].gain = placing.channel[CHEST].gain = 1.0;
    for (int i = 0; i < READINGS; i += 4) { /* what is not good in either has no say */
        sample[1][i].range_tenth_mm[CHEST] = 9000;
        sample[1][i].quality[i % 8 == 0 ? CHEST : HEAD] = READING_WEAK;
    }
    finding(CHECK_FOUND_CROSSTALK);
    ck_assert_double_eq_tol(check_value(&check, CHECK_CROSSTALK, CHEST, 0), 0.4, 1e-9);
    begin();
    plan_beam(50.0);
    read_all(1, HEAD, 351.0);
    read_all(1, CHEST, 480.0);
    told(CHECK_FOUND_FOLLOWS_BLOCK, 0, 49.0);
    told(CHECK_FOUND_FOLLOWS_BLOCK, 1, 50.0);
    told(CHECK_FOUND_CROSSTALK, 0, 100.0 * 20.0 / 49.0);
    read_all(1, HEAD, 370.0);
    told(CHECK_FOUND_WRONG_AMOUNT, 0, 30.0);
    told(CHECK_FOUND_WRONG_AMOUNT, 1, 50.0);
    read_all(1, HEAD, 450.0);
    ck_assert_ptr_nonnull(finding(CHECK_FOUND_WRONG_WAY));
    ck_assert(isnan(check_value(&check, CHECK_CROSSTALK, CHEST, 0))); /* of nothing that it did */
    read_all(1, HEAD, 400.0);
    ck_assert_ptr_nonnull(finding(CHECK_FOUND_NO_RESPONSE));
    const struct check_finding *swapped = finding(CHECK_FOUND_SWAPPED);
    ck_assert(swapped != NULL && swapped->channel == CHEST && isnan(swapped->value[0]));
}
END_TEST

/* A sensor over the body that looks down reads less where it comes up. */
START_TEST(a_rider_under_a_sensor_that_looks_down)
{
    for (int down = 0; down < 2; down++) {
        double way = down ? -1.0 : 1.0;
        begin();
        plan.kind = CHECK_RIDER;
        plan.channel = -1;
        plan.phase_count = PHASES;
        for (int c = HEAD; c <= CHEST; c++) {
            double still_mm = c == HEAD ? 400.0 : 500.0;
            placing.channel[c].mount.direction = down ? -1 : 1;
            placing.channel[c].mounted = true;
            read_half(RIDER_PEDALS, c, still_mm + 0.1);
            read_half(RIDER_RISES, c, still_mm + way * 60.0);
        }
        read_half(RIDER_NODS, HEAD, 400.0 - way * 30.0);
        ck_assert_ptr_nonnull(finding(CHECK_FOUND_HEAD_AND_BODY));
        ck_assert_int_eq(check.verdict, CHECK_PASSED);
        placing.channel[HEAD].mount.direction = down ? 1 : -1;
        ck_assert_ptr_nonnull(finding(CHECK_FOUND_NOD_WRONG_WAY));
        ck_assert_ptr_nonnull(finding(CHECK_FOUND_RISE_WRONG_WAY));
        placing.channel[HEAD].mounted = false; /* of one that is not it is not known: as up */
        ck_assert((finding(CHECK_FOUND_NOD_WRONG_WAY) != NULL) == down);
    }
}
END_TEST

/* One in ten bad is let pass. Two levels are told by how far they are apart. */
START_TEST(what_a_rider_tells)
{
    plan.kind = CHECK_RIDER;
    plan.channel = -1;
    plan.phase_count = PHASES;
    for (int i = 0; i < READINGS / 10; i++) {
        sample[RIDER_PEDALS][10 * i].quality[CHEST] = READING_MISSING;
    }
    ck_assert_ptr_null(finding(CHECK_FOUND_BAD_READINGS));
    sample[RIDER_PEDALS][5].quality[CHEST] = READING_WEAK;
    told(CHECK_FOUND_BAD_READINGS, 0, 10.1);
    for (int i = 0; i < READINGS; i++) {
        sample[RIDER_PEDALS][i].range_tenth_mm[CHEST] = (i / 100 % 2 == 0 ? 5000 : 6200) + i % 3;
    }
    const struct check_finding *levels = finding(CHECK_FOUND_TWO_LEVELS);
    ck_assert_ptr_nonnull(levels);
    ck_assert_double_eq_tol(levels->value[0], 120.0, 0.1);
    ck_assert_int_eq(levels->channel, CHEST);
}
END_TEST

/* A minute of readings that go up and down by 2 mm about 400 and rise by 1 mm: what is told are the
 * check's own numbers. */
START_TEST(what_standing_still_tells)
{
    plan.kind = CHECK_STILL;
    plan.channel = HEAD;
    plan.phase_count = 1;
    for (int i = 0; i < READINGS; i++) {
        sample[0][i].time_us = INT64_C(60000) * i;
        sample[0][i].range_tenth_mm[HEAD] = 4000 + (i * 7) % 41 - 20 + i / 100;
        sample[0][i].quality[HEAD] = i % 50 == 0 ? READING_MISSING : READING_GOOD;
    }
    const struct check_finding *drift = finding(CHECK_FOUND_DRIFT);
    ck_assert_ptr_nonnull(drift);
    ck_assert_double_eq(drift->value[0], check_value(&check, CHECK_DRIFT, HEAD, 0));
    ck_assert_double_eq(drift->value[1], check_value(&check, CHECK_DRIFT_HALF_WIDTH, HEAD, 0));
    ck_assert_double_eq_tol(drift->value[0], 1.0, 0.3);
    ck_assert_double_eq_tol(check_value(&check, CHECK_VALID_SHARE, HEAD, 0), 0.98, 1e-9);
    ck_assert_double_eq_tol(check_value(&check, CHECK_RANGE, HEAD, 0), 400.5, 0.2);
    sample[0][501].range_tenth_mm[HEAD] =
        9000; /* one that is far off is as one that is not there */
    finding(CHECK_FOUND_DRIFT);
    ck_assert_double_eq_tol(check_value(&check, CHECK_VALID_SHARE, HEAD, 0), 0.979, 1e-9);
}
END_TEST

/* When a check ended tells its identifier, where that is a time of the session. */
START_TEST(when_a_check_ended)
{
    static struct session_record record;
    static const struct {
        int64_t after_ms;
        double time_s;
    } tried[] = {{0, 0.0},
                 {1500, 1.5},
                 {-1, NAN},
                 {INT64_C(604800000), 604800.0},
                 {INT64_C(604800001), NAN}};
    session_record_clear(&record);
    record.started_ms = INT64_C(1767225600000);
    for (size_t i = 0; i < sizeof tried / sizeof tried[0]; i++) {
        int64_t at_ms = record.started_ms + tried[i].after_ms;
        for (int b = 0; b < 6; b++) {
            check.uuid.bytes[b] = (uint8_t)(at_ms >> (8 * (5 - b)));
        }
        double time_s = check_time_s(&record, &check);
        ck_assert_msg(isnan(tried[i].time_s) ? isnan(time_s) : time_s == tried[i].time_s, "%g",
                      time_s);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("check_numbers");
    TCase *tests = tcase_create("check_numbers");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, begin, NULL);
    tcase_add_test(tests, what_a_step_tells);
    tcase_add_test(tests, steps_on_their_limits);
    tcase_add_test(tests, a_line_on_its_limits);
    tcase_add_test(tests, a_line_that_is_off_by_chance);
    tcase_add_test(tests, what_a_calibration_tells);
    tcase_add_test(tests, readings_as_far_from_the_median_as_may_be);
    tcase_add_test(tests, what_a_beam_tells);
    tcase_add_test(tests, a_rider_under_a_sensor_that_looks_down);
    tcase_add_test(tests, what_a_rider_tells);
    tcase_add_test(tests, what_standing_still_tells);
    tcase_add_test(tests, when_a_check_ended);
    return test_main(suite);
}
