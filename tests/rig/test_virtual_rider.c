/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/virtual_rig.h"
#include "support/test_main.h"
#include "support/virtual_line.h"

#include <math.h>
#include <stdlib.h>

#define TWO_PI 6.28318530717958647692
#define BIKE "bike stack=545 reach=410 head_angle=73 stem_length=100 stem_angle=-6 pad_rise=60 "

/* Power of a movement at one frequency, mean of windows of length samples (Hann). */
static double power_at(const double *values, int count, double rate_hz, double hz, int length)
{
    double sum = 0;
    int windows = 0;
    for (int start = 0; start + length <= count; start += length / 2, windows++) {
        double re = 0;
        double im = 0;
        double mean = 0;
        for (int i = 0; i < length; i++) {
            mean += values[start + i] / length;
        }
        for (int i = 0; i < length; i++) {
            double window = 0.5 - 0.5 * cos(TWO_PI * i / length);
            double value = (values[start + i] - mean) * window;
            re += value * cos(TWO_PI * hz * i / rate_hz);
            im += value * sin(TWO_PI * hz * i / rate_hz);
        }
        sum += (re * re + im * im) / (length * rate_hz * 0.375) * 2;
    }
    return sum / windows;
}

static double *body_of(struct virtual_rig *rig, int channel, int count)
{
    double *values = malloc((size_t)count * sizeof *values);
    ck_assert_ptr_nonnull(values);
    for (int i = 0; i < count; i++) {
        next_line(rig, 2);
        values[i] = truth_of(rig).body_height_mm[channel];
    }
    return values;
}

