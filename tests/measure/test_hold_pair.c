/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Two channels together: a hold's ellipse against closed forms, and ellipses put together. */
#include "reference.h"

#include "base/random.h"
#include "measure/hold_pair.h"
#include "support/test_seed.h"

#include <math.h>
#include <string.h>

#define RATE_HZ 50.0
#define COUNT 3000 /* 60 s */

static const double two_pi = 6.28318530717958647692;

struct pair {
    double time_s[COUNT], x_mm[COUNT], y_mm[COUNT];
    uint8_t x_valid[COUNT], y_valid[COUNT];
    struct hold_input x, y;
};

/* x = 400 + 6 sin(wt), y = 900 + 4 sin(wt + phase), 12 full turns in 60 s, and white noise. */
static struct pair *make_pair(double phase, double noise_mm)
{
    static struct pair pair;
    struct random_source random;
    random_seed(&random, test_seed(11));
    memset(&pair, 0, sizeof pair);
    for (int i = 0; i < COUNT; i++) {
        double turn = two_pi * 0.2 * (double)i / RATE_HZ;
        pair.time_s[i] = (double)i / RATE_HZ;
        pair.x_mm[i] = 400.0 + 6.0 * sin(turn) + noise_mm * random_normal(&random);
        pair.y_mm[i] = 900.0 + 4.0 * sin(turn + phase) + noise_mm * random_normal(&random);
        pair.x_valid[i] = pair.y_valid[i] = 1;
    }
    pair.x = (struct hold_input){.time_s = pair.time_s,
                                 .height_mm = pair.x_mm,
                                 .valid = pair.x_valid,
                                 .count = COUNT,
                                 .duration_s = 60.0,
                                 .rate_hz = RATE_HZ};
    pair.y = pair.x;
    pair.y.height_mm = pair.y_mm;
    pair.y.valid = pair.y_valid;
    return &pair;
}

/* Variances of sines over whole turns are 6^2/2 and 4^2/2, the covariance 6*4/2 cos(phase); the
 * filter passes 0.2 Hz with (0.2/6.2)^4 less and takes white noise away but for about
 * 1.1 * 5 / 25 of its power. */
START_TEST(known_motion)
{
    struct ellipse e;
    double phase = two_pi / 6.0;
    ck_assert_int_eq(hold_pair(&make_pair(phase, 0.0)->x, &make_pair(phase, 0.0)->y, &e),
                     MEASURE_OK);
    ck_assert_uint_eq(e.count, COUNT);
    ck_assert_double_eq_tol(e.mean_x, 400.0, 0.02);
    ck_assert_double_eq_tol(e.mean_y, 900.0, 0.02);
    ck_assert_double_eq_tol(e.var_x, 18.0, 0.02);
    ck_assert_double_eq_tol(e.var_y, 8.0, 0.02);
    ck_assert_double_eq_tol(e.cov_xy, 6.0, 0.02);
    double area = two_pi / 2.0 * -2.0 * log(0.05) * sqrt(18.0 * 8.0 - 36.0);
    ck_assert_double_eq_tol(e.area, area, 0.003 * area);
    struct pair *pair = make_pair(phase, 3.0);
    ck_assert_int_eq(hold_pair(&pair->x, &pair->y, &e), MEASURE_OK);
    ck_assert_double_eq_tol(e.var_x, 18.0 + 9.0 * 0.22, 1.0); /* 27 without the filter */
    ck_assert_double_eq_tol(e.cov_xy, 6.0, 1.0);
}
END_TEST

/* What is missing in one channel, cut, or an outlier in one, is left out of both; what stands there
 * changes nothing. */
START_TEST(only_what_both_have)
{
    struct ellipse a, b;
    for (int run = 0; run < 2; run++) {
        struct pair *pair = make_pair(1.0, 1.0);
        struct hold_cut cut = {40.0, 45.0};
        pair->x.cuts = pair->y.cuts = &cut;
        pair->x.cut_count = pair->y.cut_count = 1;
        for (int i = 1500; i < 1750; i++) {
            pair->x_valid[i] = 0;
            pair->y_mm[i] += run == 0 || i < 1510 || i >= 1740 ? 0.0 : 40.0; /* a lean */
        }
        for (int i = 2010; i < 2240; i++) {
            pair->x_mm[i] += run == 0 ? 0.0 : 25.0;
        }
        pair->y_mm[2700] += run == 0 ? 180.0 : 250.0;
        ck_assert_int_eq(hold_pair(&pair->x, &pair->y, run == 0 ? &a : &b), MEASURE_OK);
    }
    ck_assert_uint_eq(a.count, b.count);
    ck_assert_uint_le(a.count, COUNT - 500);
    ck_assert_uint_ge(a.count, COUNT - 500 - 150); /* some clean readings look like outliers */
    ck_assert_double_eq_tol(a.mean_x, b.mean_x, 1e-9);
    ck_assert_double_eq_tol(a.mean_y, b.mean_y, 1e-9);
    ck_assert_double_eq_tol(a.area, b.area, 1e-6);
}
END_TEST

