/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Movements that a channel must follow, or must not. */
#include "reference.h"

#include "base/random.h"
#include "measure/follow.h"
#include "support/test_seed.h"

#define MOST 2000

static double noise(struct random_source *random, double sd_mm)
{
    return rint(sd_mm * random_normal(random)); /* sensors of whole millimetres */
}

static void still(struct random_source *random, double at_mm, double sd_mm, double *values,
                  size_t count)
{
    for (size_t i = 0; i < count; i++) {
        values[i] = at_mm + noise(random, sd_mm);
    }
}

/* Slow nods, each a smooth bump. */
static void nods(struct random_source *random, double at_mm, double size_mm, double *values,
                 size_t count)
{
    for (size_t i = 0; i < count; i++) {
        values[i] = at_mm + size_mm * 0.5 * (1 - cos(6.2831853 * 3 * (double)i / (double)count)) +
                    noise(random, 2);
    }
}

static enum follow_verdict judge(const double *before, size_t n, const double *during, size_t m,
                                 enum follow_way way, double amount_mm)
{
    struct excursion excursion;
    struct follow_wanted wanted = {way, 15, amount_mm, 5};
    ck_assert_int_eq(excursion_find(before, n, during, m, &excursion), MEASURE_OK);
    return follow_judge(&excursion, &wanted);
}

START_TEST(excursion_worked)
{
    /* By hand: 0..20 in steps of 1: median 10, 5th and 95th percentile 1 and 19, MAD 5. The same
     * plus 30 for half of it: sorted 0..9 and 40..50, of 21: median 40, 5th 1, 95th 49. */
    double before[21], during[21];
    struct excursion e;
    for (int i = 0; i < 21; i++) {
        before[i] = i;
        during[i] = i < 10 ? i : i + 30;
    }
    ck_assert_int_eq(excursion_find(before, 21, during, 21, &e), MEASURE_OK);
    ck_assert_double_eq_tol(e.before_mm, 10, 1e-12);
    ck_assert_double_eq_tol(e.shift_mm, 30, 1e-12);
    ck_assert_double_eq_tol(e.restless_mm, 1.645 * 1.4826 * 5, 1e-12);
    ck_assert_double_eq_tol(e.up_mm, 30, 1e-12);
    ck_assert_double_eq_tol(e.down_mm, 0, 1e-12);
}
END_TEST

START_TEST(follows)
{
    static double before[MOST], during[MOST];
    struct random_source random;
    random_seed(&random, test_seed(31));
    int wrong = 0;
    for (int run = 0; run < 200; run++) {
        still(&random, 884, 3, before, 250);
        nods(&random, 884, -40, during, 250);
        wrong += judge(before, 250, during, 250, FOLLOW_DOWN, NAN) != FOLLOW_RIGHT;
        wrong += judge(before, 250, during, 250, FOLLOW_UP, NAN) != FOLLOW_WRONG_WAY;
        wrong += judge(before, 250, during, 250, FOLLOW_STAYS, NAN) != FOLLOW_DISTURBED;
        still(&random, 884, 3, during, 250);
        wrong += judge(before, 250, during, 250, FOLLOW_DOWN, NAN) != FOLLOW_NOTHING;
        wrong += judge(before, 250, during, 250, FOLLOW_STAYS, NAN) != FOLLOW_RIGHT;
        /* a few outliers are no movement */
        for (int i = 0; i < 8; i++) {
            during[30 * i] = 1500;
        }
        wrong += judge(before, 250, during, 250, FOLLOW_STAYS, NAN) != FOLLOW_RIGHT;
        /* a block of 50 */
        still(&random, 834, 3, during, 250);
        wrong += judge(before, 250, during, 250, FOLLOW_DOWN, 50) != FOLLOW_RIGHT;
        wrong += judge(before, 250, during, 250, FOLLOW_DOWN, 80) != FOLLOW_WRONG_AMOUNT;
    }
    printf("  follow: wrong verdicts %d of 1600\n", wrong);
    ck_assert_int_eq(wrong, 0);
}
END_TEST