START_TEST(breathing_is_found_at_the_chest)
{
    struct virtual_rig *rig =
        rig_of("winter", "rate=20&wander=0&bob=0&creep=0&settle=0&breathing=4&breathing_hz=0.4");
    enum { COUNT = 20 * 1200 };
    double *chest = body_of(rig, 1, COUNT);
    double best_hz = 0;
    double best = 0;
    for (double hz = 0.1; hz < 2; hz += 0.02) {
        double power = power_at(chest, COUNT, 20, hz, 20 * 50);
        if (power > best) {
            best = power;
            best_hz = hz;
        }
    }
    ck_assert_double_eq_tol(best_hz, 0.4, 0.05);
    /* Lows in the chest's height, as its lowest point of each breath: how many, how evenly, how
     * deep. */
    int breaths = 0;
    double lengths = 0;
    double squares = 0;
    double last = -1;
    double swing = 0;
    for (int i = 20, span = 20; i < COUNT - span; i++) {
        bool lowest = true;
        double high = chest[i];
        for (int j = -span; j <= span; j++) {
            lowest = lowest && (chest[i + j] > chest[i] || j == 0);
            high = fmax(high, chest[i + j]);
        }
        if (lowest) {
            if (last >= 0) {
                double length = (i - last) / 20;
                lengths += length;
                squares += length * length;
                breaths++;
            }
            last = i;
            swing += high - chest[i];
        }
    }
    double mean_s = lengths / breaths;
    double cv = sqrt(squares / breaths - mean_s * mean_s) / mean_s;
    ck_assert_double_eq_tol(mean_s, 2.5, 0.15);
    ck_assert_double_ge(cv, 0.08);
    ck_assert_double_le(cv, 0.25);
    ck_assert_double_eq_tol(swing / breaths, 4, 0.5);
    /* Breathing in is 0.40 of the cycle, and it brings the chest down. */
    int falls = 0;
    for (int i = 1; i < COUNT; i++) {
        falls += chest[i] < chest[i - 1];
    }
    ck_assert_double_eq_tol((double)falls / (double)COUNT, 0.40, 0.02);
    double second = power_at(chest, COUNT, 20, 2 * best_hz, 20 * 50);
    ck_assert_double_gt(second, 5 * power_at(chest, COUNT, 20, 6 * best_hz, 20 * 50));
    free(chest);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(bob_is_at_the_cadence_and_twice_it)
{
    struct virtual_rig *rig = rig_of(
        "steady", "rate=50&wander=0&breathing=0&creep=0&settle=0&bob=2&cadence_hz=1.5&channels=2");
    enum { COUNT = 50 * 300 };
    double *head = body_of(rig, 0, COUNT);
    double once = power_at(head, COUNT, 50, 1.5, 500);
    double twice = power_at(head, COUNT, 50, 3.0, 500);
    ck_assert_double_gt(twice, 2 * once);
    ck_assert_double_gt(once, 50 * power_at(head, COUNT, 50, 2.2, 500));
    ck_assert_double_gt(once, 50 * power_at(head, COUNT, 50, 0.7, 500));
    free(head);
    virtual_rig_destroy(rig);
}
END_TEST

/* Sway measured on force plates: RMS 2 to 5 mm, spectrum falling as f^-1.2 below 0.5 Hz and f^-4
 * above (Santos and Duarte 2016, PeerJ 4:e2648, their recordings). */
START_TEST(wander_has_the_spectrum_of_sway)
{
    struct virtual_rig *rig =
        rig_of("steady", "rate=20&breathing=0&bob=0&creep=0&settle=0&wander=3&seed=3");
    enum { COUNT = 20 * 3600 };
    double *head = body_of(rig, 0, COUNT);
    double mean = 0;
    double squares = 0;
    for (int i = 0; i < COUNT; i++) {
        mean += head[i] / (double)COUNT;
    }
    for (int i = 0; i < COUNT; i++) {
        squares += (head[i] - mean) * (head[i] - mean) / (double)COUNT;
    }
    ck_assert_double_eq_tol(sqrt(squares), 3, 0.3);
    double slow = log(power_at(head, COUNT, 20, 0.3, 800) / power_at(head, COUNT, 20, 0.08, 800)) /
                  log(0.3 / 0.08);
    double fast =
        log(power_at(head, COUNT, 20, 3.0, 800) / power_at(head, COUNT, 20, 1.0, 800)) / log(3.0);
    ck_assert_double_eq_tol(slow, -1.2, 0.5);
    ck_assert_double_eq_tol(fast, -4, 0.7);
    free(head);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(glances_bring_the_head_up_for_a_while)
{
    struct virtual_rig *rig = rig_of("steady", "rate=50&glances=3&wander=0&breathing=0&bob=0&"
                                               "creep=0&settle=0");
    enum { COUNT = 50 * 3600 };
    double *head = body_of(rig, 0, COUNT);
    double posture_mm = truth_of(rig).posture_height_mm[0];
    int glances = 0;
    int length = 0;
    double top_mm = 0;
    for (int i = 0; i < COUNT; i++) {
        double over_mm = head[i] - posture_mm;
        if (over_mm > 0.01) {
            length++;
            top_mm = fmax(top_mm, over_mm);
        } else if (length > 0) {
            ck_assert_int_ge(length, 50 / 2 - 2);
            ck_assert_int_le(length, 50 * 2 + 1);
            ck_assert_double_ge(top_mm, 24.5);
            ck_assert_double_le(top_mm, 60);
            glances++;
            length = 0;
            top_mm = 0;
        }
    }
    ck_assert_int_ge(glances, 130); /* 180 wanted, less the time spent in them; SD 13 */
    ck_assert_int_le(glances, 225);
    free(head);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(every_sit_is_a_fresh_posture)
{
    struct virtual_rig *rig = rig_of("winter", "hold=4");
    double sum = 0;
    double squares = 0;
    double off_sum = 0;
    double off_squares = 0;
    enum { COUNT = 4000 };
    for (int i = 0; i < COUNT; i++) {
        tell(rig, "sit free");
        struct virtual_truth truth = truth_of(rig);
        double error_mm = truth.posture_height_mm[0] - truth.setup_height_mm[0];
        sum += error_mm;
        squares += error_mm * error_mm;
        tell(rig, "sit guided head=884mm");
        truth = truth_of(rig);
        double off_mm = truth.posture_height_mm[0] - 884;
        off_sum += off_mm;
        off_squares += off_mm * off_mm;
        ck_assert_double_lt(fabs(truth.posture_height_mm[1] - truth.setup_height_mm[1]), 20);
    }
    ck_assert_double_eq_tol(sum / (double)COUNT, 0, 0.3);
    ck_assert_double_eq_tol(sqrt(squares / (double)COUNT), 4, 0.2);
    ck_assert_double_eq_tol(off_sum / (double)COUNT, 0, 0.12);
    ck_assert_double_lt(sqrt(off_squares / (double)COUNT), 2); /* who sees a gauge comes nearer */
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(body_moves_about_this_holds_posture)
{
    struct virtual_rig *rig = rig_of("steady", "rate=20&creep=0&seed=11");
    double worst_mm = 0;
    for (int hold = 0; hold < 20; hold++) {
        tell(rig, hold % 2 == 0 ? "sit free" : "sit guided head=880 chest=770");
        for (int i = 0; i < 20 * 10; i++) {
            next_line(rig, 2);
        }
        double sum[2] = {0, 0};
        for (int i = 0; i < 20 * 300; i++) {
            next_line(rig, 2);
            struct virtual_truth truth = truth_of(rig);
            sum[0] += truth.body_height_mm[0] / (20 * 300);
            sum[1] += truth.body_height_mm[1] / (20 * 300);
        }
        struct virtual_truth truth = truth_of(rig);
        for (int c = 0; c < 2; c++) {
            worst_mm = fmax(worst_mm, fabs(sum[c] - truth.posture_height_mm[c]));
        }
    }
    /* Wander of 1.2 mm with time constants up to 12 s: SE of a mean over 300 s is 0.25 mm. */
    ck_assert_double_lt(worst_mm, 1.0);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(every_build_is_a_little_different)
{
    struct virtual_rig *rig = rig_of("winter", "hold=0&build=1");
    tell(rig, BIKE "spacers=20");
    double first_mm = truth_of(rig).sensor_height_mm[0];
    double sensor = 0;
    double posture = 0;
    enum { COUNT = 4000 };
    for (int i = 0; i < COUNT; i++) {
        double between_mm = truth_of(rig).sensor_height_mm[0] - truth_of(rig).sensor_height_mm[1];
        tell(rig, "build");
        struct virtual_truth truth = truth_of(rig);
        /* Both sensors are on the same bar. */
        ck_assert_double_eq_tol(truth.sensor_height_mm[0] - truth.sensor_height_mm[1], between_mm,
                                1e-9);
        sensor += pow(truth.sensor_height_mm[0] - first_mm, 2);
        posture += pow(truth.posture_height_mm[0] - truth.setup_height_mm[0], 2);
    }
    ck_assert_double_eq_tol(sqrt(sensor / (double)COUNT), 0.4, 0.03);
    ck_assert_double_eq_tol(sqrt((sensor + posture) / (double)COUNT), 1, 0.05);
    virtual_rig_destroy(rig);
}
END_TEST

START_TEST(creep_settling_warm_up_and_fatigue)
{
    struct virtual_rig *rig =
        rig_of("winter", VIRTUAL_STILL "&creep=3&settle=20&warm_up=2&fatigue=1.5");
    struct virtual_truth truth = truth_of(rig);
    struct line line = next_line(rig, 2);
    ck_assert_double_eq_tol(truth_of(rig).body_height_mm[0] - truth.posture_height_mm[0], 20, 0.1);
    ck_assert_double_eq_tol(line.range_mm[0],
                            truth_of(rig).body_height_mm[0] - truth.sensor_height_mm[0] + 2, 0.06);
    for (int i = 0; i < 50 * 60; i++) {
        line = next_line(rig, 2);
    }
    /* 3 mm a minute with its own spread, fading: between 0 and 8 after one. */
    double crept_mm = truth_of(rig).body_height_mm[0] - truth.posture_height_mm[0];
    ck_assert_double_gt(crept_mm, 0.1);
    ck_assert_double_lt(crept_mm, 8);
    for (int i = 0; i < 50 * 540; i++) {
        line = next_line(rig, 2);
    }
    double warm_mm =
        line.range_mm[0] - (truth_of(rig).body_height_mm[0] - truth_of(rig).sensor_height_mm[0]);
    ck_assert_double_eq_tol(warm_mm, 0, 0.06);
    tell(rig, "sit free");
    ck_assert_double_eq_tol(truth_of(rig).posture_height_mm[0], truth.setup_height_mm[0], 1e-9);
    tell(rig, "sit free");
    ck_assert_double_eq_tol(truth_of(rig).posture_height_mm[0], truth.setup_height_mm[0] + 1.5,
                            1e-9);
    virtual_rig_destroy(rig);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("virtual_rider");
    TCase *tests = tcase_create("virtual_rider");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, breathing_is_found_at_the_chest);
    tcase_add_test(tests, bob_is_at_the_cadence_and_twice_it);
    tcase_add_test(tests, wander_has_the_spectrum_of_sway);
    tcase_add_test(tests, glances_bring_the_head_up_for_a_while);
    tcase_add_test(tests, every_sit_is_a_fresh_posture);
    tcase_add_test(tests, body_moves_about_this_holds_posture);
    tcase_add_test(tests, every_build_is_a_little_different);
    tcase_add_test(tests, creep_settling_warm_up_and_fatigue);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
