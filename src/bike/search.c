/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/search.h"

#include <math.h>

/* What is gone through in one dimension. */
struct steps {
    int count;
    const double *value;
    double stays; /* the bike's own, where nothing is listed */
};

static struct steps steps_of(const struct part_values *values, const struct bike_values *bike,
                             enum bike_key key)
{
    struct steps steps = {values->count, values->value, bike_value(bike, key)};
    return steps;
}

static int step_count(const struct steps *steps)
{
    return steps->count > 0 ? steps->count : 1;
}

static double step_value(const struct steps *steps, int index)
{
    return steps->count > 0 ? steps->value[index] : steps->stays;
}

static bool differs(const struct bike_values *a, const struct bike_values *b, enum bike_key key)
{
    double from = bike_value(a, key), to = bike_value(b, key);
    return !(from == to || (isnan(from) && isnan(to)));
}

static int changed_parts(const struct bike_values *from, const struct bike_values *to)
{
    bool stem = differs(from, to, BIKE_STEM_LENGTH) || differs(from, to, BIKE_STEM_ANGLE) ||
                differs(from, to, BIKE_STEM_CLAMP_HEIGHT);
    return stem + differs(from, to, BIKE_SPACERS) + differs(from, to, BIKE_PAD_RISE) +
           differs(from, to, BIKE_PAD_FORE_AFT) + differs(from, to, BIKE_BAR_ROLL);
}

/* Costs that differ by rounding alone count as equal; then fewer changes, then the order of the
 * list. */
static bool better(const struct place_proposal *a, const struct place_proposal *b)
{
    if (fabs(a->cost - b->cost) > 1e-9) {
        return a->cost < b->cost;
    }
    return a->changed_parts < b->changed_parts;
}

static void keep(struct place_search *search, int most, const struct place_proposal *proposal)
{
    int at = search->count;
    if (at == most) {
        if (!better(proposal, &search->proposal[at - 1])) {
            return;
        }
        at--;
    } else {
        search->count++;
    }
    while (at > 0 && better(proposal, &search->proposal[at - 1])) {
        search->proposal[at] = search->proposal[at - 1];
        at--;
    }
    search->proposal[at] = *proposal;
}

struct walk {
    const struct bike_values *bike;
    const struct parts_at_hand *parts;
    const struct place_goal *goal;
    int most;
    bool pads;
    struct steps rise, fore_aft;
    struct place_search *search;
};

static void try_pads(struct walk *walk, struct place_proposal *proposal, const struct point *clamp,
                     double roll_deg)
{
    const struct place_goal *goal = walk->goal;
    struct bike_values *bike = &proposal->bike;
    for (int i = 0; i < step_count(&walk->rise); i++) {
        for (int j = 0; j < step_count(&walk->fore_aft); j++) {
            struct point pad = {0.0, 0.0};
            walk->search->tried++;
            if (walk->pads) {
                bike->value[BIKE_PAD_RISE] = step_value(&walk->rise, i);
                bike->value[BIKE_PAD_FORE_AFT] = step_value(&walk->fore_aft, j);
                pad = point_turned(bike->value[BIKE_PAD_FORE_AFT], bike->value[BIKE_PAD_RISE],
                                   roll_deg);
            }
            if (bike_limits_passed(&walk->parts->limits, bike, NULL, 0) > 0) {
                walk->search->left_out++;
                continue;
            }
            proposal->at = (struct point){clamp->x_mm + pad.x_mm, clamp->y_mm + pad.y_mm};
            proposal->error_x_mm = proposal->at.x_mm - goal->target.x_mm;
            proposal->error_y_mm = proposal->at.y_mm - goal->target.y_mm;
            proposal->error_mm = hypot(proposal->error_x_mm, proposal->error_y_mm);
            proposal->changed_parts = changed_parts(walk->bike, bike);
            proposal->cost = hypot(proposal->error_x_mm / goal->weight_x_mm,
                                   proposal->error_y_mm / goal->weight_y_mm) +
                             goal->change_cost * proposal->changed_parts;
            keep(walk->search, walk->most, proposal);
        }
    }
}

bool place_find(const struct bike_values *bike, const struct parts_at_hand *parts,
                const struct place_goal *goal, int most, struct place_search *search,
                struct problem *problem)
{
    struct steps spacers = steps_of(&parts->spacers, bike, BIKE_SPACERS);
    struct steps roll = steps_of(&parts->bar_roll, bike, BIKE_BAR_ROLL);
    struct walk walk = {.bike = bike, .parts = parts, .goal = goal, .search = search};
    walk.rise = steps_of(&parts->pad_rise, bike, BIKE_PAD_RISE);
    walk.fore_aft = steps_of(&parts->pad_fore_aft, bike, BIKE_PAD_FORE_AFT);
    bool rise = !isnan(step_value(&walk.rise, 0)), fore_aft = !isnan(step_value(&walk.fore_aft, 0));
    *search = (struct place_search){0};
    walk.most = most < 1 ? 1 : most > PROPOSALS_MAX ? PROPOSALS_MAX : most;
    if (rise != fore_aft) {
        return problem_set(problem,
                           "a place of the pads needs %s: on the bike or in the list of parts",
                           rise ? "pad fore-aft" : "pad rise");
    }
    walk.pads = rise; /* both or none */
    int stems = parts->stem_count > 0 ? parts->stem_count : 1;
    double all = (double)stems * step_count(&spacers) * step_count(&roll) * step_count(&walk.rise) *
                 step_count(&walk.fore_aft);
    if (all > SEARCH_MOST) {
        return problem_set(problem,
                           "%.0f combinations are too many (%.0f at most): take wider steps", all,
                           SEARCH_MOST);
    }
    for (int s = 0; s < stems; s++) {
        struct place_proposal proposal = {.bike = *bike};
        if (parts->stem_count > 0) {
            proposal.bike.value[BIKE_STEM_LENGTH] = parts->stem[s].length_mm;
            proposal.bike.value[BIKE_STEM_ANGLE] = parts->stem[s].angle_deg;
            if (!isnan(parts->stem[s].clamp_height_mm)) {
                proposal.bike.value[BIKE_STEM_CLAMP_HEIGHT] = parts->stem[s].clamp_height_mm;
            }
        }
        for (int p = 0; p < step_count(&spacers); p++) {
            proposal.bike.value[BIKE_SPACERS] = step_value(&spacers, p);
            for (int r = 0; r < step_count(&roll); r++) {
                struct bike_points points;
                proposal.bike.value[BIKE_BAR_ROLL] =
                    parts->bar_roll.count > 0 ? step_value(&roll, r) : bike->value[BIKE_BAR_ROLL];
                if (!bike_forward(&proposal.bike, &points, problem)) {
                    return false;
                }
                try_pads(&walk, &proposal, &points.clamp, step_value(&roll, r));
            }
        }
    }
    if (search->count == 0) {
        return problem_set(problem,
                           "each of the %.0f combinations of these parts passes a limit entered",
                           search->tried);
    }
    return true;
}