START_TEST(restless_body_is_no_movement)
{
    /* 6 mm of bob at 3 Hz is what a pedalling body does: nothing more may be read into it */
    static double before[MOST], during[MOST];
    struct random_source random;
    random_seed(&random, test_seed(32));
    for (size_t i = 0; i < 250; i++) {
        before[i] = 884 + 6 * sin(0.377 * (double)i) + noise(&random, 2);
        during[i] = 884 + 6 * sin(0.377 * (double)i + 1) + noise(&random, 2);
    }
    ck_assert_int_eq(judge(before, 250, during, 250, FOLLOW_STAYS, NAN), FOLLOW_RIGHT);
}
END_TEST

START_TEST(crosstalk_of_a_share)
{
    static double moved[MOST], other[MOST];
    struct random_source random;
    struct crosstalk c;
    random_seed(&random, test_seed(33));
    nods(&random, 884, 40, moved, 500);
    for (size_t i = 0; i < 500; i++) {
        other[i] = 700 + 0.25 * (moved[i] - 884) + random_normal(&random);
    }
    ck_assert_int_eq(crosstalk_find(moved, other, 500, &c), MEASURE_OK);
    ck_assert_double_eq_tol(c.share, 0.25, 0.015);
    ck_assert_double_gt(c.correlation, 0.9);
    still(&random, 700, 2, other, 500);
    ck_assert_int_eq(crosstalk_find(moved, other, 500, &c), MEASURE_OK);
    ck_assert_double_lt(fabs(c.share), 0.03);
    /* by hand: y = 2 x exactly */
    for (size_t i = 0; i < 30; i++) {
        other[i] = 2 * moved[i];
    }
    ck_assert_int_eq(crosstalk_find(moved, other, 30, &c), MEASURE_OK);
    ck_assert_double_eq_tol(c.share, 2, 1e-12);
    ck_assert_double_eq_tol(c.correlation, 1, 1e-12);
    for (size_t i = 0; i < 30; i++) {
        other[i] = 7;
    }
    ck_assert_int_eq(crosstalk_find(moved, other, 30, &c), MEASURE_CONSTANT);
    ck_assert_int_eq(crosstalk_find(moved, other, 19, &c), MEASURE_TOO_FEW);
}
END_TEST

START_TEST(two_things_in_the_beam)
{
    static double values[MOST];
    struct random_source random;
    struct two_levels levels;
    int missed = 0, imagined = 0;
    random_seed(&random, test_seed(34));
    for (int run = 0; run < 200; run++) {
        bool on_far = false;
        for (size_t i = 0; i < 1000; i++) {
            if (random_uniform(&random) < 0.1) {
                on_far = !on_far;
            }
            values[i] = 400 + (on_far ? 60 : 0) + noise(&random, 3);
        }
        ck_assert_int_eq(two_levels_find(values, 1000, &levels), MEASURE_OK);
        missed += !levels.is_two;
        ck_assert_double_eq_tol(levels.high_mm - levels.low_mm, 60, 2);
        /* one surface; a body that nods by as much; a body that sat up once */
        still(&random, 400, 3, values, 1000);
        ck_assert_int_eq(two_levels_find(values, 1000, &levels), MEASURE_OK);
        imagined += levels.is_two;
        nods(&random, 400, 60, values, 250);
        ck_assert_int_eq(two_levels_find(values, 250, &levels), MEASURE_OK);
        imagined += levels.is_two;
        still(&random, 400, 3, values, 500);
        still(&random, 460, 3, values + 500, 500);
        ck_assert_int_eq(two_levels_find(values, 1000, &levels), MEASURE_OK);
        imagined += levels.is_two;
        /* outliers far and wide, a twentieth */
        for (size_t i = 0; i < 1000; i++) {
            values[i] = random_uniform(&random) < 0.05 ? 1000 * random_uniform(&random)
                                                       : 400 + noise(&random, 3);
        }
        ck_assert_int_eq(two_levels_find(values, 1000, &levels), MEASURE_OK);
        imagined += levels.is_two;
    }
    printf("  two levels: missed %d of 200, imagined %d of 800\n", missed, imagined);
    ck_assert_int_eq(missed, 0);
    ck_assert_int_eq(imagined, 0);
    for (size_t i = 0; i < 30; i++) {
        values[i] = 400;
    }
    ck_assert_int_eq(two_levels_find(values, 30, &levels), MEASURE_CONSTANT);
    ck_assert_int_eq(two_levels_find(values, 19, &levels), MEASURE_TOO_FEW);
    values[3] = NAN;
    ck_assert_int_eq(two_levels_find(values, 30, &levels), MEASURE_NOT_FINITE);
}
END_TEST

