/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Verdicts of the sensors' checks, just below and just over their limits, on readings made by hand:
 * 50 a second of two channels, head and chest. */
#include "check_readings.h"

static void plan_beam(double block_mm)
{
    plan.kind = CHECK_BEAM;
    plan.channel = HEAD;
    plan.phase_count = 2;
    plan.asked_mm[0] = block_mm;
}

START_TEST(a_hand_moves_a_beam_by_two_centimetres)
{
    plan_beam(NAN);
    read_half(1, HEAD, 400.0 - 19.9);
    ck_assert(found(CHECK_FOUND_NO_RESPONSE));
    ck_assert_int_eq(check.verdict, CHECK_FAILED);
    read_half(1, HEAD, 400.0 - 20.1);
    ck_assert(found(CHECK_FOUND_FOLLOWS_HAND));
    ck_assert_int_eq(check.verdict, CHECK_PASSED);
}
END_TEST

START_TEST(a_block_is_seen_from_half_of_it_and_may_be_a_little_off)
{
    static const struct {
        double block_mm, read_mm;
        enum check_found found;
    } tried[] = {
        {40.0, 19.5, CHECK_FOUND_NO_RESPONSE},    {40.0, 20.5, CHECK_FOUND_WRONG_AMOUNT},
        {40.0, 34.8, CHECK_FOUND_WRONG_AMOUNT},   {40.0, 35.2, CHECK_FOUND_FOLLOWS_BLOCK},
        {40.0, 44.8, CHECK_FOUND_FOLLOWS_BLOCK},  {40.0, 45.2, CHECK_FOUND_WRONG_AMOUNT},
        {100.0, 90.2, CHECK_FOUND_FOLLOWS_BLOCK}, {100.0, 89.8, CHECK_FOUND_WRONG_AMOUNT},
    };
    for (size_t i = 0; i < sizeof tried / sizeof tried[0]; i++) {
        plan_beam(tried[i].block_mm);
        read_all(1, HEAD, 400.0 - tried[i].read_mm);
        ck_assert_msg(found(tried[i].found), "%g of %g", tried[i].read_mm, tried[i].block_mm);
    }
}
END_TEST

/* With the moved one: 10 mm, of a movement over 67 mm 15 of 100; of a block a third at most. */
START_TEST(another_beam_has_to_stay)
{
    static const struct {
        double block_mm, moved_mm, other_mm;
        bool stays;
    } tried[] = {
        {NAN, 50.0, 9.9, true},    {NAN, 50.0, 10.1, false},  {NAN, 100.0, 14.9, true},
        {NAN, 100.0, 15.1, false}, {24.0, 24.0, 7.9, true},   {24.0, 24.0, 8.1, false},
        {60.0, 60.0, 9.9, true},   {60.0, 60.0, 10.1, false},
    };
    for (size_t i = 0; i < sizeof tried / sizeof tried[0]; i++) {
        plan_beam(tried[i].block_mm);
        if (isnan(tried[i].block_mm)) {
            read_half(1, HEAD, 400.0 - tried[i].moved_mm);
            read_half(1, CHEST, 500.0 - tried[i].other_mm);
        } else {
            read_all(1, HEAD, 400.0 - tried[i].moved_mm);
            read_all(1, CHEST, 500.0 - tried[i].other_mm);
        }
        ck_assert_msg(found(tried[i].stays ? CHECK_FOUND_ALONE : CHECK_FOUND_CROSSTALK), "%zu", i);
    }
}
END_TEST

/* Both move every second reading; of 50 and 50 so many are exchanged: a correlation of 1 less a
 * twenty-fifth of that. */
static void move_apart(int exchanged)
{
    for (int i = 0; i < READINGS; i++) {
        bool down = i % 2 == 0, other = (i % 100) / 2 < exchanged ? !down : down;
        sample[1][i].range_tenth_mm[HEAD] = down ? 3500 : 4000;
        sample[1][i].range_tenth_mm[CHEST] = other ? 4500 : 5000;
    }
}

START_TEST(what_moves_together_is_crosstalk)
{
    plan_beam(NAN);
    move_apart(9); /* 0.64 */
    ck_assert(found(CHECK_FOUND_CROSSTALK));
    ck_assert_int_eq(check.verdict, CHECK_FAILED);
    move_apart(11); /* 0.56 */
    ck_assert(found(CHECK_FOUND_MOVES_BY_ITSELF));
    ck_assert_int_eq(check.verdict, CHECK_UNCERTAIN);
}
END_TEST

