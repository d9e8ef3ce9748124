/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Is the second invented rider what its header says? Against the law it is made to follow and
 * against closed forms. */
#include "support/sway_rider.h"

#include "measure/spectrum.h"
#include "measure/statistics.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <math.h>

static struct sway_hold hold;
static const struct sway_rider nothing_moves = {.breathing_hz = 0.3, .bob_hz = 2.5};

/* Slope of the density between two octaves, on double logarithmic paper. */
static double slope_between(const struct spectrum *spectrum, double first_hz, double second_hz)
{
    double first = spectrum_power(spectrum, first_hz, 2.0 * first_hz) / first_hz;
    double second = spectrum_power(spectrum, second_hz, 2.0 * second_hz) / second_hz;
    return log(second / first) / log(second_hz / first_hz);
}

START_TEST(wander_has_the_spectrum_of_sway)
{
    struct sway_rider rider = nothing_moves;
    struct sway_plan plan = {.seconds = 600.0, .rate_hz = 10.0};
    struct random_source random;
    struct spectrum *spectrum = spectrum_create(1200, 10.0);
    double squares[SWAY_CHANNELS] = {0}, products = 0.0;
    int n = 300;
    rider.wander_mm[SWAY_HEAD] = 3.0;
    rider.wander_mm[SWAY_CHEST] = 2.0;
    rider.wander_together = 0.5;
    random_seed(&random, test_seed(501));
    for (int i = 0; i < n; i++) {
        sway_hold_make(&random, &rider, &plan, &hold);
        spectrum_add(spectrum, hold.height_mm[SWAY_HEAD], hold.count);
        for (size_t k = 0; k < hold.count; k++) {
            double head = hold.height_mm[SWAY_HEAD][k], chest = hold.height_mm[SWAY_CHEST][k];
            squares[SWAY_HEAD] += head * head;
            squares[SWAY_CHEST] += chest * chest;
            products += head * chest;
        }
    }
    double readings = 6000.0 * n;
    ck_assert_double_eq_tol(sqrt(squares[SWAY_HEAD] / readings), 3.0, 0.1);
    ck_assert_double_eq_tol(sqrt(squares[SWAY_CHEST] / readings), 2.0, 0.07);
    ck_assert_double_eq_tol(products / sqrt(squares[SWAY_HEAD] * squares[SWAY_CHEST]), 0.5, 0.04);
    ck_assert_double_eq_tol(slope_between(spectrum, 1.0 / 32.0, 0.25), -1.2, 0.12);
    spectrum_destroy(spectrum);
    plan = (struct sway_plan){.seconds = 300.0, .rate_hz = 50.0};
    spectrum = spectrum_create(1000, 50.0);
    for (int i = 0; i < 40; i++) {
        sway_hold_make(&random, &rider, &plan, &hold);
        spectrum_add(spectrum, hold.height_mm[SWAY_HEAD], hold.count);
    }
    ck_assert_double_eq_tol(slope_between(spectrum, 2.0, 4.0), -2.0, 0.2);
    spectrum_destroy(spectrum);
}
END_TEST

START_TEST(what_is_planned_happens)
{
    struct sway_plan plan = {.seconds = 60.0,
                             .rate_hz = 25.0,
                             .level_mm = {900.0, 1100.0},
                             .settling_mm = {20.0, 0.0},
                             .settling_s = 20.0,
                             .creep_mm_per_min = {0.0, 15.0},
                             .step_mm = {8.0, 2.0},
                             .step_at_s = 34.0};
    struct random_source random;
    random_seed(&random, 1);
    sway_hold_make(&random, &nothing_moves, &plan, &hold);
    ck_assert_uint_eq(hold.count, 1500);
    ck_assert_double_eq_tol(hold.height_mm[SWAY_HEAD][0], 920.0, 1e-9);
    /* 20 s: 20/e mm are left; 40 s: 20/e^2 and the step */
    ck_assert_double_eq_tol(hold.height_mm[SWAY_HEAD][500], 900.0 + 7.357588823428847, 1e-9);
    ck_assert_double_eq_tol(hold.height_mm[SWAY_HEAD][1000], 908.0 + 2.706705664732254, 1e-9);
    ck_assert_double_eq_tol(hold.height_mm[SWAY_CHEST][0], 1092.5, 1e-9);
    ck_assert_double_eq_tol(hold.height_mm[SWAY_CHEST][849], 1100.0 + 15.0 * 3.96 / 60.0, 1e-9);
    ck_assert_double_eq_tol(hold.height_mm[SWAY_CHEST][850], 1103.0, 1e-9);
    plan.settling_ramp_s = 20.0;
    sway_hold_make(&random, &nothing_moves, &plan, &hold);
    ck_assert_double_eq_tol(hold.height_mm[SWAY_HEAD][250], 910.0, 1e-9);
    ck_assert_double_eq_tol(hold.height_mm[SWAY_HEAD][500], 900.0, 1e-9);
    ck_assert_double_eq_tol(hold.height_mm[SWAY_HEAD][700], 900.0, 1e-9);
}
END_TEST

