/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "trial.h"

#include "base/random.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* What must not matter to a comparison (the setups' order, shifts, scales), and bad input. */

static void random_trial(struct trial *trial, struct random_source *random, int setups)
{
    int builds = 0;
    trial->input.hold_count = 0;
    for (int round = 0; round < 2; round++) {
        for (int s = 0; s < setups; s++) {
            if (round == 1 && s > 0) {
                continue;
            }
            trial->builds[builds] = (struct compare_build){.setup = s,
                                                           .tied = true,
                                                           .u_build = random_uniform(random),
                                                           .u_common = s ? 1.0 : 0.0,
                                                           .position_group = s};
            trial->input.build_count = ++builds;
            for (int h = 0; h < 3; h++) {
                trial_add(trial, builds - 1, trial->input.hold_count + 1,
                          900.0 - 8.0 * s + 4.0 * random_normal(random));
            }
        }
    }
}

START_TEST(reordering_setups_changes_no_verdict)
{
    unsigned seed = 606;
    struct random_source random;
    random_seed(&random, test_seed(seed));
    printf("  property: setups in another order, seed %u\n", seed);
    for (int run = 0; run < 200; run++) {
        struct trial *trial = trial_start(5, 10.0);
        random_trial(trial, &random, 5);
        ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
        struct comparison before = trial->result;
        int place[5] = {0, 1, 2, 3, 4}, build_place[6] = {0, 1, 2, 3, 4, 5};
        for (int i = 4; i > 0; i--) {
            int j = (int)(random_uniform(&random) * (i + 1)), kept = place[i];
            place[i] = place[j];
            place[j] = kept;
        }
        for (int i = 5; i > 0; i--) {
            int j = (int)(random_uniform(&random) * (i + 1)), kept = build_place[i];
            build_place[i] = build_place[j];
            build_place[j] = kept;
        }
        struct compare_build builds[6];
        for (int b = 0; b < 6; b++) {
            builds[build_place[b]] = trial->builds[b];
            builds[build_place[b]].setup = place[trial->builds[b].setup];
            builds[build_place[b]].position_group = 40 - trial->builds[b].position_group;
        }
        memcpy(trial->builds, builds, sizeof builds);
        for (int h = 0; h < trial->input.hold_count; h++) {
            trial->holds[h].setup = place[trial->holds[h].setup];
            trial->holds[h].build = build_place[trial->holds[h].build];
        }
        trial->input.baseline = place[0];
        ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
        for (int s = 0; s < 5; s++) {
            struct setup_difference *a = &before.difference[s],
                                    *b = &trial->result.difference[place[s]];
            ck_assert_int_eq(a->verdict, b->verdict);
            ck_assert_int_eq(a->advice, b->advice);
            ck_assert_double_eq_tol(a->difference, b->difference, 1e-9);
            ck_assert_double_eq_tol(a->low, b->low, 1e-8);
        }
    }
}
END_TEST

START_TEST(shift_and_scale)
{
    unsigned seed = 607;
    struct random_source random;
    random_seed(&random, test_seed(seed));
    printf("  property: shift and scale of a comparison, seed %u\n", seed);
    for (int run = 0; run < 200; run++) {
        struct trial *trial = trial_start(4, 10.0);
        random_trial(trial, &random, 4);
        ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
        struct comparison before = trial->result;
        double shift = 500.0 * random_normal(&random),
               scale = 0.001 + 3.0 * random_uniform(&random);
        for (int h = 0; h < trial->input.hold_count; h++) {
            trial->holds[h].value = shift + scale * trial->holds[h].value;
        }
        for (int b = 0; b < trial->input.build_count; b++) {
            trial->builds[b].u_build *= scale;
            trial->builds[b].u_common *= scale;
        }
        trial->input.matters *= scale;
        ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
        for (int s = 0; s < 4; s++) {
            struct setup_difference *a = &before.difference[s], *b = &trial->result.difference[s];
            ck_assert_int_eq(a->verdict, b->verdict);
            ck_assert_double_eq_tol(a->difference * scale, b->difference, 1e-8);
            ck_assert_double_eq_tol(a->high * scale, b->high, 1e-8);
            ck_assert_double_eq_tol(before.setup[s].mean * scale + shift,
                                    trial->result.setup[s].mean, 1e-8);
        }
    }
}
END_TEST

