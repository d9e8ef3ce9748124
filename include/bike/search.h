/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_SEARCH_H
#define HOLDLINE_BIKE_SEARCH_H

#include "bike/geometry.h"
#include "bike/parts.h"

/* From coordinates to the nearest combinations of the parts at hand (docs/place.md). */
struct place_goal {
    struct point
        target; /* of the pad reference point; of the bar clamp where the bike has no pads */
    double weight_x_mm, weight_y_mm; /* an error of this much counts 1: usually 1 and 1 */
    double
        change_cost; /* what one more changed part (stem, spacers, rise, fore-aft, roll) counts */
};

struct place_proposal {
    struct bike_values bike;
    struct point at;
    double error_x_mm, error_y_mm, error_mm; /* at minus target */
    int changed_parts;
    double cost;
};

#define PROPOSALS_MAX 20
#define SEARCH_MOST 10000000.0

struct place_search {
    int count;
    struct place_proposal proposal[PROPOSALS_MAX]; /* best first */
    double tried, left_out;                        /* combinations; those that pass a limit */
};

/* The best most (up to PROPOSALS_MAX) of all combinations of parts on this bike; measures with no
 * parts listed stay as they are on it. None passes a limit. False where measures are missing, the
 * list is too long (SEARCH_MOST) or every combination passes a limit: the sentence says which. */
bool place_find(const struct bike_values *bike, const struct parts_at_hand *parts,
                const struct place_goal *goal, int most, struct place_search *search,
                struct problem *problem);

#endif
