/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the measures cost in processor time: the summary of a hold as it is made when it ends, and
 * the comparison of a session as long as it can be. Twenty minutes at a thousand readings a second
 * are four times five minutes: a method that grew faster than its data would show. */
#include "base/random.h"
#include "measure/compare.h"
#include "measure/hold.h"
#include "support/bench.h"

#include <math.h>
#include <stdlib.h>
#include <time.h>

static double processor_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return 1e3 * (double)now.tv_sec + 1e-6 * (double)now.tv_nsec;
}

/* Breathing and noise; NAN when there is no memory or no summary (told). */
static double hold_ms(struct bench *bench, size_t count, double rate_hz, int runs)
{
    double *time_s = malloc(count * sizeof *time_s), *height_mm = malloc(count * sizeof *height_mm);
    uint8_t *valid = malloc(count);
    double least = (double)INFINITY;
    if (time_s == NULL || height_mm == NULL || valid == NULL) {
        bench_fail(bench, "no memory for a hold of %zu readings", count);
        least = (double)NAN;
        runs = 0;
    } else {
        struct random_source random;
        random_seed(&random, 8);
        for (size_t i = 0; i < count; i++) {
            time_s[i] = (double)i / rate_hz;
            height_mm[i] = 900.0 + 4.0 * sin(2.513 * time_s[i]) + 3.0 * random_normal(&random);
            valid[i] = 1;
        }
    }
    struct hold_input input = {.time_s = time_s,
                               .height_mm = height_mm,
                               .valid = valid,
                               .count = count,
                               .duration_s = (double)count / rate_hz,
                               .rate_hz = rate_hz};
    struct hold_settings settings = {.has_target = true,
                                     .target_mm = 900.0,
                                     .has_band = true,
                                     .cue = {8.0, 12.0, 1.0, 0.2, 0.7, 0.5, 0.5}};
    for (int run = 0; run < runs; run++) {
        struct hold_summary summary;
        double begun = processor_ms();
        if (hold_summarise(&input, &settings, &summary) != MEASURE_OK) {
            bench_fail(bench, "a hold of %zu readings has no summary", count);
            least = (double)NAN;
            break;
        }
        least = fmin(least, processor_ms() - begun);
    }
    free(time_s);
    free(height_mm);
    free(valid);
    return least;
}

/* Twenty setups, five holds each. */
static double comparison_ms(struct bench *bench, int runs)
{
    enum { SETUPS = 20, HOLDS = 5 };
    static struct compare_hold holds[SETUPS * HOLDS];
    static struct compare_build builds[SETUPS];
    static struct comparison result;
    struct random_source random;
    random_seed(&random, 4);
    for (int s = 0; s < SETUPS; s++) {
        builds[s] =
            (struct compare_build){.setup = s, .tied = true, .u_build = 1.0, .position_group = s};
    }
    for (int h = 0; h < SETUPS * HOLDS; h++) {
        holds[h] = (struct compare_hold){.setup = h % SETUPS,
                                         .build = h % SETUPS,
                                         .order = h + 1,
                                         .value = 900.0 + 4.0 * random_normal(&random)};
    }
    struct compare_input input = {.holds = holds,
                                  .hold_count = SETUPS * HOLDS,
                                  .builds = builds,
                                  .build_count = SETUPS,
                                  .setup_count = SETUPS,
                                  .matters = 10.0,
                                  .higher_is_up = true};
    double least = (double)INFINITY;
    for (int run = 0; run < runs; run++) {
        double begun = processor_ms();
        if (compare_setups(&input, &result) != MEASURE_OK) {
            bench_fail(bench, "the comparison of %d setups has no result", SETUPS);
            return (double)NAN;
        }
        least = fmin(least, processor_ms() - begun);
    }
    return least;
}

int main(void)
{
    struct bench bench;
    if (!bench_begin(&bench, "measures")) {
        return EXIT_FAILURE;
    }
    double minute = hold_ms(&bench, 3000, 50.0, 20);
    double five_minutes = hold_ms(&bench, 300000, 1000.0, 3);
    double twenty_minutes = hold_ms(&bench, 1200000, 1000.0, 2);
    bench_at_most(&bench, "a hold of 60 s at 50 Hz", minute, "ms", 0.7);
    bench_at_most(&bench, "a hold of 20 min at 1000 Hz", twenty_minutes, "ms", 500.0);
    bench_at_most(&bench, "20 min against 5 min", twenty_minutes / five_minutes, "times", 8.0);
    bench_at_most(&bench, "20 setups of 5 holds compared", comparison_ms(&bench, 20), "ms", 5.0);
    return bench_end(&bench);
}