/* A rider who does all that is asked. */
static void plan_rider(double nod_mm, double hands_mm)
{
    plan.kind = CHECK_RIDER;
    plan.channel = -1;
    plan.phase_count = RIDER_PHASES;
    for (int c = HEAD; c <= CHEST; c++) {
        double still_mm = c == HEAD ? 400.0 : 500.0;
        read_half(RIDER_PEDALS, c, still_mm + 0.1);
        read_half(RIDER_RISES, c, still_mm + 60.0);
    }
    read_half(RIDER_NODS, HEAD, 400.0 - nod_mm);
    read_half(RIDER_HANDS, CHEST, 500.0 - hands_mm);
}

START_TEST(a_rider_moves_by_fifteen_and_the_hands_by_less_than_twelve)
{
    plan_rider(15.1, 11.9);
    ck_assert(found(CHECK_FOUND_HEAD_AND_BODY));
    ck_assert_int_eq(findings.finding[findings.count - 1].channel, -1);
    ck_assert_int_eq(check.verdict, CHECK_PASSED);
    placing.channel[HEAD] = placing.channel[CHEST]; /* of a chest alone no head is told */
    placing.channel_count = 1;
    read_half(RIDER_HANDS, HEAD, 400.1);
    ck_assert(found(CHECK_FOUND_BODY) && !found(CHECK_FOUND_HEAD_AND_BODY));
    ck_assert_int_eq(findings.finding[findings.count - 1].channel, -1);
    begin();
    plan_rider(14.9, 11.9);
    ck_assert(found(CHECK_FOUND_NO_NOD));
    plan_rider(15.1, 12.1);
    ck_assert(found(CHECK_FOUND_HANDS));
}
END_TEST

START_TEST(a_rider_is_seen_nine_times_in_ten)
{
    plan_rider(30.0, 0.0);
    for (int i = 0; i < 95; i++) {
        sample[RIDER_PEDALS][10 * i].quality[CHEST] = READING_MISSING;
    }
    ck_assert(!found(CHECK_FOUND_BAD_READINGS));
    for (int i = 0; i < 10; i++) { /* 105 of 1000 */
        sample[RIDER_PEDALS][10 * i + 5].quality[CHEST] = READING_MISSING;
    }
    ck_assert(found(CHECK_FOUND_BAD_READINGS));
}
END_TEST

/* The plate reads 0.1 mm more every other second, 0.05 on the mean; the block's face one number.
 * What the mean is off by is 0.012 mm then. */
static void plan_step(double block_mm, double block_u_mm, double plate_mm, double step_mm)
{
    plan.kind = CHECK_STEP;
    plan.channel = HEAD;
    plan.phase_count = 2;
    plan.asked_mm[0] = block_mm;
    plan.block_u_mm = block_u_mm;
    for (int i = 0; i < READINGS; i++) {
        int32_t more = i / 50 % 2;
        sample[0][i].range_tenth_mm[HEAD] = (int32_t)lround(10.0 * plate_mm) + more;
        sample[1][i].range_tenth_mm[HEAD] = (int32_t)lround(10.0 * (plate_mm + 0.05 - step_mm));
    }
}

static enum check_verdict step_verdict(double block_mm, double block_u_mm, double plate_mm,
                                       double step_mm)
{
    plan_step(block_mm, block_u_mm, plate_mm, step_mm);
    check_judge(&plan, &placing, stretch, &check, &findings);
    ck_assert_double_eq_tol(check_value(&check, CHECK_BLOCK_STEP, HEAD, 0), step_mm, 1e-6);
    return check.verdict;
}

/* 1.25 of 100 of the block; at a plate far away what costs 5 mm there; three times what it is
 * known to. */
START_TEST(a_scale_has_its_limit)
{
    ck_assert_int_eq(step_verdict(80.0, 0.0, 300.0, 80.0 - 0.95), CHECK_PASSED);
    ck_assert_int_eq(step_verdict(80.0, 0.0, 300.0, 80.0 - 1.05), CHECK_FAILED);
    ck_assert_int_eq(step_verdict(200.0, 0.0, 1000.0, 200.0 + 0.95), CHECK_PASSED);
    ck_assert_int_eq(step_verdict(200.0, 0.0, 1000.0, 200.0 + 1.05), CHECK_FAILED);
    ck_assert_int_eq(step_verdict(40.0, 0.3, 300.0, 40.0 + 0.85), CHECK_PASSED);
    ck_assert_int_eq(step_verdict(40.0, 0.3, 300.0, 40.0 + 0.95), CHECK_FAILED);
}
END_TEST