/* The head comes down 60 mm in the first seconds: what is cut there of its height is not taken of
 * the other channel either. */
START_TEST(settling_of_one_is_cut_of_both)
{
    struct pair *pair = make_pair(1.0, 1.0);
    struct ellipse e;
    for (int i = 0; i < COUNT; i++) {
        pair->y_mm[i] += 60.0 * exp(-pair->time_s[i] / 4.0);
        pair->x_mm[i] += pair->time_s[i] < 4.0 ? 30.0 : 0.0; /* too short a time to be cut itself */
    }
    for (int order = 0; order < 2; order++) {
        ck_assert_int_eq(order == 0 ? hold_pair(&pair->x, &pair->y, &e)
                                    : hold_pair(&pair->y, &pair->x, &e),
                         MEASURE_OK);
        ck_assert_uint_le(e.count, COUNT - 5 * (size_t)RATE_HZ);
        ck_assert_double_eq_tol(order == 0 ? e.mean_x : e.mean_y, 400.0, 1.0);
        ck_assert_double_eq_tol(order == 0 ? e.mean_y : e.mean_x, 900.0, 2.0);
        ck_assert_double_le(order == 0 ? e.var_x : e.var_y, 25.0); /* 18 of the sine */
    }
}
END_TEST

START_TEST(too_little_and_too_still)
{
    struct ellipse e;
    struct pair *pair = make_pair(1.0, 0.0);
    for (int i = 450; i < COUNT; i++) { /* 9 s */
        pair->y_valid[i] = 0;
    }
    ck_assert_int_eq(hold_pair(&pair->x, &pair->y, &e), MEASURE_TOO_FEW);
    for (int i = 0; i < COUNT; i++) {
        pair->y_valid[i] = 0;
    }
    ck_assert_int_eq(hold_pair(&pair->x, &pair->y, &e), MEASURE_TOO_FEW);
    pair = make_pair(1.0, 0.0);
    for (int i = 0; i < COUNT; i++) {
        pair->y_mm[i] = 900.0;
    }
    ck_assert_int_eq(hold_pair(&pair->x, &pair->y, &e), MEASURE_CONSTANT);
    pair->y_mm[7] = NAN;
    ck_assert_int_eq(hold_pair(&pair->x, &pair->y, &e), MEASURE_NOT_FINITE);
}
END_TEST

/* Clouds put together from their moments are the cloud of all points. */
START_TEST(pooled_is_the_whole)
{
    struct pair *pair = make_pair(0.5, 2.0);
    struct ellipse whole, pooled, parts[3];
    const size_t ends[] = {0, 400, 1000, COUNT};
    for (int p = 0; p < 3; p++) {
        ck_assert_int_eq(ellipse_95(pair->x_mm + ends[p], pair->y_mm + ends[p],
                                    ends[p + 1] - ends[p], &parts[p]),
                         MEASURE_OK);
    }
    ck_assert_int_eq(ellipse_95(pair->x_mm, pair->y_mm, COUNT, &whole), MEASURE_OK);
    ck_assert_int_eq(ellipse_pool(parts, 3, &pooled), MEASURE_OK);
    ck_assert_uint_eq(pooled.count, COUNT);
    ck_assert_double_eq_tol(pooled.mean_x, whole.mean_x, 1e-9);
    ck_assert_double_eq_tol(pooled.var_x, whole.var_x, 1e-9);
    ck_assert_double_eq_tol(pooled.cov_xy, whole.cov_xy, 1e-9);
    ck_assert_double_eq_tol(pooled.area, whole.area, 1e-7);
    ck_assert_double_eq_tol(pooled.angle_deg, whole.angle_deg, 1e-7);
    ck_assert_int_eq(ellipse_pool(parts, 0, &pooled), MEASURE_TOO_FEW);
    ck_assert_int_eq(ellipse_pool(parts, 1, &pooled), MEASURE_OK);
    ck_assert_double_eq_tol(pooled.area, parts[0].area, 1e-9);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold pair");
    TCase *tests = tcase_create("pair");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, known_motion);
    tcase_add_test(tests, only_what_both_have);
    tcase_add_test(tests, settling_of_one_is_cut_of_both);
    tcase_add_test(tests, too_little_and_too_still);
    tcase_add_test(tests, pooled_is_the_whole);
    return test_main(suite);
}
