/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A level that steps in a hold: of the body, or of one sensor alone. */
#include "long_hold.h"

/* A sensor that moves alone steps alone, where another moves by less than a third of it: by a meter
 * as by all samples at once. What has no height, no readings, or is of no body, tells nothing
 * beside it. */
START_TEST(a_step_alone)
{
    static const struct {
        int channel;     /* that steps by 30 mm */
        double other_mm; /* by which the second steps, too */
        bool missing;    /* the second has no readings */
        int aux;         /* is no height; -1: none */
        bool alone;
    } rows[] = {{0, 0, false, -1, true},     {0, 30, false, -1, false}, {0, 9.5, false, -1, true},
                {0, 10.5, false, -1, false}, {0, 0, true, -1, false},   {0, 0, false, 1, false},
                {1, 0, false, 0, false},     {2, 0, false, -1, false}};
    for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
        struct problem problem = {PROBLEM_NONE, ""};
        struct hold_result result = {.counts = false};
        hold_of(10.0, 200.0);
        lift(rows[r].channel, 10.0, 120.0, 1e6, 30.0);
        lift(1, 10.0, 120.0, 1e6, rows[r].other_mm);
        lift(2, 10.0, 120.0, 1e6, 40.0); /* what is of no body is told of none */
        for (int i = 0; i < LONG && rows[r].missing; i++) {
            made[i].quality[1] = READING_MISSING;
        }
        record->placing_count = 2; /* the sensors as they are by now */
        record->placing[1] = record->placing[0];
        for (int c = 0; c < 2; c++) {
            record->placing[0].channel[c].role = rows[r].aux == c ? ROLE_AUXILIARY : ROLE_BODY;
        }
        struct hold_meter *meter = measured();
        hold_meter_result(meter, record, analysis, &result);
        hold_meter_destroy(meter);
        ck_assert(result.summary[rows[r].channel].stepped);
        ck_assert_int_eq(result.step_alone[rows[r].channel], rows[r].alone);
        ck_assert_msg(analysis_make(record, long_samples, NULL, analysis, &problem), "%s",
                      problem.sentence);
        ck_assert_int_eq(analysis->hold[0].step_alone[rows[r].channel], rows[r].alone);
        ck_assert(!analysis->hold[0].step_alone[2] && !result.step_alone[2]);
        ck_assert_int_eq(analysis->hold[0].together, !rows[r].missing && rows[r].aux < 0);
        record->placing[0].channel[0].role = record->placing[0].channel[1].role = ROLE_BODY;
    }
}
END_TEST

/* As many sensors of the body as there can be: the last one steps alone, or the first steps with it
 * and neither is alone, whatever those between did. By a meter as by all samples at once. */
static void last_of_many_steps(bool first_too)
{
    enum { LAST = CHANNELS_MAX - 1 };
    struct problem problem = {PROBLEM_NONE, ""};
    struct hold_result result = {.counts = false};
    hold_of(20.0, 300.0);
    record->placing[0].channel_count = analysis->channel_count = CHANNELS_MAX;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        struct channel_record *channel = &record->placing[0].channel[c];
        *channel = record->placing[0].channel[0];
        snprintf(channel->name, sizeof channel->name, "part%d", c);
        analysis->body[c] = true;
        for (int i = 0; i < LONG && c > 0; i++) {
            made[i].range_tenth_mm[c] =
                made[i].range_tenth_mm[0] + (c == LAST && i >= 20 * 150 ? 300 : 0);
        }
    }
    for (int i = 20 * 150; i < LONG && first_too; i++) {
        made[i].range_tenth_mm[0] += 300;
    }
    analysis_ties(record, analysis);
    struct hold_meter *meter = measured();
    hold_meter_result(meter, record, analysis, &result);
    hold_meter_destroy(meter);
    ck_assert(analysis_make(record, long_samples, NULL, analysis, &problem));
    ck_assert(result.stepped && analysis->hold[0].stepped);
    for (int c = 0; c < CHANNELS_MAX; c++) {
        bool steps = c == LAST || (c == 0 && first_too);
        ck_assert_int_eq(result.summary[c].stepped, steps);
        ck_assert_int_eq(result.step_alone[c], steps && !first_too);
        ck_assert_int_eq(analysis->hold[0].step_alone[c], steps && !first_too);
    }
}

START_TEST(the_last_of_as_many_sensors_steps_alone)
{
    last_of_many_steps(false);
}
END_TEST

START_TEST(the_first_and_the_last_sensor_step_together)
{
    last_of_many_steps(true);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold_steps");
    TCase *tests = tcase_create("hold_steps");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, a_step_alone);
    tcase_add_test(tests, the_last_of_as_many_sensors_steps_alone);
    tcase_add_test(tests, the_first_and_the_last_sensor_step_together);
    return test_main(suite);
}