START_TEST(what_is_known_too_little_is_said)
{
    plan_step(40.0, 0.26, 300.0, 40.05); /* three times are 1.95 of 100 */
    ck_assert(!found(CHECK_FOUND_SCALE_OPEN));
    plan_step(40.0, 0.28, 300.0, 40.05); /* and 2.1 */
    ck_assert(found(CHECK_FOUND_SCALE_OPEN));
    ck_assert_int_eq(step_verdict(40.0, 0.96, 300.0, 40.05),
                     CHECK_PASSED); /* twice: 1.92 of 2 mm */
    ck_assert_int_eq(step_verdict(40.0, 1.04, 300.0, 40.05), CHECK_UNCERTAIN);
}
END_TEST

START_TEST(a_block_that_is_not_seen_reads_a_third_of_itself)
{
    plan_step(40.0, 0.0, 300.0, 11.95);
    ck_assert(found(CHECK_FOUND_BLOCK_NOT_SEEN));
    ck_assert(!check_wants_calibration(&check));
    plan_step(40.0, 0.0, 300.0, 12.05);
    ck_assert(found(CHECK_FOUND_SCALE));
    ck_assert(check_wants_calibration(&check));
}
END_TEST

START_TEST(nearer_than_five_centimetres_tells_nothing)
{
    plan_step(40.0, 0.0, 89.9, 20.05); /* its face at 49.95 mm */
    ck_assert(found(CHECK_FOUND_TOO_NEAR));
    plan_step(40.0, 0.0, 90.0, 20.05);
    ck_assert(!found(CHECK_FOUND_TOO_NEAR));
    plan_step(40.0, 0.0, 49.9, 20.05);
    ck_assert(found(CHECK_FOUND_PLATE_TOO_NEAR));
    plan_step(40.0, 0.0, 50.0, 20.05);
    ck_assert(!found(CHECK_FOUND_PLATE_TOO_NEAR));
}
END_TEST

/* Two step tests of one session: 2 mm apart, or twice what both are known to. */
START_TEST(a_sensor_changed_by_two_millimetres)
{
    static const struct {
        double later_mm, u_mm;
        bool shifted;
    } tried[] = {
        {41.95, 0.1, false}, {42.05, 0.1, true},  {38.05, 0.1, false},
        {37.95, 0.1, true},  {43.9, 1.41, false}, {44.1, 1.41, true},
    };
    static struct session_record record;
    session_record_clear(&record);
    for (size_t i = 0; i < sizeof tried / sizeof tried[0]; i++) {
        double shift_mm = 0.0;
        record.check_count = 2;
        for (int k = 0; k < 2; k++) {
            struct check_record *one = &record.check[k];
            memset(one, 0, sizeof *one);
            one->kind = CHECK_STEP;
            one->asked_mm[0] = 40.0;
            one->number[0] = (struct check_number){.quantity = CHECK_BLOCK_STEP,
                                                   .value = k == 0 ? 40.0 : tried[i].later_mm};
            one->number[1] =
                (struct check_number){.quantity = CHECK_BLOCK_STEP_U, .value = tried[i].u_mm};
            one->number_count = 2;
        }
        ck_assert_int_eq(check_step_shifted(&record, 1, &shift_mm), tried[i].shifted);
    }
}
END_TEST

/* What a sensor with this gain reads at three distances; the middle one is off by so much. */
static void plan_calibration(double gain, double middle_off_mm)
{
    plan.kind = CHECK_CALIBRATION;
    plan.channel = HEAD;
    plan.phase_count = 3;
    for (int p = 0; p < 3; p++) {
        plan.asked_mm[p] = 200.0 + 200.0 * p;
        read_all(p, HEAD, plan.asked_mm[p] / gain + (p == 1 ? middle_off_mm : 0.0));
    }
}

