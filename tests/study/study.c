/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* `make study`: how often do the tool's intervals and verdicts hold? Invented sessions with a known
 * truth, from readings to verdicts: each hold is a simulated minute at 50 readings a second, riders
 * are drawn anew for each session (wander of 1.5 to 4 mm over 1 to 8 s, breathing 0.2 to 0.7 Hz,
 * hold-to-hold SD 2 to 6 mm). Prints a table that docs/measures.md takes over.
 *
 *     study [SESSIONS [SEED]]      1000 sessions a condition, seed 20250101 */
#include "measure/simulated_session.h"

#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define USUAL_RIDERS .hold_sd_low_mm = 2, .hold_sd_high_mm = 6
#define PLAN "AA|BB|CC|AA"
#define THREE "AAA|BBB|CCC|AAA"

static const double b_restless[] = {0.5, 2, 0.5, 1, 1, 1}; /* of the rider's SD */

static const struct condition conditions[] = {
    {.name = "equal, carrier fixed", .design = PLAN, USUAL_RIDERS},
    {.name = "equal, plate 1 mm", .design = PLAN, .tie_own_mm = 1, USUAL_RIDERS},
    {.name = "equal, tape 2 mm", .design = PLAN, .tie_own_mm = 2, USUAL_RIDERS},
    {.name = "equal, from parts 2.5 mm",
     .design = PLAN,
     .tie_own_mm = 0.3,
     .tie_common_mm = 2.5,
     USUAL_RIDERS},
    {.name = "equal, B not tied, off by 20 mm",
     .design = PLAN,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .untied = true},
    {.name = "6 mm lower, plate",
     .design = PLAN,
     .difference_mm = -6,
     .tie_own_mm = 1,
     USUAL_RIDERS},
    {.name = "6 mm lower, tape",
     .design = PLAN,
     .difference_mm = -6,
     .tie_own_mm = 2,
     USUAL_RIDERS},
    {.name = "6 mm lower, from parts",
     .design = PLAN,
     .difference_mm = -6,
     .tie_own_mm = 0.3,
     .tie_common_mm = 2.5,
     USUAL_RIDERS},
    {.name = "10 mm lower, plate",
     .design = PLAN,
     .difference_mm = -10,
     .tie_own_mm = 1,
     USUAL_RIDERS},
    {.name = "20 mm lower, plate",
     .design = PLAN,
     .difference_mm = -20,
     .tie_own_mm = 1,
     USUAL_RIDERS},
    {.name = "equal, three holds a build",
     .design = "AAA|BBB|CCC|AAA",
     .tie_own_mm = 1,
     USUAL_RIDERS},
    {.name = "10 mm lower, four holds a build",
     .design = "AAAA|BBBB|CCCC|AAAA",
     .difference_mm = -10,
     .tie_own_mm = 1,
     USUAL_RIDERS},
    {.name = "equal, falls 2 mm a hold",
     .design = PLAN,
     .tie_own_mm = 1,
     .fatigue_mm = -2,
     USUAL_RIDERS},
    {.name = "equal, 4 % in gaps, 1 % outliers",
     .design = PLAN,
     .tie_own_mm = 1,
     .gap_share = 0.04,
     .outlier_share = 0.01,
     USUAL_RIDERS},
    {.name = "equal, builds differ by 1.5 mm",
     .design = PLAN,
     .tie_own_mm = 1,
     .rebuild_mm = 1.5,
     USUAL_RIDERS},
    {.name = "the same, everything built twice",
     .design = "AA|BB|CC|AA|BB|CC",
     .tie_own_mm = 1,
     .rebuild_mm = 1.5,
     USUAL_RIDERS},
    {.name = "equal, no return to the first", .design = "AA|BB", .tie_own_mm = 1, USUAL_RIDERS},
    {.name = "the same, falls 2 mm a hold",
     .design = "AA|BB",
     .tie_own_mm = 1,
     .fatigue_mm = -2,
     USUAL_RIDERS},
    {.name = "equal, holds of 2 min and 25 s",
     .design = PLAN,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .lengths = "lslslsls"},
    {.name = "equal, A 2 min, B and C 25 s",
     .design = PLAN,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .lengths = "llssssll"},
    {.name = "10 mm lower, A 2 min, B, C 25 s",
     .design = PLAN,
     .difference_mm = -10,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .lengths = "llssssll"},
    {.name = "equal, the same, repeats to 1 mm",
     .design = PLAN,
     .hold_sd_low_mm = 1,
     .hold_sd_high_mm = 1,
     .lengths = "llssssll"},
    {.name = "10 mm lower, the same",
     .design = PLAN,
     .difference_mm = -10,
     .hold_sd_low_mm = 1,
     .hold_sd_high_mm = 1,
     .lengths = "llssssll"},
    /* as the program proposes: three holds of 30 s a build, at the cost of two of a minute */
    {.name = "equal, three holds of 30 s",
     .design = THREE,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .lengths = "hhhhhhhhhhhh"},
    {.name = "10 mm lower, three of 30 s",
     .design = THREE,
     .difference_mm = -10,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .lengths = "hhhhhhhhhhhh"},
    {.name = "15 mm lower, three of 30 s",
     .design = THREE,
     .difference_mm = -15,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .lengths = "hhhhhhhhhhhh"},
    /* riders who do not repeat alike */
    {.name = "equal, SDs of 0.5 to 2 times",
     .design = PLAN,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .spread_times = 2},
    {.name = "the same, three holds a build",
     .design = THREE,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .spread_times = 2},
    {.name = "equal, B 4 times A and C, three",
     .design = THREE,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .spread = b_restless},
    {.name = "equal, re-sits from t of 3 df",
     .design = PLAN,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .heavy_tails = true},
    /* earlier sessions of the rider, whose SD changes by a quarter from day to day */
    {.name = "equal, 3 earlier sessions",
     .design = PLAN,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .earlier = 3,
     .day_log_sd = 0.25},
    {.name = "10 mm lower, 1 earlier session",
     .design = PLAN,
     .difference_mm = -10,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .earlier = 1,
     .day_log_sd = 0.25},
    {.name = "10 mm lower, 3 earlier sessions",
     .design = PLAN,
     .difference_mm = -10,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .earlier = 3,
     .day_log_sd = 0.25},
    {.name = "10 mm lower, three holds a build",
     .design = THREE,
     .difference_mm = -10,
     .tie_own_mm = 1,
     USUAL_RIDERS},
    /* three setups and the return, an hour: holds as the program asks for them */
    {.name = "equal, an hour as planned",
     .design = "ABCA",
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .minutes = 60},
    {.name = "10 mm lower, an hour as planned",
     .design = "ABCA",
     .difference_mm = -10,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .minutes = 60},
    {.name = "15 mm lower, an hour as planned",
     .design = "ABCA",
     .difference_mm = -15,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .minutes = 60},
    {.name = "10 mm lower, 38 min as planned",
     .design = "ABCA",
     .difference_mm = -10,
     .tie_own_mm = 1,
     USUAL_RIDERS,
     .minutes = 38},
};

