/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_ANALYSIS_THREE_SETUPS_H
#define HOLDLINE_TESTS_ANALYSIS_THREE_SETUPS_H

#include "analysis/analysis.h"
#include "support/bikes.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>

/* Three setups on one build each, the pads at 55, 45 and 40 mm, the head at 900, 890 and 885: a
 * millimetre lower for each. */

enum { HEAD = 0, CHEST = 1, SETUPS = 3 };

static struct session_record *record;
static struct analysis *analysis;
static struct bike_limits limits;

static inline void set_up(void)
{
    static const double pad_mm[SETUPS] = {55.0, 45.0, 40.0};
    record = calloc(1, sizeof *record);
    analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->setup_count = record->build_count = SETUPS;
    analysis->channel_count = 2;
    bike_limits_clear(&limits);
    limits.least[BIKE_PAD_RISE] = 0.0;
    for (int s = 0; s < SETUPS; s++) {
        record->setup[s].number = s + 1;
        record->setup[s].bike = usual_bike();
        record->setup[s].bike.value[BIKE_PAD_RISE] = pad_mm[s];
        record->build[s].setup = s;
        analysis->free_holds[s] = 3;
    }
    for (int c = 0; c < 2; c++) {
        struct comparison *heights = &analysis->free_heights[c];
        analysis->body[c] = true;
        heights->setup_count = SETUPS;
        heights->has_repeatability = true;
        heights->repeatability_df = 6;
        for (int s = 0; s < SETUPS; s++) {
            heights->setup[s] = (struct setup_estimate){.holds = 3,
                                                        .tied = true,
                                                        .has_interval = true,
                                                        .mean = 845.0 + pad_mm[s] - 150.0 * c,
                                                        .standard_error = 0.5,
                                                        .df = 6};
        }
    }
}

static inline void tear_down(void)
{
    analysis_destroy(analysis);
    free(record);
}

static inline struct insight_suggestion suggested(int setup)
{
    struct insight_suggestion suggestion;
    insight_make(record, analysis);
    insight_suggest(record, analysis, setup, &limits, &suggestion);
    return suggestion;
}

static inline void numb(int setup)
{
    struct rating_record *rating = &record->rating[record->rating_count++];
    for (int item = 0; item < RATING_ITEMS; item++) {
        rating->value[item] = (double)NAN;
    }
    rating->setup = setup;
    rating->value[RATING_NUMB_HANDS] = ANSWER_YES;
}

#endif
