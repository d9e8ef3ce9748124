/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Is progress believed when it should be? Riders who learn or don't, tested three times before the
 * first practice and once a session after it; lines through how long it was kept; lengths of
 * pieces. The tables stand in docs/measures.md.
 *
 *     practice [RIDERS [SEED]]      1000 riders a row, seed 20250101
 */
#include "measure/practice.h"
#include "base/random.h"
#include "base/text.h"
#include "measure/censored_line.h"
#include "measure/distribution.h"
#include "measure/practice_change.h"
#include "measure/rules.h"
#include "measure/sat_up.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SESSIONS 20
#define BASE_MOST 5

struct rider {
    double base_logit, day_sd, gain, sessions_tau;
};

static double between(struct random_source *random, double low, double high)
{
    return low + (high - low) * random_uniform(random);
}

/* A test of 3 minutes: what chance makes of the share, of blocks that are worth this many. */
#define TEST_BLOCKS 30
static struct practice_test ride(struct random_source *random, const struct rider *rider,
                                 int session)
{
    double gained = rider->gain * (1.0 - exp(-session / rider->sessions_tau));
    double p = share_of_logit(rider->base_logit + gained + rider->day_sd * random_normal(random));
    int in = 0;
    for (int i = 0; i < TEST_BLOCKS; i++) {
        in += random_uniform(random) < p;
    }
    return (struct practice_test){(double)in / TEST_BLOCKS, TEST_BLOCKS, NAN, false};
}

static const struct {
    const char *name;
    double gain;
    int base, sessions;
} rows[] = {
    {"no gain, base 3, 5 sessions", 0, 3, 5},    {"no gain, base 3, 10 sessions", 0, 3, 10},
    {"no gain, base 5, 10 sessions", 0, 5, 10},  {"+1 logit, base 3, 5 sessions", 1, 3, 5},
    {"+1 logit, base 3, 10 sessions", 1, 3, 10}, {"+1 logit, base 3, 20 sessions", 1, 3, 20},
    {"+1 logit, base 5, 10 sessions", 1, 5, 10}, {"+1 logit, base 5, 20 sessions", 1, 5, 20},
    {"+2 logit, base 3, 10 sessions", 2, 3, 10}, {"+2 logit, base 5, 10 sessions", 2, 5, 10},
};

static void progress_row(size_t r, long riders, uint64_t seed)
{
    struct random_source random;
    long said[PRACTICE_VERDICTS] = {0}, ever = 0, rises = 0;
    random_seed(&random, seed + r);
    for (long i = 0; i < riders; i++) {
        struct rider rider = {.gain = rows[r].gain};
        struct practice_test base[BASE_MOST], later[SESSIONS];
        struct practice_change change = {.verdict = PRACTICE_BASE_SHORT};
        double share = between(&random, 0.4, 0.8);
        bool better = false;
        rider.base_logit = log(share / (1.0 - share));
        rider.day_sd = between(&random, 0.3, 0.6);
        rider.sessions_tau = between(&random, 3.0, 10.0);
        for (int k = 0; k < rows[r].base; k++) {
            base[k] = ride(&random, &rider, 0);
        }
        for (int k = 0; k < rows[r].sessions; k++) {
            later[k] = ride(&random, &rider, k + 1);
            if (practice_change_of(base, (size_t)rows[r].base, later, (size_t)k + 1, &change) !=
                MEASURE_OK) {
                continue;
            }
            better = better || change.verdict == PRACTICE_BETTER;
        }
        said[change.verdict]++;
        ever += better;
        rises += change.base_rises;
    }
    double n = (double)riders;
    printf("| %-30s | %6.3f | %6.3f | %6.3f | %6.3f | %6.3f | %6.3f |\n", rows[r].name,
           (double)said[PRACTICE_BETTER] / n, (double)said[PRACTICE_WORSE] / n,
           (double)said[PRACTICE_NONE] / n, (double)said[PRACTICE_CANNOT_TELL] / n,
           (double)ever / n, (double)rises / n);
}

static const struct {
    int sessions;
    double sd, growth;
} lines[] = {{8, 0.3, 0.1}, {10, 0.13, 0.16}, {10, 0.3, 0.1}, {15, 0.3, 0.05}, {20, 0.4, 0.05}};

