/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "drag_setups.h"

#include "drag_lengths.h"

#include "measure/distribution.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

/* A mean of what is known of it. */
struct mean {
    double sum;
    int count;
};

static void mean_add(struct mean *mean, double value)
{
    if (isfinite(value)) {
        mean->sum += value;
        mean->count++;
    }
}

static double mean_of(const struct mean *mean)
{
    return mean->count > 0 ? mean->sum / mean->count : (double)NAN;
}

static void gather_setup(const struct session_record *record, int s, struct drag_analysis *drag)
{
    struct drag_setup_result *setup = &drag->setup[s];
    struct mean value = {0}, speed = {0}, squared = {0}, density = {0}, length = {0};
    struct mean power = {0}, heart = {0}, effort = {0};
    memset(setup, 0, sizeof *setup);
    for (int r = 0; r < record->run_count; r++) {
        const struct run_record *of = &record->run[r];
        const struct drag_run_result *run = &drag->run[r];
        if (of->setup != s || of->steps) {
            continue;
        }
        if (run->state != DRAG_RUN_COUNTS) {
            setup->left_out++;
            continue;
        }
        setup->runs++;
        mean_add(&value, run->mean.drag_m2);
        mean_add(&speed, run->speed_m_per_s);
        mean_add(&squared, run->speed_squared);
        mean_add(&length, run->leg_length_m);
        mean_add(&density, run->density_kg_per_m3);
        mean_add(&power, of->power_w);
        mean_add(&heart, of->heart_per_min);
        mean_add(&effort, of->effort);
    }
    setup->few = setup->runs > 0 && setup->runs < DRAG_RUNS_MIN;
    setup->drag_m2 = mean_of(&value);
    setup->speed_m_per_s = mean_of(&speed);
    setup->speed_squared = mean_of(&squared);
    setup->leg_length_m = mean_of(&length);
    setup->density_kg_per_m3 = mean_of(&density);
    setup->power_w = mean_of(&power);
    setup->heart_per_min = mean_of(&heart);
    setup->effort = mean_of(&effort);
    setup->level_half_width_m2 = NAN;
}

static void find_unlike(const struct drag_analysis *drag, int baseline,
                        struct drag_setup_result *setup)
{
    const struct drag_setup_result *first = &drag->setup[baseline];
    if (setup->runs > 0 && first->runs > 0 &&
        drag_speeds_are_unlike(setup->speed_m_per_s, first->speed_m_per_s)) {
        setup->unlike = true;
        setup->unlike_m2 =
            drag_unlike_speeds_m2(&drag->rider, drag->rolling.u_rolling, first->density_kg_per_m3,
                                  setup->speed_squared, first->speed_squared);
    }
}

/* The level: what all runs share, and how well the mean of this setup's is known, in quadrature. */
static void find_level(const struct drag_analysis *drag, int s, struct drag_setup_result *setup)
{
    const struct setup_estimate *estimate = &drag->compare.setup[s];
    if (setup->runs == 0) {
        return;
    }
    double mean = estimate->has_interval ? estimate->mean : setup->drag_m2;
    setup->level = drag_level_of(&drag->rider, drag->rolling.u_rolling, mean, setup->speed_m_per_s,
                                 setup->density_kg_per_m3);
    double shared = normal_quantile(INTERVAL_HIGH) * setup->level.together * mean;
    if (estimate->has_interval) {
        setup->level_half_width_m2 = hypot(shared, estimate->half_width);
    }
}

/* Numbers stay; what is said of them does not. */
static void withhold(struct drag_analysis *drag)
{
    for (int s = 0; s < drag->compare.setup_count; s++) {
        struct setup_difference *d = &drag->compare.difference[s];
        if (drag->withheld != DRAG_WITHHELD_NOT && d->verdict != VERDICT_NONE) {
            *d = (struct setup_difference){.verdict = VERDICT_NOT_COMPARABLE};
        }
    }
}

void drag_compare(const struct session_record *record, struct drag_analysis *drag)
{
    struct compare_hold runs[RUNS_MAX];
    struct compare_build builds[SETUPS_MAX];
    int count = 0, baseline = session_record_baseline(record);
    memset(&drag->compare, 0, sizeof drag->compare);
    drag->compare.status = MEASURE_TOO_FEW;
    for (int s = 0; s < record->setup_count; s++) {
        gather_setup(record, s, drag);
    }
    for (int s = 0; s < record->setup_count; s++) {
        find_unlike(drag, baseline, &drag->setup[s]);
        drag_lengths_compare(record, drag, baseline, &drag->setup[s]);
        builds[s] = (struct compare_build){
            .setup = s,
            .tied = true,
            .u_build = hypot(drag->setup[s].unlike_m2, drag->setup[s].wheel_m2),
            .position_group = s,
            .session = s};
    }
    for (int r = 0; r < record->run_count; r++) {
        int s = record->run[r].setup;
        if (drag->run[r].state == DRAG_RUN_COUNTS && !drag->setup[s].few) {
            runs[count++] = (struct compare_hold){.setup = s,
                                                  .build = s,
                                                  .order = record->run[r].number,
                                                  .value = drag->run[r].mean.drag_m2};
        }
    }
    struct compare_input input = {
        .holds = runs,
        .hold_count = count,
        .builds = builds,
        .build_count = record->setup_count,
        .setup_count = record->setup_count,
        .baseline = baseline,
        .matters = drag->matters_m2,
        .higher_is_up = true,
        .nothing_usual = true,
    };
    if (record->setup_count > 0) {
        compare_setups(&input, &drag->compare);
    }
    for (int s = 0; s < drag->compare.setup_count; s++) {
        drag->compare.difference[s].first_setup = record->setup[0].number;
    }
    withhold(drag);
    for (int s = 0; s < record->setup_count; s++) {
        find_level(drag, s, &drag->setup[s]);
    }
}