static void cell(double value, int width, bool known)
{
    char text[24];
    text_from_double(text, sizeof text, value, 3);
    printf(" %*s |", width, known ? text : "-");
}

static void print_row(const struct condition *condition, const struct counts *n)
{
    long verdicts = 0;
    char half[24], advice[24];
    for (int v = VERDICT_NOT_COMPARABLE; v <= VERDICT_CANNOT_TELL; v++) {
        verdicts += n->verdicts[v];
    }
    printf("| %-32s |", condition->name);
    cell(share(n->hold_covered, n->hold_intervals), 5, n->hold_intervals > 0);
    cell(share(n->setup_covered, n->setup_intervals), 5, n->setup_intervals > 0);
    cell(share(n->families_covered, n->families), 5, n->families > 0);
    text_from_double(
        half, sizeof half,
        n->difference_half_width / (double)(n->difference_intervals + !n->difference_intervals), 1);
    printf(" %5s |", half);
    cell(share(n->equal_false, n->equal_sessions), 5, n->equal_sessions > 0);
    cell(share(n->found, n->different), 5, n->different > 0);
    cell(share(n->wrong_sign, n->different), 5, n->different > 0);
    cell(share(n->verdicts[VERDICT_CANNOT_TELL], verdicts), 6, true);
    cell(share(n->verdicts[VERDICT_NOT_COMPARABLE], verdicts), 6, true);
    text_from_double(advice, sizeof advice, share(n->advice_holds, n->cannot_tell), 1);
    printf(" %6s |", n->cannot_tell > 0 ? advice : "-");
    cell(share(n->settled, n->cannot_tell), 7, n->cannot_tell > 0);
    printf("\n");
    fflush(stdout);
}

