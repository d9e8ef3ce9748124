/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Checks of sensors that say nothing, say it twice, or are of no body. */
#include "check_readings.h"

/* Nothing good: no reading of any kind of check is made up. */
START_TEST(a_sensor_without_good_readings_is_not_measured)
{
    static const enum check_kind kinds[] = {CHECK_STILL, CHECK_STEP, CHECK_BEAM, CHECK_CALIBRATION};
    for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
        begin();
        plan = (struct check_plan){.kind = kinds[k], .channel = HEAD, .phase_count = 2};
        plan.asked_mm[0] = 20.0;
        plan.asked_mm[1] = 600.0;
        for (int p = 0; p < PHASES; p++) {
            for (int i = 0; i < READINGS; i++) {
                sample[p][i].quality[HEAD] = READING_MISSING;
            }
        }
        ck_assert(found(CHECK_FOUND_STATUS));
        ck_assert_int_ne(check.verdict, CHECK_PASSED);
        for (int n = 0; n < check.number_count; n++) {
            ck_assert(isfinite(check.number[n].value));
        }
    }
}
END_TEST

/* A stream in which each moment comes twice is measured as if it came once. */
START_TEST(the_second_of_two_at_one_time_is_passed_over)
{
    struct check_record once;
    begin();
    plan = (struct check_plan){.kind = CHECK_STILL, .channel = HEAD, .phase_count = 1};
    for (int i = 0; i < READINGS; i++) {
        sample[0][i].time_us = 40000 * (i / 2);
        sample[0][i].range_tenth_mm[HEAD] = 4000 + (i / 2 * 7) % 5 + (i % 2 == 0 ? 0 : 500);
    }
    found(CHECK_FOUND_STATUS);
    once = check;
    for (int i = 0; i < READINGS / 2; i++) {
        sample[0][i].time_us = 40000 * i;
        sample[0][i].range_tenth_mm[HEAD] = 4000 + (i * 7) % 5;
    }
    stretch[0].count = READINGS / 2;
    found(CHECK_FOUND_STATUS);
    ck_assert_double_eq(check_value(&once, CHECK_RANGE, HEAD, 0),
                        check_value(&check, CHECK_RANGE, HEAD, 0));
    ck_assert_double_eq(check_value(&once, CHECK_NOISE, HEAD, 0),
                        check_value(&check, CHECK_NOISE, HEAD, 0));
}
END_TEST

/* Of a placing without a sensor of the body a rider can't be checked; with none called head,
 * nothing is told of a head. */
START_TEST(a_rider_without_a_sensor_of_the_body)
{
    begin();
    plan = (struct check_plan){.kind = CHECK_RIDER, .channel = -1, .phase_count = PHASES};
    placing.channel[HEAD].role = placing.channel[CHEST].role = ROLE_REFERENCE;
    ck_assert(found(CHECK_FOUND_NO_BODY));
    ck_assert_int_eq(findings.finding[0].channel, -1); /* of no sensor in particular */
    ck_assert_int_eq(check.verdict, CHECK_UNCERTAIN);
    placing.channel[HEAD].role = ROLE_BODY;
    strcpy(placing.channel[HEAD].name, "hips");
    found(CHECK_FOUND_NO_BODY);
    for (int i = 0; i < findings.count; i++) {
        ck_assert_int_ne(findings.finding[i].kind, CHECK_FOUND_HEAD_AND_BODY);
        ck_assert_int_ne(findings.finding[i].kind, CHECK_FOUND_NO_NOD);
    }
}
END_TEST

/* One sensor alone moves alone: that says nothing. What is no range is not asked. */
START_TEST(one_sensor_is_not_compared_with_another)
{
    begin();
    plan = (struct check_plan){.kind = CHECK_BEAM, .channel = HEAD, .phase_count = 2};
    plan.asked_mm[0] = NAN;
    read_half(1, HEAD, 350.0);
    ck_assert(found(CHECK_FOUND_ALONE));
    placing.channel_count = 1;
    ck_assert(!found(CHECK_FOUND_ALONE));
    ck_assert(found(CHECK_FOUND_FOLLOWS_HAND));
    placing.channel_count = 2;
    placing.channel[CHEST].role = ROLE_AUXILIARY;
    ck_assert(found(CHECK_FOUND_ALONE));
    ck_assert(isnan(check_value(&check, CHECK_DOWN, CHEST, 0)));
}
END_TEST

