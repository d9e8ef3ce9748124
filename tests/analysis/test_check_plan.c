/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said of a check of the sensors: what comes of it, and what is refused in which words. */
#include "analysis/check.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static struct placing_record placing;

static void begin(void)
{
    memset(&placing, 0, sizeof placing);
    placing.channel_count = 3;
    strcpy(placing.channel[0].name, "head");
    strcpy(placing.channel[1].name, "chest");
    strcpy(placing.channel[2].name, "power");
    placing.channel[2].role = ROLE_AUXILIARY;
}

static bool read_line(const char *line, const struct placing_record *of, struct check_plan *plan,
                      struct problem *problem)
{
    struct words words;
    ck_assert_msg(words_split(line, &words, problem), "%s", line);
    return check_plan_read(&words, 1, of, plan, problem);
}

static struct check_plan good(const char *line)
{
    struct check_plan plan;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert_msg(read_line(line, &placing, &plan, &problem), "%s: %s", line, problem.sentence);
    return plan;
}

static const struct {
    const char *line, *sentence;
} refused[] = {
    {"check", "check: '' is none of rider, beam, step, still"},
    {"check wobble", "check: 'wobble' is none of rider, beam, step, still"},
    {"check kind=still", "check: 'still' is none of rider, beam, step, still"},
    {"check still pace=3", "still does not know 'pace='"},
    {"check still block=25", "still does not know 'block='"},
    {"check rider block=25", "rider does not know 'block='"},
    {"check calibrate head 200 400 block=25", "calibrate does not know 'block='"},
    {"check still knee", "still: 'knee' is no time and no sensor; there are: head, chest"},
    {"check still power", "still: 'power' is no range sensor"},
    {"check still 0s", "still: '0s' is no time from 1 to 36000 s"},
    {"check still 36001s", "still: '36001s' is no time from 1 to 36000 s"},
    {"check step block=25", "step: say which sensor; there are: head, chest"},
    {"check beam 5s", "beam: say which sensor; there are: head, chest"},
    {"check calibrate 200 400", "calibrate: say which sensor; there are: head, chest"},
    {"check step head", "step: say how thick the block is, as block=25"},
    {"check rider head", "rider: it is of all sensors at once"},
    {"check calibrate head", "calibrate: say two known distances or more, as 200 400 600 (in mm, "
                             "from the sensor to the plate)"},
    {"check calibrate head 200", "calibrate: say two known distances or more, as 200 400 600 (in "
                                 "mm, from the sensor to the plate)"},
    {"check calibrate head 200 200", "calibrate: all distances are the same"},
    {"check calibrate head 200 4", "calibrate: '4' is no distance from 5 to 5000 mm"},
    {"check calibrate head 200 5001mm", "calibrate: '5001mm' is no distance from 5 to 5000 mm"},
    {"check calibrate head 200 knee",
     "calibrate: 'knee' is no time and no sensor; there are: head, chest"},
    {"check calibrate head 200 400 s",
     "calibrate: 's' is no time and no sensor; there are: head, chest"},
    {"check calibrate head 200 400 \"\"",
     "calibrate: '' is no time and no sensor; there are: head, chest"},
    {"check calibrate head 1s 10 20 30 40 50 60 70 80 90 100 110 120 130",
     "calibrate: no more than 12 distances"},
};

START_TEST(what_is_refused)
{
    struct check_plan plan;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert_msg(!read_line(refused[_i].line, &placing, &plan, &problem), "%s", refused[_i].line);
    ck_assert_str_eq(problem.sentence, refused[_i].sentence);
    ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
}
END_TEST

START_TEST(numbers_outside_their_limits)
{
    static const char *const lines[] = {"check still pause=601",
                                        "check still pause=x",
                                        "check still pause=-1",
                                        "check step head block=0.5",
                                        "check step head block=501",
                                        "check beam head block=x",
                                        "check step head block=25 block_u=11",
                                        "check step head block=25 block_u=-1"};
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        struct check_plan plan;
        struct problem problem = {PROBLEM_NONE, ""};
        ck_assert_msg(!read_line(lines[i], &placing, &plan, &problem), "%s", lines[i]);
        ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
        ck_assert_msg(problem.sentence[0] != '\0', "%s", lines[i]);
    }
}
END_TEST

START_TEST(before_any_sensor)
{
    struct check_plan plan;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(!read_line("check still head", NULL, &plan, &problem));
    ck_assert_str_eq(problem.sentence,
                     "still: 'head' is no time and no sensor; there are: none so far");
    ck_assert(!read_line("check beam", NULL, &plan, &problem));
    ck_assert_str_eq(problem.sentence, "beam: say which sensor; there are: none so far");
    ck_assert(read_line("check still", NULL, &plan, &problem));
}
END_TEST

/* As many sensors as there can be are named, and no more. */
START_TEST(of_many_sensors)
{
    struct check_plan plan;
    struct problem problem = {PROBLEM_NONE, ""};
    placing.channel_count = CHANNELS_MAX;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        placing.channel[c].role = ROLE_BODY;
        snprintf(placing.channel[c].name, sizeof placing.channel[c].name, "s%d", c);
    }
    ck_assert_int_eq(good("check still s7 20s").channel, CHANNELS_MAX - 1);
    ck_assert(!read_line("check still knee", &placing, &plan, &problem));
    ck_assert_str_eq(problem.sentence, "still: 'knee' is no time and no sensor; there are: s0, s1, "
                                       "s2, s3, s4, s5, s6, s7");
}
END_TEST