/* Equal weights, as the verdict has them, beside the second opinion that weighs each hold. */
static void print_second(const struct condition *condition, const struct counts *n)
{
    char half[24], error[24], second_half[24], second_error[24];
    double all = (double)n->difference_intervals, seconds = (double)n->seconds;
    text_from_double(half, sizeof half, n->difference_half_width / all, 1);
    text_from_double(error, sizeof error, sqrt(n->difference_squares / all), 2);
    text_from_double(second_half, sizeof second_half, n->second_half_width / seconds, 1);
    text_from_double(second_error, sizeof second_error, sqrt(n->second_squares / seconds), 2);
    printf("| %-32s |", condition->name);
    cell(share(n->families_covered, n->families), 5, true);
    printf(" %5s | %5s |", half, error);
    cell(share(n->second_covered, n->seconds), 8, true);
    printf(" %5s | %5s |\n", second_half, second_error);
}

#define CONDITIONS (sizeof conditions / sizeof conditions[0])

int main(int argc, char **argv)
{
    int64_t sessions = 1000, seed = 20250101;
    if ((argc > 1 && (!text_to_int64(argv[1], &sessions) || sessions < 1)) ||
        (argc > 2 && !text_to_int64(argv[2], &seed))) {
        fprintf(stderr, "usage: study [SESSIONS [SEED]]\n");
        return 2;
    }
    printf("%lld sessions a condition, seed %lld, D = %.0f mm. Shares of: 95 %% intervals that "
           "hold the truth (hold,\n"
           "setup; all differences of a session together) with the differences' mean half-width in "
           "mm; sessions in which an\n"
           "equal setup is said to differ (false); setups that differ called rightly (found) or "
           "the wrong way "
           "round (wrong); comparisons\n"
           "with 'cannot tell yet' and 'not comparable'; the holds of each that 'cannot tell yet' "
           "asks for, on average, and\n"
           "the share that they do settle.\n\n",
           (long long)sessions, (long long)seed, SIMULATED_D_MM);
    printf("| condition                        | hold  | setup | diff. | +- mm | false | found | "
           "wrong | cannot | not c. "
           "| asks   | settles |\n"
           "| -------------------------------- | ----- | ----- | ----- | ----- | ----- | ----- | "
           "----- | ------ | ------ "
           "| ------ | ------- |\n");
    static struct counts counts[CONDITIONS];
    const char *row = getenv("ROW");
    for (size_t c = 0; c < CONDITIONS; c++) {
        struct random_source random;
        if (row != NULL && row[0] != '\0' && strstr(conditions[c].name, row) == NULL) {
            continue;
        }
        random_seed(&random, (uint64_t)seed + c);
        for (int64_t i = 0; i < sessions; i++) {
            count_session(&random, &conditions[c], true, &counts[c]);
        }
        print_row(&conditions[c], &counts[c]);
    }
    printf("\nHolds that differ much in length: coverage of the differences' intervals, mean "
           "half-width and root mean square\nerror in mm, with equal weights and with each hold "
           "weighted by how well its mean is known.\n\n"
           "| condition                        | equal | +- mm | error | weighted | +- mm | error "
           "|\n"
           "| -------------------------------- | ----- | ----- | ----- | -------- | ----- | ----- "
           "|\n");
    for (size_t c = 0; c < CONDITIONS; c++) {
        if (counts[c].seconds > 0) {
            print_second(&conditions[c], &counts[c]);
        }
    }
    return EXIT_SUCCESS;
}
