/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The pieces of a course and the force in them that a run's drag leaves unexplained. */
#include "measure/drag_leg.h"
#include "measure/residual_force.h"
#include "support/test_main.h"

#include <math.h>

#define RIDDEN 121 /* samples, one a second */

START_TEST(pieces_of_a_course)
{
    /* 120 s from 8 to 11 m/s and back: what the pieces hold together is what the leg holds */
    double t[RIDDEN], v[RIDDEN], p[RIDDEN];
    for (int i = 0; i < RIDDEN; i++) {
        t[i] = i;
        v[i] = 9.5 - 1.5 * cos(2 * acos(-1.0) * i / 120.0);
        p[i] = 200 + i % 7;
    }
    struct drag_samples samples = {t, v, p, RIDDEN};
    struct drag_leg leg, pieces[100], sum = {0};
    ck_assert_int_eq(drag_leg_make(&samples, 0, RIDDEN - 1, NAN, NAN, 0, &leg), MEASURE_OK);
    size_t count = drag_pieces(&samples, 0, RIDDEN - 1, 25.0, pieces, 100);
    ck_assert_double_eq_tol(leg.length_m, 1140.0, 1e-6);
    ck_assert_uint_eq(count, 46); /* 45 whole ones and 15 m */
    for (size_t i = 0; i < count; i++) {
        if (i < 45) {
            ck_assert_double_eq_tol(pieces[i].length_m, 25.0, 1e-9);
        }
        if (i > 0) {
            ck_assert_double_eq(pieces[i].in_m_per_s, pieces[i - 1].out_m_per_s);
        }
        sum.length_m += pieces[i].length_m;
        sum.duration_s += pieces[i].duration_s;
        sum.work_j += pieces[i].work_j;
        sum.speed_squared += pieces[i].speed_squared * pieces[i].length_m;
    }
    ck_assert_double_eq_tol(sum.length_m, leg.length_m, 1e-9);
    ck_assert_double_eq_tol(sum.duration_s, leg.duration_s, 1e-9);
    ck_assert_double_eq_tol(sum.work_j, leg.work_j, 1e-6);
    ck_assert_double_eq_tol(sum.speed_squared, leg.speed_squared * leg.length_m, 1e-6);
    /* 25 m are reached 25/v into a second: the speed there lies between its neighbours, by hand: in
     * 3 s 24.019507 m, the fourth is ridden at a mean of 8.025623 m/s, so .122170 s of it */
    ck_assert_double_eq_tol(pieces[0].out_m_per_s, v[3] + .122170 * (v[4] - v[3]), 1e-6);
    ck_assert_double_eq_tol(pieces[0].duration_s, 3.122170, 1e-5);
    ck_assert_uint_eq(drag_pieces(&samples, 0, RIDDEN - 1, 25.0, pieces, 10), 10);
    ck_assert_uint_eq(drag_pieces(&samples, 5, 5, 25.0, pieces, 10), 0);
    ck_assert_uint_eq(drag_pieces(&samples, 0, RIDDEN, 25.0, pieces, 100), 0); /* one too many */
    /* samples behind the last are no part of it: 10 of 8 m/s and more */
    ck_assert_uint_eq(drag_pieces(&samples, 0, 10, 25.0, pieces, 100), 3);
    /* Standing, and two samples of one moment, are no way: 3 s of 8 m/s and more are 24 m. */
    struct drag_samples still = samples;
    double moments[] = {0, 1, 1, 2, 3, 4, 5}, speeds[] = {10, 10, 10, 0, 0, 10, 10};
    still.time_s = moments;
    still.speed_m_per_s = speeds;
    still.count = 7;
    ck_assert_uint_eq(drag_pieces(&still, 0, 6, 5.0, pieces, 100), 6); /* 10 + 5 + 5 + 10 m */
    double along[] = {0, 1, 2},
           even[] = {10, 10, 10}; /* 20 m: of 8 and half of 8, of 8.1 and less */
    struct drag_samples short_way = {along, even, p, 3};
    ck_assert_uint_eq(drag_pieces(&short_way, 0, 2, 8.0, pieces, 100), 3);
    ck_assert_uint_eq(drag_pieces(&short_way, 0, 2, 8.1, pieces, 100), 2);
    v[20] = t[20] = NAN;
    ck_assert_uint_eq(drag_pieces(&samples, 0, 19, 25.0, pieces, 100), 6);
    ck_assert_uint_eq(drag_pieces(&samples, 0, RIDDEN - 1, 0.0, pieces, 10), 0);
}
END_TEST

