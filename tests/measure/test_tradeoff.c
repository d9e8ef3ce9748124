/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Which setups no other is shown to beat. */
#include "support/test_main.h"
#include "support/test_seed.h"

#include "base/random.h"
#include "measure/statistics.h"
#include "measure/tradeoff.h"

#include <math.h>
#include <stdio.h>

/* Values that are known without error, and whatever differs matters: a point of a rating too. */
static const double any_difference[TRADEOFF_CRITERIA] = {1e-9, 1e-9, 1e-9, 1e-9, 1e-9, 1, 1};

static struct tradeoff_setup setup_of(double height, double steady, double creep, double in_band,
                                      double discomfort, double effort)
{
    return (struct tradeoff_setup){
        .has = {true, true, true, true, true, true, true},
        .value = {height, height - 110, steady, creep, in_band, discomfort, effort}};
}

START_TEST(tradeoff)
{
    struct tradeoff_setup s[] = {setup_of(900, 4, 1, .95, 2, 3), setup_of(880, 5, 1, .90, 3, 4),
                                 setup_of(905, 4, -2, .95, 2, 3), setup_of(860, 9, 6, .60, 7, 8),
                                 setup_of(850, 3, 0, .99, 0, 1)};
    struct tradeoff_mark marks[5];
    s[4].sight_failed = true; /* the lowest, steadiest and easiest: and it can't see */
    tradeoff_mark(s, 5, any_difference, marks);
    ck_assert(marks[0].stands && marks[1].stands && marks[3].stands);
    ck_assert(!marks[2].stands);
    ck_assert_int_eq(marks[2].beaten_by, 0);
    ck_assert(!marks[4].stands);
    ck_assert_int_eq(marks[4].beaten_by, -1);
    /* what only one of two has decides nothing */
    s[0].has[TRADEOFF_EFFORT] = false;
    tradeoff_mark(s, 5, any_difference, marks);
    ck_assert(marks[2].stands && marks[0].incomplete && !marks[2].incomplete);
    s[2].has[TRADEOFF_EFFORT] = false;
    tradeoff_mark(s, 5, any_difference, marks);
    ck_assert(!marks[2].stands);
    s[2].value[TRADEOFF_HEIGHT] = NAN; /* not a number: as if missing */
    tradeoff_mark(s, 5, any_difference, marks);
    ck_assert(marks[2].stands && marks[2].incomplete);
    struct tradeoff_setup same[] = {
        setup_of(900, 4, 1, .95, 2, 3), setup_of(900, 4, -1, .95, 2, 3), {.has = {false}}};
    tradeoff_mark(same, 3, any_difference, marks);
    ck_assert(marks[0].stands && marks[1].stands && !marks[2].stands);
}
END_TEST

/* Whoever does not stand is beaten by one that stands, or can't see. */
START_TEST(tradeoff_property)
{
    struct random_source random;
    unsigned seed = 313;
    random_seed(&random, test_seed(seed));
    for (int run = 0; run < 300; run++) {
        struct tradeoff_setup s[12];
        struct tradeoff_mark marks[12];
        for (int i = 0; i < 12; i++) {
            s[i] =
                setup_of(floor(random_uniform(&random) * 5), floor(random_uniform(&random) * 3), 0,
                         floor(random_uniform(&random) * 3), floor(random_uniform(&random) * 3), 1);
            s[i].sight_failed = random_uniform(&random) < 0.2;
        }
        tradeoff_mark(s, 12, any_difference, marks);
        for (int i = 0; i < 12; i++) {
            int by = i, depth = 0;
            while (marks[by].beaten_by >= 0 && depth++ < 20) {
                by = marks[by].beaten_by;
            }
            ck_assert_msg(marks[by].stands || s[by].sight_failed, "seed %u run %d", seed, run);
        }
    }
}
END_TEST

/* One criterion, each value known to 2 mm with 6 degrees of freedom. One pair on seven
 * criteria: each interval holds with 1 - 0.05/7; Student's t 3.9971 (SciPy 1.10), half-width
 * 11.3054. */
START_TEST(better_is_what_the_interval_says)
{
    const double matters[TRADEOFF_CRITERIA] = {[TRADEOFF_HEIGHT] = 10};
    struct tradeoff_setup s[2] = {
        {.has = {true}, .se = {2}, .df = {6}, .value = {900}},
        {.has = {true}, .se = {2}, .df = {6}, .value = {900 - 11.3054 + 0.01}}};
    struct tradeoff_mark marks[2];
    tradeoff_mark(s, 2, matters, marks);
    ck_assert(marks[0].stands && marks[1].stands && !marks[1].leads[TRADEOFF_HEIGHT]);
    s[1].value[TRADEOFF_HEIGHT] = 900 - 11.3054 - 0.01;
    tradeoff_mark(s, 2, matters, marks);
    ck_assert(!marks[0].stands && marks[1].stands && marks[1].leads[TRADEOFF_HEIGHT]);
    ck_assert_int_eq(marks[0].beaten_by, 1);
    s[1].se[TRADEOFF_HEIGHT] = NAN; /* nobody knows how well */
    tradeoff_mark(s, 2, matters, marks);
    ck_assert(marks[0].stands && marks[1].stands && !marks[1].leads[TRADEOFF_HEIGHT]);
}
END_TEST

