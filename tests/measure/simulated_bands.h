/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MEASURE_SIMULATED_BANDS_H
#define HOLDLINE_TESTS_MEASURE_SIMULATED_BANDS_H

#include "simulated_targets.h"

#include "measure/band.h"

/* Bands proposed from invented captures, and what a cue with them says in fresh holds of the same
 * riders at their level. */
enum { BAND_CLASSES = 6 };

/* By the word; the last are all that are told to be too narrow. */
static const char *const band_words[BAND_CLASSES] = {"tight", "firm",       "usual",
                                                     "loose", "very loose", "narrow"};

static inline int band_class(const char *words)
{
    for (int c = 0; c < BAND_CLASSES; c++) {
        if (strncmp(words, band_words[c], strlen(band_words[c])) == 0) {
            return c;
        }
    }
    return strncmp(words, "too narrow", 10) == 0 ? BAND_CLASSES - 1 : BAND_CLASSES - 2;
}

struct band_counts {
    long proposals;
    double promised, found;                   /* sums of cues a minute */
    double promised_in_share, found_in_share; /* sums */
};

#define BAND_FRESH_S 300.0

/* A fresh hold of the rider drawn last by target_capture. */
static inline struct hold_input fresh_hold(struct random_source *random,
                                           const struct target_drawn *drawn)
{
    static struct simulated hold;
    static struct sway_hold sway_hold;
    if (drawn->sway) {
        struct sway_plan plan = {.seconds = BAND_FRESH_S,
                                 .rate_hz = TARGET_RATE_HZ,
                                 .level_mm = {TARGET_LEVEL_MM, TARGET_LEVEL_MM}};
        sway_hold_make(random, &drawn->sway_rider, &plan, &sway_hold);
        return sway_input(&sway_hold, drawn->channel);
    }
    struct rider settled = drawn->rider;
    settled.unsettled_mm = settled.unsettled_s = 0.0;
    simulate_hold(random, &settled, TARGET_LEVEL_MM, BAND_FRESH_S, TARGET_RATE_HZ, &hold);
    return simulated_input(&hold);
}

static inline void count_bands(struct random_source *random, const struct target_rider *rider,
                               bool head, struct band_counts counts[BAND_CLASSES],
                               struct band_counts *suggested)
{
    static struct target_estimate estimate;
    struct band_proposal proposals[BAND_PROPOSALS_MAX];
    struct hold_input inputs[2];
    struct target_drawn drawn;
    struct target_settings settings = target_usual();
    struct cue_settings cue = cue_usual(head);
    target_capture(random, rider, &drawn, inputs);
    double elapsed_s = target_run(inputs, 1, &settings, &estimate);
    struct hold_input capture = target_part(&inputs[0], elapsed_s);
    int count = band_propose(&capture, estimate.height_mm,
                             head ? BAND_FLOOR_HEAD_MM : BAND_FLOOR_MM, &cue, proposals);
    struct hold_input fresh = fresh_hold(random, &drawn);
    for (int i = 0; i < count; i++) {
        struct hold_settings replay = {
            .has_target = true, .target_mm = estimate.height_mm, .has_band = true, .cue = cue};
        struct hold_summary found;
        int c = band_class(proposals[i].words);
        replay.cue.band_above_mm = proposals[i].above_mm;
        replay.cue.band_below_mm = proposals[i].below_mm;
        hold_summarise(&fresh, &replay, &found);
        struct band_counts *to[2] = {&counts[c], proposals[i].suggested ? suggested : NULL};
        for (int k = 0; k < 2 && to[k] != NULL; k++) {
            to[k]->proposals++;
            to[k]->promised += proposals[i].cues_per_min;
            to[k]->found += found.cues_per_min;
            to[k]->promised_in_share += proposals[i].in_band_share;
            to[k]->found_in_share += found.in_band_share;
        }
    }
}

#endif
