/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Beginnings that settle, each known by its shape among all that are looked for, and steps, each
 * where it was. */
#include "../../src/measure/hold_fit.h"
#include "../../src/measure/hold_step.h"
#include "base/random.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <math.h>

/* What is left of a beginning after so many seconds, of 1. */
static double left(const struct settling_shape *shape, double at_s)
{
    switch (shape->way) {
    case SETTLES_EXPONENTIALLY:
        return exp(-at_s / shape->seconds);
    case SETTLES_EVENLY:
        return at_s < shape->seconds ? 1.0 - at_s / shape->seconds : 0.0;
    case SETTLES_AT_ONCE:
        break;
    }
    return at_s < shape->seconds ? 1.0 : 0.0;
}

/* Time constants that cover what a third of a hold of a minute or two can settle in, slides over a
 * quarter to half a minute, and a seat changed within the first 8 s (docs/measures.md). */
START_TEST(each_shape_is_known)
{
    static const struct settling_shape shapes[] = {
        {3, SETTLES_EXPONENTIALLY},  {5, SETTLES_EXPONENTIALLY},  {8, SETTLES_EXPONENTIALLY},
        {12, SETTLES_EXPONENTIALLY}, {20, SETTLES_EXPONENTIALLY}, {15, SETTLES_EVENLY},
        {20, SETTLES_EVENLY},        {25, SETTLES_EVENLY},        {30, SETTLES_EVENLY},
        {2.5, SETTLES_AT_ONCE},      {5, SETTLES_AT_ONCE},        {7.5, SETTLES_AT_ONCE},
    };
    static struct hold_fit fit;
    struct random_source random;
    random_seed(&random, test_seed(71));
    for (size_t s = 0; s < sizeof shapes / sizeof shapes[0]; s++) {
        struct noise_regression regression;
        struct settling_shape found = {0.0, SETTLES_AT_ONCE};
        fit = (struct hold_fit){.blocks = {.count = 240, .block_s = 0.5}};
        for (size_t i = 0; i < fit.blocks.count; i++) {
            double at_s = ((double)i + 0.5) * fit.blocks.block_s;
            fit.column[FIT_LEVEL][i] = 1.0;
            fit.blocks.there[i] = 1;
            fit.blocks.value_mm[i] = 20.0 * left(&shapes[s], at_s) + 0.2 * random_normal(&random);
        }
        ck_assert(hold_fit_base(&fit));
        hold_fit_settling(&fit, 0.0, &regression, &found);
        ck_assert_int_eq(found.way, shapes[s].way);
        ck_assert_double_eq(found.seconds, shapes[s].seconds);
        ck_assert_double_eq_tol(regression.coefficient[FIT_ADDED], 20.0, 1.0);
    }
}
END_TEST

/* 20 mm at once, a quarter, a half, three quarters or the whole of a block before that block's end:
 * where it was, to the quarter. */
START_TEST(a_step_is_placed_within_its_block)
{
    static struct hold_fit fit;
    struct random_source random;
    random_seed(&random, test_seed(72));
    for (int quarters = 1; quarters <= 4; quarters++) {
        for (size_t block = 60; block < 180; block += 40) {
            struct hold_model model = {.stepped = false};
            fit = (struct hold_fit){.blocks = {.count = 240, .block_s = 0.5}};
            for (size_t i = 0; i < fit.blocks.count; i++) {
                double share = i < block ? 0.0 : i == block ? quarters / 4.0 : 1.0;
                fit.column[FIT_LEVEL][i] = 1.0;
                fit.blocks.there[i] = 1;
                fit.blocks.value_mm[i] = 20.0 * share + 0.2 * random_normal(&random);
            }
            ck_assert(hold_fit_base(&fit));
            ck_assert(hold_step_look(&fit, 0.0, &model));
            ck_assert(model.stepped);
            ck_assert_double_eq_tol(model.step_mm, 20.0, 1.0);
            ck_assert_double_eq_tol(
                model.step_at_s, ((double)block + 1.0 - quarters / 4.0) * fit.blocks.block_s, 1e-9);
        }
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold_fit");
    TCase *tests = tcase_create("hold_fit");
    tcase_add_test(tests, each_shape_is_known);
    tcase_add_test(tests, a_step_is_placed_within_its_block);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