START_TEST(split_by_hand)
{
    /* 1 1 2 2 and 20 times 30..31: the largest variance between is at the gap */
    double values[24] = {1, 1, 2, 2};
    struct two_levels levels;
    for (int i = 4; i < 24; i++) {
        values[i] = i % 2 ? 30 : 31;
    }
    ck_assert_int_eq(two_levels_find(values, 24, &levels), MEASURE_OK);
    ck_assert_double_eq_tol(levels.low_mm, 1.5, 1e-12);
    ck_assert_double_eq_tol(levels.high_mm, 30.5, 1e-12);
    ck_assert_double_eq_tol(levels.low_share, 4.0 / 24, 1e-12);
    ck_assert_double_eq_tol(levels.low_sd_mm, 0.5, 1e-12);
    ck_assert_double_eq_tol(levels.high_sd_mm, 0.5, 1e-12);
    ck_assert_uint_eq(levels.jumps, 1);
    ck_assert(!levels.is_two); /* it went there once and stayed */
    double scratch[24];
    struct two_levels same;
    ck_assert_int_eq(two_levels_find_in(values, 24, scratch, &same), MEASURE_OK);
    ck_assert_mem_eq(&same, &levels, sizeof same);
}
END_TEST

/* So many groups of the rarer level's readings, each after as many of the other's; the rarer ones
 * lie the gap higher, sd_mm up and down in turns. */
static size_t levels_made(double *values, int groups, int common, int rarer, double gap_mm,
                          double sd_mm)
{
    size_t count = 0;
    for (int g = 0; g < groups; g++) {
        for (int i = 0; i < common; i++) {
            values[count++] = 400;
        }
        for (int i = 0; i < rarer; i++) {
            values[count++] = 400 + gap_mm + (i % 2 ? -sd_mm : sd_mm);
        }
    }
    return count;
}

static bool are_two(const double *values, size_t count)
{
    struct two_levels levels;
    ck_assert_int_eq(two_levels_find(values, count, &levels), MEASURE_OK);
    return levels.is_two;
}

/* A movement is three times the restlessness before it, where that is more than what was asked. */
START_TEST(a_movement_is_three_times_the_restlessness)
{
    struct excursion excursion = {.restless_mm = 10.0, .down_mm = 29.0};
    const struct follow_wanted wanted = {FOLLOW_DOWN, 15.0, NAN, 0.0};
    ck_assert_int_eq(follow_judge(&excursion, &wanted), FOLLOW_NOTHING);
    excursion.down_mm = 31.0;
    ck_assert_int_eq(follow_judge(&excursion, &wanted), FOLLOW_RIGHT);
    excursion.up_mm = 31.0; /* and as far the other way: not the wrong way round */
    ck_assert_int_eq(follow_judge(&excursion, &wanted), FOLLOW_RIGHT);
    excursion.up_mm = 30.0; /* three times is enough, if only the other way */
    excursion.down_mm = 0.0;
    ck_assert_int_eq(follow_judge(&excursion, &wanted), FOLLOW_WRONG_WAY);
}
END_TEST

