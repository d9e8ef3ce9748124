/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is found of made-up sensors on a plate, of movements that they follow and of cues. */
#include "made_input.h"

#include "measure/cue_ask.h"
#include "measure/cue_sound.h"
#include "measure/follow.h"
#include "measure/plate_still.h"
#include "measure/step_test.h"
#include "measure/still_test.h"

static void pin_excursion(int n)
{
    struct excursion excursion;
    struct two_levels levels;
    struct crosstalk crosstalk;
    int before = 20 + n, during = 25 + n % 7;
    noise(value, before, 500.0, 1.0 + n % 3, 0.5);
    noise(other, during, 500.0 + 6.0 * (n % 5 - 2), 1.0 + n % 4, 0.5);
    if (pin_status(excursion_find(value, (size_t)before, other, (size_t)during, &excursion))) {
        outcome_number("before_mm", excursion.before_mm);
        outcome_number("shift_mm", excursion.shift_mm);
        outcome_number("shift_u_mm", excursion.shift_u_mm);
        outcome_number("up_mm", excursion.up_mm);
        outcome_number("down_mm", excursion.down_mm);
        outcome_number("restless_mm", excursion.restless_mm);
        for (int way = FOLLOW_DOWN; way <= FOLLOW_UP; way++) {
            struct follow_wanted wanted = {(enum follow_way)way, 4.0, n % 2 ? 12.0 : NAN, 3.0};
            outcome_number("verdict", follow_judge(&excursion, &wanted));
        }
    }
    int pairs = before < during ? before : during;
    for (int i = 0; i < pairs; i++) {
        other[i] += 0.5 * n / 10.0 * (value[i] - 500.0);
    }
    if (pin_status(crosstalk_find(value, other, (size_t)pairs, &crosstalk))) {
        outcome_number("share", crosstalk.share);
        outcome_number("correlation", crosstalk.correlation);
    }
    for (int i = 0; i < before; i++) {
        value[i] += any(10) < n % 10 ? 30.0 : 0.0;
    }
    if (pin_status(two_levels_find(value, (size_t)before, &levels))) {
        outcome_number("is_two", levels.is_two);
        outcome_number("low_mm", levels.low_mm);
        outcome_number("high_mm", levels.high_mm);
        outcome_number("low_share", levels.low_share);
        outcome_number("low_sd_mm", levels.low_sd_mm);
        outcome_number("high_sd_mm", levels.high_sd_mm);
        outcome_number("jumps", (double)levels.jumps);
        outcome_number("between", (double)levels.between);
    }
}

START_TEST(sensors)
{
    random_seed(&source, 35);
    outcome_begin("measure-sensors");
    for (int n = 0; n < 30; n++) {
        struct plate_still still;
        struct step_test step;
        outcome_of("sensor%d", n);
        pin_excursion(n);
        int readings = 10 + 4 * n;
        noise(value, readings, 400.0, 1.0, n % 2 ? 1.0 : 0.1);
        for (int i = 0; i < readings; i++) {
            value[i] += n % 4 == 0 ? 0.05 * i : 0.0;
        }
        if (pin_status(plate_still(value, (size_t)readings, &still))) {
            outcome_number("moved_mm", still.moved_mm);
            outcome_number("noise_mm", still.noise_mm);
            outcome_number("step_mm", still.step_mm);
            outcome_number("u_mm", still.u_mm);
            outcome_number("moved", still.moved);
        }
        noise(other, 12, 390.0 + n % 3, 0.5, 0.1);
        struct step_input input = {value, (size_t)(1 + n % 9), other, (size_t)(1 + n % 5),
                                   10.0,  n % 2 ? 0.1 : 0.0};
        if (pin_status(step_test(&input, &step))) {
            outcome_number("step", step.step_mm);
            outcome_number("step.u_mm", step.u_mm);
            outcome_number("step.error_mm", step.error_mm);
            outcome_number("step.limit_mm", step.limit_mm);
            outcome_number("step.t", step.t);
            outcome_number("step.scale", step.scale_error_percent);
            outcome_number("step.scale_u", step.scale_error_u_percent);
            outcome_number("step.verdict", step.verdict);
        }
    }
    outcome_end();
}
END_TEST

static uint8_t valid[MANY];