/* Five distances, two of each: the residuals of a straight sensor are small, of a bent one not. */
static void plan_line(double bend_mm)
{
    static const double asked[] = {300.0, 400.0, 500.0, 600.0};
    begin();
    plan = (struct check_plan){.kind = CHECK_CALIBRATION, .channel = HEAD, .phase_count = PHASES};
    for (int p = 0; p < PHASES; p++) {
        double bent = bend_mm * ((p == 1 || p == 2) ? 1.0 : -1.0);
        plan.asked_mm[p] = asked[p];
        read_all(p, HEAD, asked[p] + bent);
    }
}

START_TEST(a_line_that_is_bent_is_not_straight)
{
    plan_line(0.5);
    ck_assert(!found(CHECK_FOUND_NOT_STRAIGHT));
    ck_assert_int_eq(check.verdict, CHECK_PASSED);
    plan_line(20.0);
    ck_assert(found(CHECK_FOUND_NOT_STRAIGHT));
    ck_assert_int_eq(check.verdict, CHECK_FAILED);
    plan_line(0.0);
    plan.asked_mm[1] = plan.asked_mm[2] = plan.asked_mm[3] = 300.0; /* no line goes through one */
    ck_assert(found(CHECK_FOUND_STATUS));
}
END_TEST

/* A number is found by what it is of, a channel and a phase; there is room for so many. */
START_TEST(numbers_are_found_by_what_they_are_of)
{
    struct check_findings many = {0};
    memset(&check, 0, sizeof check);
    check.number_count = 3;
    check.number[0] = (struct check_number){.quantity = CHECK_UP, .channel = 0, .value = 1.0};
    check.number[1] = (struct check_number){.quantity = CHECK_UP, .channel = 1, .value = 2.0};
    check.number[2] =
        (struct check_number){.quantity = CHECK_UP, .channel = 1, .phase = 1, .value = 3.0};
    ck_assert_double_eq(check_value(&check, CHECK_UP, 1, 1), 3.0);
    ck_assert_double_eq(check_value(&check, CHECK_UP, 1, 0), 2.0);
    ck_assert(isnan(check_value(&check, CHECK_DOWN, 1, 0)));
    ck_assert(isnan(check_value(&check, CHECK_UP, 2, 0)));
    ck_assert(isnan(check_value(&check, CHECK_UP, 1, 2)));
    const double value = 1.0;
    for (int i = 0; i < CHECK_FINDINGS_MAX + 2; i++) {
        check_find(&many, CHECK_FOUND_SCATTER, i, 1, &value);
    }
    ck_assert_int_eq(many.count, CHECK_FINDINGS_MAX);
    ck_assert_int_eq(many.finding[CHECK_FINDINGS_MAX - 1].channel, CHECK_FINDINGS_MAX - 1);
}
END_TEST

/* Of all sensors together those of the trainer are no range; one that was asked for is. */
START_TEST(all_sensors_are_those_of_a_range)
{
    begin();
    plan = (struct check_plan){.kind = CHECK_STILL, .channel = -1, .phase_count = 1};
    placing.channel[CHEST].role = ROLE_AUXILIARY;
    found(CHECK_FOUND_STATUS);
    for (int i = 0; i < findings.count; i++) {
        ck_assert_int_eq(findings.finding[i].channel, HEAD);
    }
    ck_assert_int_gt(findings.count, 0);
}
END_TEST

/* Both steps stand at one value: told as such, or as nearer than can be read. One reading alone
 * makes no block. A hand that moved two beams is not alone, whichever comes first. */