START_TEST(glances_are_short_and_high)
{
    struct sway_plan plan = {.seconds = 600.0, .rate_hz = 25.0, .glances_per_min = 2.0};
    struct random_source random;
    int glances = 0, seen = 0, up = 0;
    double highest = 0.0;
    random_seed(&random, test_seed(502));
    for (int i = 0; i < 40; i++) {
        sway_hold_make(&random, &nothing_moves, &plan, &hold);
        glances += hold.glances;
        up = 0;
        for (size_t k = 0; k < hold.count; k++) {
            double head = hold.height_mm[SWAY_HEAD][k];
            ck_assert_double_eq_tol(hold.height_mm[SWAY_CHEST][k], 0.1 * head, 1e-9);
            highest = fmax(highest, head);
            if (head > 0.0) {
                up++;
            } else if (up > 0) {
                ck_assert_int_ge(up, 49);
                ck_assert_int_le(up, 101);
                ck_assert_double_ge(highest, 14.0);
                ck_assert_double_le(highest, 50.0);
                seen++;
                up = 0;
                highest = 0.0;
            }
        }
    }
    ck_assert_int_ge(seen, glances - 40);
    /* 2 a minute, begun only where none goes on: 800 / (1 + 2 x 4 s / 60 s) */
    ck_assert_int_ge(glances, 620);
    ck_assert_int_le(glances, 790);
}
END_TEST

START_TEST(some_re_sits_are_far_off)
{
    struct sway_rider rider = {.resit_mm = 4.0};
    struct random_source random;
    double resit[SWAY_CHANNELS], squares = 0.0, products = 0.0;
    int n = 200000, far = 0;
    random_seed(&random, test_seed(503));
    for (int i = 0; i < n; i++) {
        sway_rider_sit(&random, &rider, resit);
        far += fabs(resit[SWAY_HEAD]) > 12.0;
        squares += resit[SWAY_HEAD] * resit[SWAY_HEAD];
        products += resit[SWAY_HEAD] * resit[SWAY_CHEST];
    }
    ck_assert_double_eq_tol(sqrt(squares / n), 4.0, 0.4);
    ck_assert_double_eq_tol(products / squares, 0.5, 0.2);
    ck_assert_int_ge(far, n / 100); /* of normal ones 2.7 in 1,000 */
    ck_assert_int_le(far, n / 50);
}
END_TEST

START_TEST(riders_and_their_sessions_differ)
{
    struct sway_rider rider, next;
    struct random_source random;
    double logs = 0.0, wander = 0.0;
    int n = 4000;
    random_seed(&random, test_seed(504));
    for (int i = 0; i < n; i++) {
        sway_rider_draw(&random, &rider);
        sway_rider_next_session(&random, &rider, &next);
        ck_assert_double_eq(rider.breathing_hz, next.breathing_hz);
        ck_assert_double_le(rider.wander_mm[SWAY_CHEST], rider.wander_mm[SWAY_HEAD]);
        double ratio = log(next.resit_mm / rider.resit_mm);
        logs += ratio * ratio;
        wander += log(rider.wander_mm[SWAY_HEAD]);
    }
    ck_assert_double_eq_tol(sqrt(logs / n), 0.495, 0.03); /* 0.35 sqrt 2 */
    ck_assert_double_eq_tol(exp(wander / n), 2.5, 0.1);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sway_rider");
    TCase *tests = tcase_create("sway_rider");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, wander_has_the_spectrum_of_sway);
    tcase_add_test(tests, what_is_planned_happens);
    tcase_add_test(tests, glances_are_short_and_high);
    tcase_add_test(tests, some_re_sits_are_far_off);
    tcase_add_test(tests, riders_and_their_sessions_differ);
    return test_main(suite);
}