START_TEST(still)
{
    struct check_plan plan = good("check still");
    ck_assert_int_eq(plan.kind, CHECK_STILL);
    ck_assert_int_eq(plan.channel, -1);
    ck_assert_int_eq(plan.phase_count, 1);
    ck_assert_double_eq(plan.phase[0].length_s, 60.0);
    ck_assert_double_eq(plan.phase[0].pause_s, 2.0);
    plan = good("check still chest 90s pause=4");
    ck_assert_int_eq(plan.channel, 1);
    ck_assert_double_eq(plan.phase[0].length_s, 90.0);
    ck_assert_double_eq(plan.phase[0].pause_s, 2.0); /* the pause is between parts */
    plan = good("check still pause=key");
    ck_assert_msg(isinf(plan.phase[0].pause_s), "told to go");
}
END_TEST

START_TEST(step)
{
    struct check_plan plan = good("check step head block=25");
    ck_assert_int_eq(plan.kind, CHECK_STEP);
    ck_assert_int_eq(plan.phase_count, 2);
    ck_assert_double_eq(plan.asked_mm[0], 25.0);
    ck_assert_double_eq(plan.block_u_mm, 0.0);
    ck_assert_msg(isnan(plan.asked_mm[1]), "one block");
    ck_assert_double_eq(plan.phase[0].length_s, 20.0);
    ck_assert_double_eq(plan.phase[1].pause_s, 8.0);
    ck_assert_str_eq(plan.phase[1].ask, "lay the block of 25 mm on the plate, in the beam of head");
    ck_assert_str_eq(plan.phase[1].rig_before, "block 25 head");
    plan = good("check step chest block=24.9 block_u=0.05 10s pause=3");
    ck_assert_double_eq(plan.block_u_mm, 0.05);
    ck_assert_double_eq(plan.phase[1].length_s, 10.0);
    ck_assert_double_eq(plan.phase[1].pause_s, 3.0);
}
END_TEST

START_TEST(beam)
{
    struct check_plan plan = good("check beam head");
    ck_assert_msg(isnan(plan.asked_mm[0]), "a hand");
    ck_assert_double_eq(plan.phase[0].length_s, 5.0);
    ck_assert_double_eq(plan.phase[1].pause_s, 2.0);
    ck_assert_str_eq(plan.phase[0].rig_before, "");
    ck_assert_str_eq(plan.phase[1].rig_before, "hand head");
    ck_assert_str_eq(plan.phase[1].ask, "move a hand slowly up and down in the beam of head");
    plan = good("check beam head block=50");
    ck_assert_double_eq(plan.asked_mm[0], 50.0);
    ck_assert_double_eq(plan.phase[1].pause_s, 8.0);
    ck_assert_str_eq(plan.phase[0].rig_before, "plate 930");
    ck_assert_str_eq(plan.phase[1].ask,
                     "hold the block of 50 mm against what the beam of head sees");
}
END_TEST

START_TEST(rider)
{
    struct check_plan plan = good("check rider 40s pause=1");
    ck_assert_int_eq(plan.phase_count, 4);
    for (int p = 0; p < 4; p++) {
        ck_assert_double_eq(plan.phase[p].length_s, 10.0);
        ck_assert_double_eq(plan.phase[p].pause_s, p == 0 ? 2.0 : 1.0);
    }
    ck_assert_str_eq(plan.phase[1].rig_during, "nod 45 10s");
    ck_assert_str_eq(plan.phase[3].rig_during, "rise 60 10s");
    plan = good("check rider pause=key");
    ck_assert_double_eq(plan.phase[2].length_s, 5.0);
    ck_assert_msg(isinf(plan.phase[0].pause_s) && isinf(plan.phase[3].pause_s), "told to go");
}
END_TEST

START_TEST(calibration)
{
    struct check_plan plan = good("check calibrate chest 600mm 200 400 3s");
    static const double known[] = {600.0, 200.0, 400.0};
    ck_assert_int_eq(plan.kind, CHECK_CALIBRATION);
    ck_assert_int_eq(plan.channel, 1);
    ck_assert_int_eq(plan.phase_count, 3);
    for (int p = 0; p < 3; p++) {
        ck_assert_double_eq(plan.asked_mm[p], known[p]);
        ck_assert_double_eq(plan.phase[p].length_s, 3.0);
        ck_assert_double_eq(plan.phase[p].pause_s, p == 0 ? 2.0 : 8.0);
    }
    ck_assert_msg(isnan(plan.asked_mm[3]), "three");
    ck_assert_str_eq(plan.phase[1].rig_before, "distance 200 chest");
    plan = good("check calibrate head 10 20 30 40 50 60 70 80 90 100 110 120");
    ck_assert_int_eq(plan.phase_count, 12);
    ck_assert_double_eq(plan.phase[11].length_s, 5.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("check_plan");
    TCase *tests = tcase_create("check_plan");
    tcase_add_checked_fixture(tests, begin, NULL);
    tcase_add_loop_test(tests, what_is_refused, 0, sizeof refused / sizeof refused[0]);
    tcase_add_test(tests, numbers_outside_their_limits);
    tcase_add_test(tests, before_any_sensor);
    tcase_add_test(tests, of_many_sensors);
    tcase_add_test(tests, still);
    tcase_add_test(tests, step);
    tcase_add_test(tests, beam);
    tcase_add_test(tests, rider);
    tcase_add_test(tests, calibration);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