START_TEST(residual_shows_where_the_brake_was)
{
    /* steady 10 m/s on .25 m2 but for 4 s of 80 W more: a brake of about 8 N there, nowhere else */
    double t[RIDDEN], v[RIDDEN], p[RIDDEN], residual[100];
    struct drag_rider rider = drag_usual_rider(85.0);
    struct drag_state state = {.speed_m_per_s = 10, .drag_m2 = .25, .density_kg_per_m3 = 1.2};
    double steady = drag_power_of(&state, &rider).rider_w;
    for (int i = 0; i < RIDDEN; i++) {
        t[i] = i;
        v[i] = 10;
        p[i] = steady + (i >= 60 && i < 64 ? 80.0 : 0.0) + (i % 2 ? 2.0 : -2.0);
    }
    struct drag_samples samples = {t, v, p, RIDDEN};
    struct drag_leg pieces[100];
    size_t count = drag_pieces(&samples, 0, RIDDEN - 1, 25.0, pieces, 100), worst = 0;
    ck_assert_uint_eq(count, 48);
    for (size_t i = 0; i < count; i++) {
        residual[i] = drag_piece_residual_n(&pieces[i], &rider, .25, 0.0, 1.2);
        worst = fabs(residual[i]) > fabs(residual[worst]) ? i : worst;
    }
    ck_assert_uint_eq(worst, 24); /* 600 to 625 m */
    ck_assert_double_eq_tol(residual[24], .976 * 80 / 10, .8);
    ck_assert_double_le(fabs(residual[20]), .1);
    /* wind from ahead is no residual where it is known */
    ck_assert_double_eq_tol(drag_piece_residual_n(&pieces[0], &rider, .25, 1.0, 1.2) -
                                drag_piece_residual_n(&pieces[0], &rider, .25, 0.0, 1.2),
                            -.5 * 1.2 * .25 * (121 - 100), 1e-9);
    const double *laps[] = {residual};
    double sd = -7.0;
    ck_assert_int_eq(drag_residual_sd(laps, &count, 1, &sd), MEASURE_OK);
    ck_assert_double_le(sd, .2); /* the brake does not widen it */
    size_t few = 4;
    ck_assert_int_eq(drag_residual_sd(laps, &few, 1, &sd), MEASURE_TOO_FEW);
}
END_TEST

START_TEST(residual_sd_of_known_noise)
{
    /* equal steps of 1 N up and down: SD 1.4826 / sqrt 2 by its definition */
    const double a[] = {0, 1, 0, 1, 0, 1}, b[] = {50, 51, 50, 51};
    const double *laps[] = {a, b};
    const size_t counts[] = {6, 4};
    double sd = -7.0;
    ck_assert_int_eq(drag_residual_sd(laps, counts, 2, &sd), MEASURE_OK);
    ck_assert_double_eq_tol(sd, 1.4826 / sqrt(2.0), 1e-12);
    /* four steps are enough: of 1, 2, 3 and 4 N, the middle 2.5 */
    const double growing[] = {0, 1, 3, 6, 10};
    const double *one[] = {growing};
    const size_t five = 5;
    ck_assert_int_eq(drag_residual_sd(one, &five, 1, &sd), MEASURE_OK);
    ck_assert_double_eq_tol(sd, 1.4826 * 2.5 / sqrt(2.0), 1e-12);
}
END_TEST

/* Two neighbours are looked at together, against the mean of the lap: 1 N on it, SD .5. */
START_TEST(where_a_lap_leaves_the_others)
{
    double residual[12];
    size_t at = 99;
    double by_n = 0.0;
    for (int i = 0; i < 12; i++) {
        residual[i] = 1.0;
    }
    ck_assert(!drag_residual_leaves(residual, 12, .5, &at, &by_n));
    /* of the two, 12/12 of a newton more on the mean of all: their own mean is 10/12 of it off */
    residual[6] = residual[7] = 1.0 + 1.79;
    ck_assert(!drag_residual_leaves(residual, 12, .5, &at, &by_n)); /* 1.49 under 3 * .5 */
    residual[6] = residual[7] = 1.0 + 1.82;
    ck_assert(drag_residual_leaves(residual, 12, .5, &at, &by_n));
    ck_assert_uint_eq(at, 6);
    ck_assert_double_eq_tol(by_n, 1.82 * 10.0 / 12.0, 1e-12);
    residual[6] = residual[7] = 1.0;
    residual[10] = residual[11] = 1.0 - 2.4; /* the last two, and less force */
    ck_assert(drag_residual_leaves(residual, 12, .5, &at, &by_n));
    ck_assert_uint_eq(at, 10);
    ck_assert_double_eq_tol(by_n, -2.0, 1e-12);
    /* one piece alone is a reading's scatter */
    residual[10] = 1.0;
    residual[11] = 1.0 - 3.2;
    ck_assert(!drag_residual_leaves(residual, 12, .5, &at, &by_n));
    ck_assert(!drag_residual_leaves(residual, 12, NAN, &at, &by_n));
    ck_assert(!drag_residual_leaves(residual, 12, 0.0, &at, &by_n));
    const double few[] = {0.0, 0.0, 50.0, 50.0};
    ck_assert(drag_residual_leaves(few, 4, .5, &at, &by_n));
    ck_assert_uint_eq(at, 0); /* of two that are as far off the first */
    ck_assert_double_eq(by_n, -25.0);
    ck_assert(!drag_residual_leaves(few, 3, .5, &at, &by_n));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("residual force");
    TCase *tests = tcase_create("residual force");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, pieces_of_a_course);
    tcase_add_test(tests, residual_shows_where_the_brake_was);
    tcase_add_test(tests, residual_sd_of_known_noise);
    tcase_add_test(tests, where_a_lap_leaves_the_others);
    return test_main(suite);
}
