/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The noise of a hold against dense algebra, and the search for it. */
#include "reference.h"

#include "../../src/measure/hold_noise.h"
#include "base/random.h"
#include "support/test_seed.h"

#define BLOCKS 40

/* Generalised least squares with the whole covariance matrix written out: wander s^2 exp(-h/tau),
 * breathing b^2 exp(-0.015 h) cos(2 pi f h), rest w^2, h the time between blocks; three blocks
 * missing (numpy 1.24.2, own computation). The misfit is log|C| + r'C^-1 r - 2 log prior. */
START_TEST(regression_is_that_of_dense_algebra)
{
    static struct noise_blocks blocks = {.count = BLOCKS, .block_s = 0.5, .breathing_hz = 0.3};
    double level[NOISE_BLOCKS_MAX] = {0}, line[NOISE_BLOCKS_MAX] = {0};
    double step[NOISE_BLOCKS_MAX] = {0};
    const double *columns[3] = {level, line, step};
    struct noise noise = {.log = {log(2.5), log(4.0), log(0.8), log(1.5)}};
    struct noise_regression r;
    for (int i = 0; i < BLOCKS; i++) {
        blocks.value_mm[i] =
            2.0 * sin(0.9 * i) + 0.05 * i + (i * 7 % 11 - 5) * 0.3 + (i >= 22 ? 6.0 : 0.0);
        blocks.there[i] = i != 5 && i != 6 && i != 30;
        level[i] = 1.0;
        line[i] = (i + 0.5) / BLOCKS - 0.5;
        step[i] = i >= 22;
    }
    noise_regress(&blocks, &noise, columns, 1, &r);
    reference_check("hold's noise, level", r.coefficient[0], 4.03505355, 8);
    reference_check("its standard error", r.se[0], 1.36667733, 8);
    reference_check("its misfit", r.misfit, 89.64633912876396, 11);
    noise_regress(&blocks, &noise, columns, 2, &r);
    reference_check("a line beside it", r.coefficient[1], 10.46950728, 8);
    reference_check("its standard error", r.se[1], 3.5522199, 8);
    reference_check("the misfit with it", r.misfit, 80.95967958950756, 11);
    noise_regress(&blocks, &noise, columns, 3, &r);
    reference_check("a step beside both", r.coefficient[2], 5.12750504, 8);
    reference_check("its standard error", r.se[2], 1.66567497, 8);
    reference_check("the line beside it", r.coefficient[1], 4.16091925, 8);
    reference_check("the misfit with both", r.misfit, 71.48353509714204, 11);
    columns[2] = line; /* the same twice */
    noise_regress(&blocks, &noise, columns, 3, &r);
    ck_assert_double_gt(r.misfit, 1e9);
    ck_assert_double_eq(r.coefficient[1], 0.0);
}
END_TEST

/* What the search finds is no worse than its neighbours, and near what the blocks were made of. */
START_TEST(the_noise_that_fits_best_is_found)
{
    static struct noise_blocks blocks = {.count = 240, .block_s = 0.5};
    static double level[NOISE_BLOCKS_MAX];
    const double *columns[1] = {level};
    struct random_source random;
    double logs = 0.0;
    random_seed(&random, test_seed(701));
    for (int run = 0; run < 40; run++) {
        double wander = 4.0 * random_normal(&random), keep = exp(-0.5 / 3.0);
        for (int i = 0; i < 240; i++) {
            level[i] = 1.0;
            blocks.there[i] = 1;
            blocks.value_mm[i] =
                wander + 0.6 * random_normal(&random) + 2.5 * sin(6.283185307 * 0.31 * 0.5 * i);
            wander = keep * wander + 4.0 * sqrt(1.0 - keep * keep) * random_normal(&random);
        }
        struct noise noise;
        struct noise_regression best, other;
        blocks.breathing_hz = noise_breathing_hz(&blocks);
        ck_assert_double_eq_tol(blocks.breathing_hz, 0.31, 0.01);
        noise_usual(&blocks, &noise);
        ck_assert(noise_fit(&blocks, columns, 1, &noise, &best));
        logs += noise.log[NOISE_WANDER];
        for (int part = 0; part < NOISE_PARTS; part++) {
            for (double off = -0.1; off <= 0.11; off += 0.2) {
                struct noise near = noise;
                near.log[part] += off;
                noise_regress(&blocks, &near, columns, 1, &other);
                ck_assert_double_gt(other.misfit, best.misfit - 0.5);
            }
        }
    }
    /* 4 mm, drawn towards the usual 2.3 */
    ck_assert_double_ge(exp(logs / 40), 3.0);
    ck_assert_double_le(exp(logs / 40), 4.2);
}
END_TEST

/* Breathing is looked for from 0.16 to 0.75 Hz, and no further than blocks tell it, 0.4 to one. */
START_TEST(breathing_has_its_range)
{
    static struct noise_blocks blocks;
    static const struct {
        double hz, block_s, least_hz, most_hz;
    } cases[] = {{0.15, 0.5, 0.16, 0.175},   {0.165, 0.5, 0.163, 0.168}, {0.4, 0.5, 0.397, 0.403},
                 {0.74, 0.5, 0.737, 0.743},  {0.78, 0.5, 0.7, 0.75},     {0.39, 1.0, 0.387, 0.393},
                 {0.42, 1.0, 0.38, 0.40001}, {0.7, 0.25, 0.697, 0.703}};
    for (size_t k = 0; k < sizeof cases / sizeof cases[0]; k++) {
        blocks = (struct noise_blocks){.count = 240, .block_s = cases[k].block_s};
        for (size_t i = 0; i < blocks.count; i++) {
            double at_s = ((double)i + 0.5) * blocks.block_s;
            blocks.there[i] = i % 40 != 7; /* some are missing */
            blocks.value_mm[i] = 900.0 + 3.0 * sin(6.283185307 * cases[k].hz * at_s);
        }
        double hz = noise_breathing_hz(&blocks);
        ck_assert_double_ge(hz, cases[k].least_hz);
        ck_assert_double_le(hz, cases[k].most_hz);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold_regression");
    TCase *tests = tcase_create("hold_regression");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, regression_is_that_of_dense_algebra);
    tcase_add_test(tests, the_noise_that_fits_best_is_found);
    tcase_add_test(tests, breathing_has_its_range);
    return test_main(suite);
}