static void no_nan(const struct comparison *r)
{
    const double all[] = {r->repeatability,       r->repeatability_low, r->repeatability_high,
                          r->smallest_detectable, r->order_per_hold,    r->order_half_width,
                          r->order_index,         r->limit_holds,       r->limit_known};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        ck_assert(isfinite(all[i]));
    }
    for (int s = 0; s < COMPARE_SETUPS_MAX; s++) {
        const struct setup_difference *d = &r->difference[s];
        const double values[] = {r->setup[s].mean, r->setup[s].half_width, d->difference, d->low,
                                 d->high,          d->standard_error,      d->tie_error};
        for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
            ck_assert(isfinite(values[i]));
        }
    }
}

static enum measure_status status_with(struct trial *trial)
{
    enum measure_status status = trial_compare(trial);
    ck_assert_int_eq(status, trial->result.status);
    no_nan(&trial->result);
    return status;
}

START_TEST(bad_input)
{
    struct trial *trial = trial_start(2, 10.0);
    ck_assert_int_eq(status_with(trial), MEASURE_TOO_FEW);
    for (int i = 0; i < 3; i++) {
        trial_add(trial, 0, 0, 900.0);
        trial_add(trial, 1, 0, 880.0);
    }
    /* all alike within each setup: no spread, so no interval, and no verdict from it */
    ck_assert_int_eq(status_with(trial), MEASURE_CONSTANT);
    ck_assert_int_eq(trial->result.difference[1].verdict, VERDICT_CANNOT_TELL);
    ck_assert(!trial->result.difference[1].has_interval);
    trial->holds[0].value = 901.0;
    ck_assert_int_eq(status_with(trial), MEASURE_OK);
    struct compare_input good = trial->input;
    trial->holds[0].value = NAN;
    ck_assert_int_eq(status_with(trial), MEASURE_NOT_FINITE);
    trial->holds[0].value = 901.0;
    trial->holds[1].order = (double)INFINITY;
    ck_assert_int_eq(status_with(trial), MEASURE_NOT_FINITE);
    trial->holds[1].order = 0.0;
    const double margins[] = {0.0, -1.0, NAN, (double)INFINITY};
    for (int i = 0; i < 4; i++) {
        trial->input.matters = margins[i];
        ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
    }
    trial->input = good;
    const double odd[] = {-1.0, NAN, (double)INFINITY};
    for (int i = 0; i < 3; i++) {
        trial->builds[1].u_build = odd[i];
        ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
        trial->builds[1].u_build = 0.0;
        trial->builds[1].u_common = odd[i];
        ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
        trial->builds[1].u_common = 0.0;
    }
    trial->input.baseline = 2;
    ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
    trial->input = good;
    trial->input.hold_count = COMPARE_HOLDS_MAX + 1;
    ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
    trial->input = good;
    trial->holds[2].setup = 1; /* not its build's setup */
    ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
    trial->holds[2].setup = 0;
    trial->builds[good.build_count] = trial->builds[0]; /* one that is not there */
    const int no_build[] = {-1, good.build_count, 7};
    for (int i = 0; i < 3; i++) {
        trial->holds[2].build = no_build[i];
        ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
    }
    trial->holds[2].build = 0;
    const int no_setup[] = {-1, good.setup_count};
    for (int i = 0; i < 2; i++) {
        trial->holds[2].setup = trial->builds[0].setup = no_setup[i];
        ck_assert_int_eq(status_with(trial), MEASURE_BAD_SETTING);
    }
    trial->holds[2].setup = trial->builds[0].setup = 0;
    /* the first setup without holds */
    for (int h = 0; h < trial->input.hold_count; h++) {
        trial->holds[h].setup = trial->holds[h].build = 1;
    }
    ck_assert_int_eq(status_with(trial), MEASURE_OK);
    ck_assert_int_eq(trial->result.difference[1].verdict, VERDICT_NOT_COMPARABLE);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("properties of a comparison");
    TCase *tests = tcase_create("properties");
    tcase_set_timeout(tests, 30);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, reordering_setups_changes_no_verdict);
    tcase_add_test(tests, shift_and_scale);
    tcase_add_test(tests, bad_input);
    return test_main(suite);
}
