/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* `make study`: do proposed bands keep their promise? Captures as in targets.c, the bands proposed
 * from them, and the cue replayed on a fresh hold of the same rider. Prints the table that
 * docs/measures.md takes over.
 *
 *     bands [RIDERS [SEED]]      1000 a row, seed 20250101 */
#include "measure/simulated_bands.h"

#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>

static const struct {
    struct target_rider rider;
    bool head;
} rows[] = {
    {{"first model, head", .wander_from_s = 1, .wander_to_s = 8}, true},
    {{"first model, chest", .wander_from_s = 1, .wander_to_s = 8}, false},
    {{"second model, head", .sway = true, .channel = SWAY_HEAD}, true},
    {{"second model, chest", .sway = true, .channel = SWAY_CHEST}, false},
};
#define ROWS (sizeof rows / sizeof rows[0])

static void print_row(const char *rider, const char *promised, const struct band_counts *n)
{
    char cells[4][24];
    double all = n->proposals > 0 ? (double)n->proposals : 1.0;
    text_from_double(cells[0], 24, n->promised / all, 2);
    text_from_double(cells[1], 24, n->found / all, 2);
    text_from_double(cells[2], 24, n->promised_in_share / all, 3);
    text_from_double(cells[3], 24, n->found_in_share / all, 3);
    printf("| %-19s | %-10s | %5ld | %8s | %5s | %8s | %5s |\n", rider, promised, n->proposals,
           cells[0], cells[1], cells[2], cells[3]);
    fflush(stdout);
}

int main(int argc, char **argv)
{
    int64_t riders = 1000, seed = 20250101;
    if ((argc > 1 && (!text_to_int64(argv[1], &riders) || riders < 1)) ||
        (argc > 2 && !text_to_int64(argv[2], &seed))) {
        fprintf(stderr, "usage: bands [RIDERS [SEED]]\n");
        return 2;
    }
    printf("%lld riders a row, seed %lld: cues a minute promised and found in a fresh hold of %.0f "
           "s, and the share in the band, by the\nwords beside the band, and of the one that is "
           "suggested.\n\n"
           "| riders              | band       | bands | promised | found | in band  | found |\n"
           "| ------------------- | ---------- | ----- | -------- | ----- | -------- | ----- |\n",
           (long long)riders, (long long)seed, BAND_FRESH_S);
    for (size_t r = 0; r < ROWS; r++) {
        struct band_counts counts[BAND_CLASSES], suggested;
        struct random_source random;
        memset(counts, 0, sizeof counts);
        memset(&suggested, 0, sizeof suggested);
        random_seed(&random, (uint64_t)seed + r);
        for (int64_t i = 0; i < riders; i++) {
            count_bands(&random, &rows[r].rider, rows[r].head, counts, &suggested);
        }
        for (int c = 0; c < BAND_CLASSES; c++) {
            print_row(rows[r].rider.name, band_words[c], &counts[c]);
        }
        print_row(rows[r].rider.name, "suggested", &suggested);
    }
    return EXIT_SUCCESS;
}