START_TEST(no_sensor_is_a_fifth_wrong)
{
    static const double gains[] = {0.79, 0.81, 1.24, 1.26};
    for (int i = 0; i < 4; i++) {
        plan_calibration(gains[i], 0.0);
        ck_assert_int_eq(found(CHECK_FOUND_WRONG_DISTANCES), i == 0 || i == 3);
    }
}
END_TEST

/* The middle one of three off by e leaves residuals of 2/3 e and twice 1/3 e, an SD of .8165 e. */
START_TEST(a_calibration_is_straight_to_three_millimetres)
{
    plan_calibration(1.0, 3.5); /* 2.86 mm */
    ck_assert(!found(CHECK_FOUND_NOT_STRAIGHT));
    plan_calibration(1.0, 3.8); /* 3.10 mm */
    ck_assert(found(CHECK_FOUND_NOT_STRAIGHT));
}
END_TEST

START_TEST(a_point_takes_twenty_readings_near_its_median)
{
    plan_calibration(1.0, 0.0);
    stretch[0].count = 19;
    ck_assert(found(CHECK_FOUND_STATUS));
    stretch[0].count = 20;
    ck_assert(!found(CHECK_FOUND_STATUS));
    for (int i = 0; i < 5; i++) {
        sample[0][4 * i].range_tenth_mm[HEAD] = 2310; /* 31 mm too far */
    }
    check_judge(&plan, &placing, stretch, &check, &findings);
    ck_assert_double_eq_tol(check_value(&check, CHECK_RANGE, HEAD, 0), 200.0, 1e-9);
    for (int i = 0; i < 5; i++) {
        sample[0][4 * i].range_tenth_mm[HEAD] = 2290; /* a quarter of them 29 mm too far */
    }
    check_judge(&plan, &placing, stretch, &check, &findings);
    ck_assert_double_eq_tol(check_value(&check, CHECK_RANGE, HEAD, 0), 200.0 + 29.0 / 4.0, 1e-9);
}
END_TEST

static void check_times(const char *line, int phase, double pause_s, double length_s)
{
    struct words words;
    struct problem problem;
    ck_assert(words_split(line, &words, &problem));
    ck_assert(check_plan_read(&words, 0, &placing, &plan, &problem));
    ck_assert_double_eq(plan.phase[phase].pause_s, pause_s);
    ck_assert_double_eq(plan.phase[phase].length_s, length_s);
}

START_TEST(a_check_has_its_usual_times)
{
    check_times("still", 0, 2.0, 60.0);
    check_times("step head block=25", 0, 2.0, 20.0);
    check_times("step head block=25", 1, 8.0, 20.0);
    check_times("beam head", 0, 2.0, 5.0);
    check_times("beam head", 1, 2.0, 5.0);
    check_times("beam head block=50", 1, 8.0, 5.0);
    check_times("rider", 0, 2.0, 5.0);
    check_times("rider", 3, 2.0, 5.0);
    check_times("calibrate head 200 400", 0, 2.0, 5.0);
    check_times("calibrate head 200 400", 1, 8.0, 5.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("check_rules");
    TCase *tests = tcase_create("check_rules");
    tcase_add_checked_fixture(tests, begin, NULL);
    tcase_add_test(tests, a_hand_moves_a_beam_by_two_centimetres);
    tcase_add_test(tests, a_block_is_seen_from_half_of_it_and_may_be_a_little_off);
    tcase_add_test(tests, another_beam_has_to_stay);
    tcase_add_test(tests, what_moves_together_is_crosstalk);
    tcase_add_test(tests, a_rider_moves_by_fifteen_and_the_hands_by_less_than_twelve);
    tcase_add_test(tests, a_rider_is_seen_nine_times_in_ten);
    tcase_add_test(tests, a_scale_has_its_limit);
    tcase_add_test(tests, what_is_known_too_little_is_said);
    tcase_add_test(tests, a_block_that_is_not_seen_reads_a_third_of_itself);
    tcase_add_test(tests, nearer_than_five_centimetres_tells_nothing);
    tcase_add_test(tests, a_sensor_changed_by_two_millimetres);
    tcase_add_test(tests, no_sensor_is_a_fifth_wrong);
    tcase_add_test(tests, a_calibration_is_straight_to_three_millimetres);
    tcase_add_test(tests, a_point_takes_twenty_readings_near_its_median);
    tcase_add_test(tests, a_check_has_its_usual_times);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