START_TEST(what_is_said_of_one_that_is_left)
{
    begin();
    plan = (struct check_plan){.kind = CHECK_STEP, .channel = HEAD, .phase_count = 2};
    plan.asked_mm[0] = 20.0;
    ck_assert(found(CHECK_FOUND_STATUS)); /* 400 mm, and no step of it */
    for (int p = 0; p < 2; p++) {
        read_all(p, HEAD, 60.0);
    }
    ck_assert(found(CHECK_FOUND_TOO_NEAR) && !found(CHECK_FOUND_STATUS));
    stretch[0].count = 1;
    ck_assert(found(CHECK_FOUND_STATUS));
    ck_assert_int_ne(check.verdict, CHECK_PASSED);
    begin();
    placing.channel_count = 3;
    placing.channel[2] = placing.channel[CHEST];
    strcpy(placing.channel[2].name, "hips");
    plan = (struct check_plan){.kind = CHECK_BEAM, .channel = HEAD, .phase_count = 2};
    plan.asked_mm[0] = NAN;
    read_half(1, HEAD, 350.0);
    ck_assert(found(CHECK_FOUND_ALONE));
    read_half(1, CHEST, 450.0);
    ck_assert(!found(CHECK_FOUND_ALONE));
}
END_TEST

/* A distance of which the half of the readings lie far to either side: its median stands. */
START_TEST(a_distance_without_a_reading_near_its_middle)
{
    plan_line(0.0);
    for (int i = 0; i < READINGS; i++) {
        sample[1][i].range_tenth_mm[HEAD] = i % 2 == 0 ? 3000 : 5000;
    }
    found(CHECK_FOUND_LINE);
    ck_assert_double_eq_tol(check_value(&check, CHECK_RANGE, HEAD, 1), 400.0, 0.1);
}
END_TEST

/* A line through distances that were each held twice: what is left at each tells that it is bent,
 * told by its chance where it is well known, and by its size. */
START_TEST(a_line_held_twice_at_each_distance)
{
    static const double asked[] = {300.0, 500.0, 700.0};
    for (int bent = 0; bent < 2; bent++) {
        begin();
        plan = (struct check_plan){.kind = CHECK_CALIBRATION, .channel = HEAD, .phase_count = 4};
        for (int p = 0; p < 4; p++) {
            plan.asked_mm[p] = asked[p % 3];
            read_all(p, HEAD,
                     asked[p % 3] + (p == 3 ? 0.1 : 0.0) + (p % 3 == 1 ? 8.0 * bent : 0.0));
        }
        ck_assert(found(CHECK_FOUND_NOT_STRAIGHT) == bent);
        ck_assert_double_lt(check_value(&check, CHECK_LACK_OF_FIT_P, HEAD, 0), bent ? 0.05 : 1.1);
        ck_assert_int_eq(check.verdict, bent ? CHECK_FAILED : CHECK_PASSED);
    }
}
END_TEST

/* It drifts evenly: no end of it is foreseen. */
START_TEST(what_drifts_evenly_does_not_warm_up)
{
    begin();
    plan = (struct check_plan){.kind = CHECK_STILL, .channel = HEAD, .phase_count = 1};
    for (int i = 0; i < READINGS; i++) {
        sample[0][i].time_us = 60000 * i; /* a minute of them */
        sample[0][i].range_tenth_mm[HEAD] = 4000 + i / 10 + (i * 7) % 5;
    }
    ck_assert(found(CHECK_FOUND_DRIFTS));
    ck_assert(!found(CHECK_FOUND_WARMS_UP));
}
END_TEST

/* A rider check with no sample in it, and checks of as many sensors as there can be. */
START_TEST(a_rider_check_of_none_and_of_all)
{
    begin();
    plan = (struct check_plan){.kind = CHECK_RIDER, .channel = -1, .phase_count = PHASES};
    placing.channel_count = CHANNELS_MAX;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        placing.channel[c] = placing.channel[HEAD];
        for (int p = 0; p < PHASES; p++) {
            read_all(p, c, 400.0);
            read_half(p, c, 400.0 + 20.0 * p);
        }
    }
    found(CHECK_FOUND_STATUS);
    ck_assert_int_gt(check.number_count, CHANNELS_MAX);
    ck_assert_int_le(check.number_count, CHECK_NUMBERS_MAX);
    plan = (struct check_plan){.kind = CHECK_BEAM, .channel = HEAD, .phase_count = 2};
    plan.asked_mm[0] = NAN;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        for (int p = 0; p < 2; p++) {
            read_all(p, c, 400.0);
        }
    }
    read_half(1, HEAD, 350.0);
    ck_assert(found(CHECK_FOUND_ALONE));
    ck_assert_double_eq(check_value(&check, CHECK_DOWN, CHANNELS_MAX - 1, 0), 0.0);
    plan = (struct check_plan){.kind = CHECK_RIDER, .channel = -1, .phase_count = PHASES};
    for (int p = 0; p < PHASES; p++) {
        stretch[p].count = 0;
    }
    ck_assert(!found(CHECK_FOUND_BAD_READINGS));
    ck_assert_int_ne(check.verdict, CHECK_PASSED);
}
END_TEST

