/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* `make study`: are targets known as well as they say? Captures that end by the program's own rule,
 * of riders of both models; the truth is the rider's level. Prints the tables that
 * docs/measures.md takes over.
 *
 *     targets [CAPTURES [SEED]]      1000 a row, seed 20250101 */
#include "measure/simulated_targets.h"

#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>

static double of_100(long part, long all)
{
    return 100.0 * (double)part / (double)(all > 0 ? all : 1);
}

static void cell(double value, int width, int decimals)
{
    char text[24];
    text_from_double(text, sizeof text, value, decimals);
    printf(" %*s |", width, text);
}

static void print_rest(const struct target_counts *n)
{
    cell(n->half_width_mm / (double)n->intervals, 5, 1);
    cell(sqrt(n->squares / (double)n->intervals), 5, 2);
    cell(n->seconds / (double)n->captures, 4, 0);
    cell(of_100(n->known, n->captures), 5, 0);
    cell(of_100(n->not_settled, n->captures), 7, 1);
    printf("\n");
    fflush(stdout);
}

static const struct target_rider rows[] = {
    {"wander of 1 s", .wander_from_s = 1, .wander_to_s = 1},
    {"wander of 2 s", .wander_from_s = 2, .wander_to_s = 2},
    {"wander of 4 s", .wander_from_s = 4, .wander_to_s = 4},
    {"wander of 8 s", .wander_from_s = 8, .wander_to_s = 8},
    {"wander of 1 to 8 s", .wander_from_s = 1, .wander_to_s = 8, .by_end = true},
    {"1 to 8 s, 4 % in gaps", .wander_from_s = 1, .wander_to_s = 8, .gap_share = 0.04},
    {"1 to 8 s, settles 15 mm in 5 s", .wander_from_s = 1, .wander_to_s = 8, .unsettled_mm = 15},
    {"second model, head", .sway = true, .channel = SWAY_HEAD},
    {"second model, chest", .sway = true, .channel = SWAY_CHEST},
    {"second model, both together", .sway = true, .channel = -1, .by_end = true},
};
#define ROWS (sizeof rows / sizeof rows[0])
enum { WANTED = 3 };

int main(int argc, char **argv)
{
    int64_t captures = 1000, seed = 20250101;
    if ((argc > 1 && (!text_to_int64(argv[1], &captures) || captures < 1)) ||
        (argc > 2 && !text_to_int64(argv[2], &seed))) {
        fprintf(stderr, "usage: targets [CAPTURES [SEED]]\n");
        return 2;
    }
    static const double wanted_mm[WANTED] = {2.0, 3.0, 5.0};
    static struct target_counts counts[ROWS][WANTED], at[ROWS][WANTED][TARGET_BINS];
    printf(
        "%lld captures a row, seed %lld. Of 100 intervals so many hold the rider's level, wanted "
        "to 2, 3 and 5 mm; of those to\n3 mm the mean half-width and the root mean square error "
        "in mm, the mean length in s, how many of 100 were known to 3 mm,\nand had not settled "
        "at the end.\n\n"
        "| riders                         | 2 mm  | 3 mm  | 5 mm  | +- mm | error | s    | "
        "known | not set |\n"
        "| ------------------------------ | ----- | ----- | ----- | ----- | ----- | ---- | "
        "----- | ------- |\n",
        (long long)captures, (long long)seed);
    for (size_t r = 0; r < ROWS; r++) {
        printf("| %-30s |", rows[r].name);
        for (int w = 0; w < WANTED; w++) {
            struct random_source random;
            random_seed(&random, (uint64_t)seed + r);
            for (int64_t i = 0; i < captures; i++) {
                count_target(&random, &rows[r], wanted_mm[w], &counts[r][w], at[r][w]);
            }
            cell(of_100(counts[r][w].covered, counts[r][w].intervals), 5, 1);
        }
        print_rest(&counts[r][1]);
    }
    printf("\nTo 3 mm, by when the capture ended.\n\n"
           "| riders                         | ends at  | intervals | cover | +- mm | error | s    "
           "| known | not set |\n"
           "| ------------------------------ | -------- | --------- | ----- | ----- | ----- | ---- "
           "| ----- | ------- |\n");
    for (size_t r = 0; r < ROWS; r++) {
        for (int b = 0; b < TARGET_BINS && rows[r].by_end; b++) {
            const struct target_counts *n = &at[r][1][b];
            printf("| %-30s | %d to %d | %9ld |", rows[r].name, 30 + 10 * b, 39 + 10 * b,
                   n->intervals);
            cell(of_100(n->covered, n->intervals), 5, 1);
            print_rest(n);
        }
    }
    return EXIT_SUCCESS;
}