/* Kept from 2 minutes on, growing by so much of itself a session; the hold ends after 8. */
static void line_row(size_t r, long riders, uint64_t seed)
{
    struct random_source random;
    long fitted = 0, hold = 0, plain = 0, censored = 0;
    random_seed(&random, seed + 100 + r);
    for (long i = 0; i < riders; i++) {
        double x[SESSIONS], y[SESSIONS];
        bool at_least[SESSIONS];
        struct censored_line line;
        for (int k = 0; k < lines[r].sessions; k++) {
            x[k] = k + 1;
            y[k] = log(2.0) + lines[r].growth * x[k] + lines[r].sd * random_normal(&random);
            at_least[k] = y[k] > log(8.0);
            y[k] = fmin(y[k], log(8.0));
            censored += at_least[k];
        }
        if (censored_line_fit(x, y, at_least, (size_t)lines[r].sessions, &line) != MEASURE_OK) {
            continue;
        }
        double off = fabs(line.slope - lines[r].growth);
        fitted++;
        hold += off <= censored_line_slope_half_width(&line);
        plain += off <= NORMAL_95 * line.slope_se;
    }
    printf("| %8d | %4.2f | %6.2f | %8.3f | %6.3f | %6.3f | %6.3f |\n", lines[r].sessions,
           lines[r].sd, lines[r].growth, (double)censored / (double)riders / lines[r].sessions,
           (double)fitted / (double)riders, (double)hold / (double)fitted,
           (double)plain / (double)fitted);
}

static void lengths(long riders, uint64_t seed)
{
    static const double middles_s[] = {60, 180, 600};
    for (size_t m = 0; m < sizeof middles_s / sizeof middles_s[0]; m++) {
        struct random_source random;
        double last = 0.0, kept = 0.0;
        long pieces = 0;
        random_seed(&random, seed + 200 + m);
        for (long i = 0; i < riders; i++) {
            struct piece_length piece = piece_length_first((double)NAN);
            for (int k = 0; k < 60; k++) { /* ten sessions of six */
                double p = 1.0 / (1.0 + exp(log(piece.length_s / middles_s[m]) / 0.35));
                bool was = random_uniform(&random) < p;
                if (k >= 54) {
                    last += log(piece.length_s);
                    kept += was;
                    pieces++;
                }
                piece_length_next(&piece, was, false);
            }
        }
        printf("| %9.0f | %7.1f | %11.1f | %5.3f |\n", middles_s[m],
               middles_s[m] * exp(-0.35 * log(sqrt(0.5) / (1.0 - sqrt(0.5)))),
               exp(last / (double)pieces), kept / (double)pieces);
    }
}

/* An hour of a rider who sways (3 mm over 3 s), looks up 30 times for 1 to 2.5 s by 100 mm, and
 * sits up so often for 5 to 60 s by 90 to 250 mm; the head's band ends 10 mm over the target. */
#define RATE_HZ 8
#define HOUR_S 3600
struct sitting {
    long hours, ups, found, added;
    double off_s; /* of begin and end, all together */
};

static void hour(struct random_source *random, int ups, struct sitting *all)
{
    static double by_mm[HOUR_S * RATE_HZ];
    double from_s[16], to_s[16], wander = 0.0, keep = exp(-1.0 / (3.0 * RATE_HZ));
    struct cue_settings settings = cue_usual(true);
    struct cue_machine cue;
    struct sat_up sat;
    struct hold_cut stretch;
    memset(by_mm, 0, sizeof by_mm);
    for (int look = 0; look < 30; look++) {
        int at = (int)(between(random, 10, HOUR_S - 10) * RATE_HZ);
        int count = (int)(between(random, 1.0, 2.5) * RATE_HZ);
        for (int i = at; i < at + count; i++) {
            by_mm[i] = 100;
        }
    }
    for (int u = 0; u < ups; u++) {
        double high_mm = between(random, 90, 250);
        from_s[u] = between(random, 10, HOUR_S / ups - 90) + u * HOUR_S / ups;
        to_s[u] = from_s[u] + between(random, 5, 60);
        for (int i = (int)(from_s[u] * RATE_HZ); i < (int)(to_s[u] * RATE_HZ); i++) {
            by_mm[i] = high_mm;
        }
    }
    cue_start(&cue, &settings, 900, RATE_HZ);
    sat_up_start(&sat);
    all->hours++;
    all->ups += ups;
    for (int i = 0; i < HOUR_S * RATE_HZ; i++) {
        wander = keep * wander + 3.0 * sqrt(1 - keep * keep) * random_normal(random);
        cue_step(&cue, (double)i / RATE_HZ, 900 + wander + by_mm[i], true);
        bool over = sat_up_is_over(cue.slow_mm, 910, true);
        if (!sat_up_step(&sat, (double)i / RATE_HZ, over, &stretch)) {
            continue;
        }
        int which = -1;
        for (int u = 0; u < ups; u++) {
            which = stretch.from_s < to_s[u] && stretch.to_s > from_s[u] ? u : which;
        }
        all->found += which >= 0;
        all->added += which < 0;
        if (which >= 0) {
            all->off_s += fabs(stretch.from_s - from_s[which]) + fabs(stretch.to_s - to_s[which]);
        }
    }
}

