/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* `make study`: how long a band was kept. Hours of riders who only sway, and of riders who rise.
 * Prints the table that docs/measures.md takes over.
 *
 *     hours [HOURS [SEED]]      200 a row, seed 20250101 */
#include "measure/simulated_hours.h"

#include "base/text.h"
#include "measure/statistics.h"

#include <stdio.h>
#include <stdlib.h>

static const struct hour_row rows[] = {
    {"sways, band of 6 mm", HOUR_SWAYS, 6.0, 0.0},
    {"sways, band of 7 mm", HOUR_SWAYS, 7.0, 0.0},
    {"sways, band of 8 mm", HOUR_SWAYS, 8.0, 0.0},
    {"first model, chest", HOUR_FIRST_MODEL, 0.0, 0.0},
    {"second model, head", HOUR_SECOND_HEAD, 0.0, 0.0},
    {"second model, chest", HOUR_SECOND_CHEST, 0.0, 0.0},
    {"sways, 7 mm, rises by 8 mm", HOUR_SWAYS, 7.0, 8.0},
    {"sways, 7 mm, rises by 12 mm", HOUR_SWAYS, 7.0, 12.0},
    {"sways, 7 mm, rises by 20 mm", HOUR_SWAYS, 7.0, 20.0},
    {"first model, rises by 20 mm", HOUR_FIRST_MODEL, 0.0, 20.0},
    {"second, head, rises by 20 mm", HOUR_SECOND_HEAD, 0.0, 20.0},
    {"second, chest, rises by 20 mm", HOUR_SECOND_CHEST, 0.0, 20.0},
};
#define ROWS (sizeof rows / sizeof rows[0])

static int by_value(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static const char *clock_of(double seconds, char text[24])
{
    int whole = (int)(seconds + 0.5);
    snprintf(text, 24, "%d:%02d", whole / 60, whole % 60);
    return text;
}

static void run_row(const struct hour_row *row, int64_t hours, uint64_t seed)
{
    double *lost_s = malloc((size_t)hours * sizeof *lost_s), share = 0.0, kept_s = 0.0;
    long ridden = 0, lost = 0, early = 0, to_the_end = 0;
    char cells[5][24] = {"-", "-", "-", "-", "-"};
    struct random_source random;
    random_seed(&random, seed);
    for (int64_t i = 0; lost_s != NULL && i < hours; i++) {
        struct hold_summary summary;
        if (!hour_ride(&random, row, &summary)) {
            continue;
        }
        ridden++;
        share += summary.in_band_share;
        if (summary.sustain_reached) {
            early += row->rise_mm > 0.0 && summary.sustain_s < HOUR_RISE_FROM_S;
            lost_s[lost++] = summary.sustain_s;
        } else {
            to_the_end += summary.sustain_s > HOUR_S - SUSTAIN_BLOCK_S;
            kept_s += summary.sustain_s;
        }
    }
    if (lost > 0) {
        qsort(lost_s, (size_t)lost, sizeof *lost_s, by_value);
        clock_of(lost_s[lost / 2], cells[0]);
        clock_of(lost_s[lost / 20], cells[1]);
        clock_of(lost_s[lost - 1 - lost / 20], cells[2]);
    }
    text_from_double(cells[3], 24, ridden > 0 ? share / (double)ridden : 0.0, 3);
    if (ridden > lost) {
        clock_of(kept_s / (double)(ridden - lost), cells[4]);
    }
    printf("| %-29s | %5ld | %7s | %4ld | %5ld | %7s | %7s | %7s | %10ld | %8s |\n", row->name,
           ridden, cells[3], lost, early, cells[0], cells[1], cells[2], to_the_end, cells[4]);
    fflush(stdout);
    free(lost_s);
}

int main(int argc, char **argv)
{
    int64_t hours = 200, seed = 20250101;
    if ((argc > 1 && (!text_to_int64(argv[1], &hours) || hours < 1)) ||
        (argc > 2 && !text_to_int64(argv[2], &seed))) {
        fprintf(stderr, "usage: hours [HOURS [SEED]]\n");
        return 2;
    }
    printf("%lld hours a row, seed %lld: share in the band, hours in which it is said to be lost "
           "(of those that rise from minute 20 on:\nbefore that), when (median, 5 and 95 of 100); "
           "of the others, kept to the end, and how long at least on average.\n\n"
           "| rider                         | hours | in band | lost | early | at      | from    | "
           "to      | to the end | at least |\n"
           "| ----------------------------- | ----- | ------- | ---- | ----- | ------- | ------- | "
           "------- | ---------- | -------- |\n",
           (long long)hours, (long long)seed);
    for (size_t r = 0; r < ROWS; r++) {
        run_row(&rows[r], hours, (uint64_t)seed + r);
    }
    return EXIT_SUCCESS;
}
