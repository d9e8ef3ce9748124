/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Are targets known as well as they say, and do bands give the cues that they promise? Short forms
 * of tests/study/targets.c and bands.c, with fixed seeds. */
#include "reference.h"
#include "simulated_bands.h"

#include "support/test_seed.h"

#define CAPTURES 200

static struct target_counts run(const struct target_rider *rider, double until_mm, unsigned seed)
{
    struct random_source random;
    struct target_counts n = {0};
    random_seed(&random, test_seed(seed));
    for (int i = 0; i < CAPTURES; i++) {
        count_target(&random, rider, until_mm, &n, NULL);
    }
    printf("  targets until=%gmm, %-26s %4.1f of 100 hold the level, +-%.1f mm, %.0f s\n", until_mm,
           rider->name, 100.0 * (double)n.covered / (double)n.intervals,
           n.half_width_mm / (double)n.intervals, n.seconds / (double)n.captures);
    return n;
}

/* A short form of tests/study/targets.c; 1.5 in 100 is a standard error of 200 captures. */
START_TEST(levels_are_known_as_said)
{
    static const struct target_rider riders[] = {
        {"wander of 1 to 8 s", .wander_from_s = 1, .wander_to_s = 8},
        {"wander of 8 s", .wander_from_s = 8, .wander_to_s = 8},
        {"settles 15 mm in 5 s", .wander_from_s = 1, .wander_to_s = 8, .unsettled_mm = 15},
        {"second model, head and chest", .sway = true, .channel = -1},
    };
    long intervals = 0, covered = 0;
    for (unsigned r = 0; r < sizeof riders / sizeof riders[0]; r++) {
        struct target_counts n = run(&riders[r], 3.0, 40 + r);
        ck_assert_double_ge((double)n.covered / (double)n.intervals, 0.91);
        ck_assert_double_ge((double)n.known, 0.5 * (double)n.captures);
        intervals += n.intervals;
        covered += n.covered;
    }
    ck_assert_double_ge((double)covered / (double)intervals, 0.94);
    ck_assert_double_le((double)covered / (double)intervals, 0.985);
}
END_TEST

/* A short form of tests/study/bands.c: cues a minute promised against those of fresh holds of the
 * same riders, within a factor of two but for chance. */
START_TEST(proposals_keep_their_promise)
{
    static const struct target_rider riders[] = {
        {"first model, chest", .wander_from_s = 1, .wander_to_s = 8},
        {"second model, chest", .sway = true, .channel = SWAY_CHEST},
    };
    for (unsigned r = 0; r < 2; r++) {
        struct band_counts counts[BAND_CLASSES], suggested;
        struct random_source random;
        memset(counts, 0, sizeof counts);
        memset(&suggested, 0, sizeof suggested);
        random_seed(&random, test_seed(60 + r));
        for (int i = 0; i < 100; i++) {
            count_bands(&random, &riders[r], false, counts, &suggested);
        }
        for (int c = 0; c < 3; c++) { /* tight, firm, usual */
            printf("  %s, %s bands: %.2f cues a minute promised, %.2f found\n", riders[r].name,
                   band_words[c], counts[c].promised / (double)counts[c].proposals,
                   counts[c].found / (double)counts[c].proposals);
            ck_assert_int_gt(counts[c].proposals, 15);
            double times = c < 2 ? 2.0 : 3.0; /* usual ones are few cues in all */
            ck_assert_double_le(counts[c].promised, times * counts[c].found);
            ck_assert_double_le(counts[c].found, times * counts[c].promised);
            ck_assert_double_eq_tol(counts[c].promised_in_share / (double)counts[c].proposals,
                                    counts[c].found_in_share / (double)counts[c].proposals, 0.04);
        }
        ck_assert_double_gt(counts[0].found / (double)counts[0].proposals, 0.5);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("target promises");
    TCase *tests = tcase_create("target promises");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, levels_are_known_as_said);
    tcase_add_test(tests, proposals_keep_their_promise);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