static void pin_still(const struct still_test *test)
{
    outcome_number("good", (double)test->good);
    outcome_number("duration_s", test->duration_s);
    outcome_number("rate_hz", test->rate_hz);
    outcome_number("valid_share", test->valid_share);
    outcome_number("outlier_share", test->outlier_share);
    outcome_number("mean_mm", test->mean_mm);
    outcome_number("sd_mm", test->sd_mm);
    outcome_number("white_mm", test->white_mm);
    outcome_number("quantum_mm", test->quantum_mm);
    outcome_number("drift", test->has_drift ? test->drift_mm_per_min : NAN);
    outcome_number("drift.half", test->has_drift ? test->drift_half_width_mm_per_min : NAN);
    outcome_number("warms_minutes", test->warms_minutes);
    outcome_number("best_s", test->has_allan ? test->best_s : NAN);
    outcome_number("best_mm", test->has_allan ? test->best_mm : NAN);
    outcome_number("best_is_longest", test->best_is_longest);
    outcome_number("ripple", test->ripple.found ? test->ripple.amplitude_mm : -1.0);
    outcome_number("ripple.hz", test->ripple.found ? test->ripple.hz : -1.0);
    outcome_number("ripple.mains", test->ripple.found ? test->ripple.mains_hz : -1.0);
    outcome_number("reasons", test->reasons);
}

START_TEST(still_sensors)
{
    random_seed(&source, 36);
    outcome_begin("measure-still");
    for (int n = 0; n < 24; n++) {
        static const double levels[] = {400.0, 35.0, 30.0, 400.0};
        int count = 18 + 90 * n;
        struct still_test test;
        noise(value, count, levels[n % 4], n % 6 == 5 ? 0.0 : 0.5 * (1 + n % 5), n % 3 ? 0.1 : 1.0);
        for (int i = 0; i < count; i++) {
            double t = i / 25.0;
            time_s[i] = t;
            value[i] += n % 7 == 3 ? 0.04 * t : n % 7 == 4 ? 6.0 * (1.0 - exp(-t / 20.0)) : 0.0;
            value[i] += n % 5 == 2 ? 2.0 * sin(6.2831853 * 7.3 * t) : 0.0;
            value[i] += n % 9 == 8 && any(3) == 0 ? 25.0 : 0.0;
            value[i] += n % 8 == 6 && any(40) == 0 ? 90.0 : 0.0;
            valid[i] = !(n % 6 == 4 && any(12) == 0);
        }
        struct still_input input = {time_s, value, valid, (size_t)count};
        outcome_of("still%d", n);
        if (pin_status(still_test(&input, &test))) {
            pin_still(&test);
        }
    }
    outcome_end();
}
END_TEST

/* Three channels that come and go in steps of a millimetre, samples of a tenth of a second. */
START_TEST(cues)
{
    random_seed(&source, 41);
    outcome_begin("measure-cues");
    for (int n = 0; n < 12; n++) {
        struct cue_machine machine[3];
        const struct cue_machine *shown[3] = {&machine[0], &machine[1], NULL};
        struct cue_ask ask = {.channel = -1};
        struct cue_sound_machine sound = {.out = false};
        char cue[601], asked[601], heard[601];
        double at_mm[3] = {0.0, 0.0, 0.0};
        for (int c = 0; c < 3; c++) {
            struct cue_settings settings = cue_usual(c == 0);
            settings.band_above_mm = n % 4 == 3 ? (double)INFINITY : 5.0 + c;
            settings.band_below_mm = n % 5 == 4 ? (double)INFINITY : 6.0 + c;
            cue_start(&machine[c], &settings, 0.0, 10.0);
        }
        shown[2] = n % 2 ? &machine[2] : NULL;
        for (int i = 0; i < 600; i++) {
            for (int c = 0; c < 3; c++) {
                at_mm[c] = any(20) == 0 ? 3.0 * (any(9) - 4) : at_mm[c];
                cue_step(&machine[c], i / 10.0, at_mm[c], !(n % 3 == 2 && i % 90 > 75));
            }
            if (i == 300) {
                struct cue_settings settings = machine[0].settings;
                settings.band_above_mm = 9.0;
                cue_retarget(&machine[0], &settings, 1.0);
            }
            cue_ask_step(&ask, shown, 3);
            enum cue_sound now = cue_sound_step(&sound, i / 10.0, &ask, i % 200 > 4);
            cue[i] = (char)('0' + (int)machine[0].state + 4 * (machine[0].seen == CUE_HIGH));
            asked[i] = (char)('a' + ask.channel * 4 + (int)ask.cue);
            heard[i] = now == CUE_SOUND_NONE ? '.' : (char)('0' + (int)now);
            heard[i] = heard[i] == '.' && cue_sound_is_spent(&sound, i / 10.0) ? '_' : heard[i];
        }
        cue[600] = asked[600] = heard[600] = '\0';
        outcome_of("cue%d", n);
        outcome_text("state", cue);
        outcome_text("asked", asked);
        outcome_text("heard", heard);
    }
    outcome_end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outcome_sensors");
    TCase *tests = tcase_create("outcome_sensors");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, sensors);
    tcase_add_test(tests, still_sensors);
    tcase_add_test(tests, cues);
    return test_main(suite);
}