START_TEST(two_levels_at_their_limits)
{
    static double values[MOST];
    ck_assert(!are_two(values, levels_made(values, 5, 8, 2, 14.9, 0)));
    ck_assert(are_two(values, levels_made(values, 5, 8, 2, 15, 0)));
    ck_assert(!are_two(values, levels_made(values, 5, 8, 2, 24, 5.1))); /* more than 5 and 24/6 */
    ck_assert(are_two(values, levels_made(values, 5, 8, 2, 24, 4.9)));
    ck_assert(!are_two(values, levels_made(values, 5, 8, 2, 60, 10.2))); /* more than 60/6 */
    ck_assert(are_two(values, levels_made(values, 5, 8, 2, 60, 9.8)));
    ck_assert(are_two(values, levels_made(values, 5, 196, 4, 60, 0)));  /* 2 in 100 */
    ck_assert(!are_two(values, levels_made(values, 5, 208, 4, 60, 0))); /* 1.9 in 100 */
    size_t count = levels_made(values, 2, 8, 2, 60, 0);
    ck_assert_uint_eq(count, 20);       /* the fewest readings that are looked at */
    ck_assert(!are_two(values, count)); /* there, back and there again: three jumps */
    values[count++] = 400;
    ck_assert(are_two(values, count));
    count = levels_made(values, 5, 8, 2, 60, 0); /* nine jumps: at most half as many between */
    for (int g = 0; g < 4; g++) {
        values[10 * g + 3] = 420;
    }
    ck_assert(are_two(values, count));
    values[43] = 420;
    ck_assert(!are_two(values, count));
}
END_TEST

/* Of eight readings six lie over their mean by d and two under it by three times as much: their SD
 * is 1.732 d, and over all, with two of the other level, 1.549 d. */
START_TEST(two_levels_are_four_times_their_scatter_apart)
{
    static double values[200];
    for (int over = 0; over <= 1; over++) {
        double d = 40 / (over ? 4.1 : 3.9) / 1.549193;
        for (int i = 0; i < 200; i++) {
            values[i] = i % 10 >= 8 ? 440 : 400 + (i % 10 % 4 == 3 ? -3 * d : d);
        }
        struct two_levels levels;
        ck_assert_int_eq(two_levels_find(values, 200, &levels), MEASURE_OK);
        ck_assert_double_eq_tol(levels.high_mm - levels.low_mm, 40, 0.5);
        ck_assert_int_eq(levels.is_two, over);
    }
}
END_TEST

START_TEST(crosstalk_takes_twenty_readings)
{
    double moved[20], other[20];
    struct crosstalk crosstalk;
    for (int i = 0; i < 20; i++) {
        moved[i] = i;
        other[i] = 0.25 * i;
    }
    ck_assert_int_eq(crosstalk_find(moved, other, 19, &crosstalk), MEASURE_TOO_FEW);
    ck_assert_int_eq(crosstalk_find(moved, other, 20, &crosstalk), MEASURE_OK);
    ck_assert_double_eq_tol(crosstalk.share, 0.25, 1e-12);
    ck_assert_double_eq_tol(crosstalk.correlation, 1.0, 1e-12);
}
END_TEST

START_TEST(guards)
{
    double few[10] = {0}, bad[10] = {NAN};
    struct excursion e;
    ck_assert_int_eq(excursion_find(few, 9, few, 10, &e), MEASURE_TOO_FEW);
    ck_assert_int_eq(excursion_find(few, 10, few, 0, &e), MEASURE_TOO_FEW);
    ck_assert_int_eq(excursion_find(few, 10, bad, 10, &e), MEASURE_NOT_FINITE);
    ck_assert_int_eq(excursion_find(few, 10, few, 10, &e), MEASURE_OK);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("follow");
    TCase *tests = tcase_create("follow");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, excursion_worked);
    tcase_add_test(tests, follows);
    tcase_add_test(tests, restless_body_is_no_movement);
    tcase_add_test(tests, crosstalk_of_a_share);
    tcase_add_test(tests, two_things_in_the_beam);
    tcase_add_test(tests, split_by_hand);
    tcase_add_test(tests, a_movement_is_three_times_the_restlessness);
    tcase_add_test(tests, two_levels_at_their_limits);
    tcase_add_test(tests, two_levels_are_four_times_their_scatter_apart);
    tcase_add_test(tests, crosstalk_takes_twenty_readings);
    tcase_add_test(tests, guards);
    return test_main(suite);
}