/* The one lower with the head, the other with the chest, both by less than matters: neither beats
 * the other. Nor does one whose chest may be higher by more than matters. */
START_TEST(as_good_is_what_lies_within_what_matters)
{
    const double matters[TRADEOFF_CRITERIA] = {10, 10};
    struct tradeoff_setup s[2] = {
        {.has = {true, true}, .se = {0.1, 0.1}, .df = {20, 20}, .value = {900, 790}},
        {.has = {true, true}, .se = {0.1, 0.1}, .df = {20, 20}, .value = {905, 785}}};
    struct tradeoff_mark marks[2];
    tradeoff_mark(s, 2, matters, marks);
    ck_assert(marks[0].stands && marks[1].stands);
    ck_assert(marks[0].leads[TRADEOFF_HEIGHT] && marks[1].leads[TRADEOFF_SECOND_HEIGHT]);
    s[1].value[TRADEOFF_SECOND_HEIGHT] = 790;
    tradeoff_mark(s, 2, matters, marks);
    ck_assert_int_eq(marks[1].beaten_by, 0);
    s[0].se[TRADEOFF_SECOND_HEIGHT] = 5;
    tradeoff_mark(s, 2, matters, marks);
    ck_assert(marks[1].stands);
}
END_TEST

/* A point more of a rating is worse; better takes what matters. */
START_TEST(ratings_count_by_points)
{
    const double matters[TRADEOFF_CRITERIA] = {[TRADEOFF_EFFORT] = 2};
    struct tradeoff_setup s[2] = {
        {.has = {[TRADEOFF_EFFORT] = true}, .value = {[TRADEOFF_EFFORT] = 4}},
        {.has = {[TRADEOFF_EFFORT] = true}, .value = {[TRADEOFF_EFFORT] = 3}}};
    struct tradeoff_mark marks[2];
    tradeoff_mark(s, 2, matters, marks);
    ck_assert(marks[0].stands && marks[1].stands && !marks[1].leads[TRADEOFF_EFFORT]);
    s[1].value[TRADEOFF_EFFORT] = 2;
    tradeoff_mark(s, 2, matters, marks);
    ck_assert(!marks[0].stands && marks[1].leads[TRADEOFF_EFFORT]);
}
END_TEST

/* Three equal setups, each criterion from so many holds of each, normal, the SD estimated: of what
 * was told of 1,000 sessions. It said of 42 in 100 that one is better. */
static void equal_setups(int holds, double sd, double *beaten, double *led)
{
    const double matters[TRADEOFF_CRITERIA] = {10, 10, 1, 5, 0.1, 2, 2};
    const double spread[TRADEOFF_CRITERIA] = {sd, sd, 0.8, 6, 0.05, 0, 0};
    struct random_source random;
    long sessions = 1000;
    random_seed(&random, test_seed(314));
    *beaten = *led = 0.0;
    for (long i = 0; i < sessions; i++) {
        struct tradeoff_setup s[3] = {{.has = {false}}};
        struct tradeoff_mark marks[3];
        for (int c = 0; c < TRADEOFF_DISCOMFORT; c++) {
            double squares = 0.0;
            for (int k = 0; k < 3; k++) {
                double values[8], mean, sum = 0.0;
                for (int h = 0; h < holds; h++) {
                    values[h] = spread[c] * random_normal(&random);
                    sum += values[h];
                }
                mean = sum / holds;
                for (int h = 0; h < holds; h++) {
                    squares += (values[h] - mean) * (values[h] - mean);
                }
                s[k].has[c] = true;
                s[k].value[c] = c == TRADEOFF_CREEP ? fabs(mean) : mean;
                s[k].df[c] = 3.0 * (holds - 1);
            }
            for (int k = 0; k < 3; k++) {
                s[k].se[c] = sqrt(squares / s[k].df[c] / holds);
            }
        }
        tradeoff_mark(s, 3, matters, marks);
        bool any_beaten = false, any_led = false;
        for (int k = 0; k < 3; k++) {
            any_beaten = any_beaten || marks[k].beaten_by >= 0;
            for (int c = 0; c < TRADEOFF_CRITERIA; c++) {
                any_led = any_led || marks[k].leads[c];
            }
        }
        *beaten += any_beaten;
        *led += any_led;
    }
    *beaten /= (double)sessions;
    *led /= (double)sessions;
}

START_TEST(of_equal_setups_none_is_beaten)
{
    static const struct {
        int holds;
        double sd;
    } cases[] = {{2, 4}, {4, 4}, {8, 2}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double beaten, led;
        equal_setups(cases[i].holds, cases[i].sd, &beaten, &led);
        printf("  three equal setups, %d holds of each, SD %g mm: one told beaten in %.3f, best in "
               "something in %.3f of 1000 sessions\n",
               cases[i].holds, cases[i].sd, beaten, led);
        ck_assert_double_le(beaten, 0.05);
        ck_assert_double_le(led, 0.065);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("tradeoff");
    TCase *tests = tcase_create("tradeoff");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, tradeoff);
    tcase_add_test(tests, tradeoff_property);
    tcase_add_test(tests, better_is_what_the_interval_says);
    tcase_add_test(tests, as_good_is_what_lies_within_what_matters);
    tcase_add_test(tests, ratings_count_by_points);
    tcase_add_test(tests, of_equal_setups_none_is_beaten);
    return test_main(suite);
}