static void sat_up_row(const char *name, int ups, long hours, uint64_t seed)
{
    struct random_source random;
    struct sitting all = {0};
    random_seed(&random, seed + 300 + (uint64_t)ups);
    for (long i = 0; i < hours; i++) {
        hour(&random, ups, &all);
    }
    printf("| %-26s | %5ld | %5ld | %5ld | %5ld | %5.2f |\n", name, all.hours, all.ups, all.found,
           all.added, all.found > 0 ? all.off_s / (2.0 * (double)all.found) : 0.0);
}

int main(int argc, char **argv)
{
    int64_t riders = 1000, seed = 20250101;
    if ((argc > 1 && (!text_to_int64(argv[1], &riders) || riders < 1)) ||
        (argc > 2 && !text_to_int64(argv[2], &seed))) {
        fprintf(stderr, "usage: practice [RIDERS [SEED]]\n");
        return 2;
    }
    printf("%lld riders a row, seed %lld: base share .4 to .8, tests apart by an SD of .3 to .6 "
           "logits from day to day and by\nthe chance of %d blocks, a gain that comes with a "
           "time constant of 3 to 10 sessions. What is said after the last\nsession; 'better' "
           "said after any of them; bases that rise all the way.\n\n"
           "| riders                         | better | worse  | none   | cannot | ever   | rises  "
           "|\n"
           "| ------------------------------ | ------ | ------ | ------ | ------ | ------ | ------ "
           "|\n",
           (long long)riders, (long long)seed, TEST_BLOCKS);
    for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
        progress_row(r, (long)riders, (uint64_t)seed);
    }
    printf("\nHow long it was kept, a line through its logarithm: 2 min at first, cut off at 8. "
           "Shares of values cut off, of\nriders with a line, of 95 %% intervals of the growth "
           "that hold it, and of those of the normal distribution.\n\n"
           "| sessions | SD   | growth | cut off  | line   | holds  | normal |\n"
           "| -------- | ---- | ------ | -------- | ------ | ------ | ------ |\n");
    for (size_t r = 0; r < sizeof lines / sizeof lines[0]; r++) {
        line_row(r, (long)riders, (uint64_t)seed);
    }
    printf("\nPieces of ten sessions of six, begun at 30 s: the length that is kept in half of the "
           "times, where the rule would\nsettle, the pieces of the tenth session, and how many "
           "of them were kept.\n\n"
           "| half kept | settles | tenth       | kept  |\n"
           "| --------- | ------- | ----------- | ----- |\n");
    lengths((long)riders, (uint64_t)seed);
    printf(
        "\nSitting up, found by the head in hours with 30 looks ahead each: those that there were, "
        "found, and more; begin and\nend off by, in s.\n\n"
        "| rider                      | hours | times | found | more  | off s |\n"
        "| -------------------------- | ----- | ----- | ----- | ----- | ----- |\n");
    sat_up_row("steady, looks ahead", 0, (long)riders / 5, (uint64_t)seed);
    sat_up_row("sits up 8 times an hour", 8, (long)riders / 5, (uint64_t)seed);
    return EXIT_SUCCESS;
}