/* Bent by 2.5 mm in the middle, seen beyond chance: 1.7 mm off the line are let pass. */
START_TEST(a_line_a_little_bent)
{
    static const double asked[] = {300.0, 500.0, 700.0, 500.0};
    begin();
    plan = (struct check_plan){.kind = CHECK_CALIBRATION, .channel = HEAD, .phase_count = 4};
    for (int p = 0; p < 4; p++) {
        plan.asked_mm[p] = asked[p];
        read_all(p, HEAD, asked[p] + (p % 2 == 1 ? 2.5 : 0.0));
    }
    for (int i = 0; i < READINGS; i += 100) { /* a hundredth of a millimetre on the mean */
        sample[3][i].range_tenth_mm[HEAD] += 10;
    }
    ck_assert(!found(CHECK_FOUND_NOT_STRAIGHT));
    ck_assert_double_lt(check_value(&check, CHECK_LACK_OF_FIT_P, HEAD, 0), 0.01);
    ck_assert_int_eq(check.verdict, CHECK_PASSED);
}
END_TEST

/* Ten millimetres that go as exp(-t / 100 s) in five minutes: so it warms up, and is told how long.
 */
START_TEST(what_slows_down_warms_up)
{
    begin();
    plan = (struct check_plan){.kind = CHECK_STILL, .channel = HEAD, .phase_count = 1};
    for (int i = 0; i < READINGS; i++) {
        double at_s = 0.1 * i;
        sample[0][i].time_us = INT64_C(100000) * i;
        sample[0][i].range_tenth_mm[HEAD] =
            (int32_t)lround(4000.0 + 100.0 * exp(-at_s / 100.0)) + (i * 7) % 3;
    }
    ck_assert(found(CHECK_FOUND_DRIFTS));
    ck_assert(found(CHECK_FOUND_WARMS_UP));
}
END_TEST

/* A line through two distances fits: nothing is left that would tell of its errors. */
START_TEST(a_line_through_two_distances)
{
    begin();
    plan = (struct check_plan){.kind = CHECK_CALIBRATION, .channel = HEAD, .phase_count = 2};
    for (int p = 0; p < 2; p++) {
        plan.asked_mm[p] = 300.0 + 300.0 * p;
        read_all(p, HEAD, 302.0 + 306.0 * p);
    }
    ck_assert(found(CHECK_FOUND_TWO_DISTANCES) && !found(CHECK_FOUND_NOT_STRAIGHT));
    ck_assert_int_eq(check.verdict, CHECK_PASSED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("check_edges");
    TCase *tests = tcase_create("check_edges");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_sensor_without_good_readings_is_not_measured);
    tcase_add_test(tests, the_second_of_two_at_one_time_is_passed_over);
    tcase_add_test(tests, a_rider_without_a_sensor_of_the_body);
    tcase_add_test(tests, one_sensor_is_not_compared_with_another);
    tcase_add_test(tests, a_line_that_is_bent_is_not_straight);
    tcase_add_test(tests, numbers_are_found_by_what_they_are_of);
    tcase_add_test(tests, all_sensors_are_those_of_a_range);
    tcase_add_test(tests, what_is_said_of_one_that_is_left);
    tcase_add_test(tests, a_distance_without_a_reading_near_its_middle);
    tcase_add_test(tests, a_line_held_twice_at_each_distance);
    tcase_add_test(tests, what_drifts_evenly_does_not_warm_up);
    tcase_add_test(tests, a_rider_check_of_none_and_of_all);
    tcase_add_test(tests, a_line_a_little_bent);
    tcase_add_test(tests, what_slows_down_warms_up);
    tcase_add_test(tests, a_line_through_two_distances);
    return test_main(suite);
}
