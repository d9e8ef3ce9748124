/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/drag.h"

#include "analysis/drag_course.h"
#include "drag_lengths.h"
#include "drag_rolling.h"
#include "drag_setups.h"

#include "measure/residual_force.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

/* ---- what the day lacks ----------------------------------------------------------------------
 */

static enum drag_lack find_lack(const struct session_record *record)
{
    double density;
    const struct run_record any = {.at_min = NAN};
    if (record->drag.course == COURSE_NOT_SAID) {
        return DRAG_LACKS_COURSE;
    }
    if (!(record->drag.mass_kg > 0.0)) {
        return DRAG_LACKS_MASS;
    }
    return drag_density_at(record, &any, &density) ? DRAG_LACKS_NOTHING : DRAG_LACKS_AIR;
}

static void find_withheld(const struct session_record *record, struct drag_analysis *drag)
{
    drag->wind_said_m_per_s = NAN;
    for (int a = 0; a < record->air_count; a++) {
        drag->wind_said_m_per_s = fmax(drag->wind_said_m_per_s, record->air[a].wind_m_per_s);
    }
    drag->withheld = DRAG_WITHHELD_NOT;
    if (record->drag.course == COURSE_LAPS && !record->drag.indoors) {
        drag->withheld = isnan(drag->wind_said_m_per_s) ? DRAG_WITHHELD_WIND_NOT_SAID
                         : drag->wind_said_m_per_s > DRAG_LAP_WIND_MOST ? DRAG_WITHHELD_WIND
                                                                        : DRAG_WITHHELD_NOT;
    }
}

/* ---- legs ------------------------------------------------------------------------------------
 */

/* What was worked out is used only where a rider can have it. */
static enum drag_leg_state state_of(enum measure_status status, double drag_m2)
{
    return status != MEASURE_OK                                ? DRAG_LEG_NO_FORCE
           : drag_m2 < DRAG_LEAST_M2 || drag_m2 > DRAG_MOST_M2 ? DRAG_LEG_NO_RIDER
                                                               : DRAG_LEG_USED;
}

static void work_lap(const struct session_record *record, int leg, double density,
                     struct drag_analysis *drag)
{
    struct drag_leg_result *result = &drag->leg[leg];
    enum measure_status status =
        drag_of_lap(&record->leg[leg].sums, &drag->rider, density, &result->drag_m2);
    result->wind_m_per_s = 0.0;
    result->state = state_of(status, result->drag_m2);
}

static void work_pair(const struct session_record *record, int out, int back, double density,
                      struct drag_analysis *drag)
{
    struct drag_pair pair = {NAN, NAN};
    const struct drag_leg there = drag_leg_on_course(record, out);
    const struct drag_leg again = drag_leg_on_course(record, back);
    enum measure_status status = drag_of_pair(&there, &again, &drag->rider, density, &pair);
    enum drag_leg_state state = state_of(status, pair.drag_m2);
    if (state == DRAG_LEG_USED && !record->drag.indoors &&
        fabs(pair.wind_m_per_s) > DRAG_PAIR_WIND_MOST) {
        state = DRAG_LEG_WINDY;
    }
    drag->leg[out] = (struct drag_leg_result){
        .state = state, .drag_m2 = pair.drag_m2, .wind_m_per_s = pair.wind_m_per_s};
    drag->leg[back] = (struct drag_leg_result){
        .state = state, .drag_m2 = pair.drag_m2, .wind_m_per_s = -pair.wind_m_per_s};
}

static void work_legs(const struct session_record *record, int run, double density,
                      struct drag_analysis *drag)
{
    bool laps = record->drag.course == COURSE_LAPS;
    for (int l = 0; l < record->leg_count; l++) {
        const struct leg_record *leg = &record->leg[l];
        if (leg->run != run || leg->left_out) {
            continue;
        }
        int back = laps || leg->back ? -1 : drag_way_back(record, l);
        if (laps) {
            work_lap(record, l, density, drag);
        } else if (back >= 0 && !record->leg[back].left_out) {
            work_pair(record, l, back, density, drag);
        }
    }
}

static void start_legs(const struct session_record *record, struct drag_analysis *drag)
{
    for (int l = 0; l < record->leg_count; l++) {
        drag->leg[l] = (struct drag_leg_result){
            .state = record->leg[l].left_out            ? DRAG_LEG_LEFT_OUT
                     : drag->lack != DRAG_LACKS_NOTHING ? DRAG_LEG_NOT_WORKED
                                                        : DRAG_LEG_ALONE,
            .drag_m2 = NAN,
            .wind_m_per_s = NAN,
        };
    }
}

/* ---- runs ------------------------------------------------------------------------------------
 */

struct gathered {
    struct drag_value value[DRAG_RUN_VALUES_MAX];
    size_t count;
    double length_m, speed, squared, wind, wind_before;
};

static void gather(const struct session_record *record, int l, struct drag_analysis *drag,
                   struct gathered *all, struct drag_run_result *run)
{
    const struct drag_leg *sums = &record->leg[l].sums;
    struct drag_leg_result *result = &drag->leg[l];
    run->legs_used++;
    all->length_m += sums->length_m;
    all->speed += sums->speed_m_per_s * sums->length_m;
    all->squared += sums->speed_squared * sums->length_m;
    if (record->leg[l].back || all->count >= DRAG_RUN_VALUES_MAX) {
        return; /* the pair counts once, with its way out */
    }
    int back = record->drag.course == COURSE_LAPS ? -1 : drag_way_back(record, l);
    double length_m = sums->length_m + (back >= 0 ? record->leg[back].sums.length_m : 0.0);
    all->value[all->count++] = (struct drag_value){result->drag_m2, length_m};
    all->wind += result->wind_m_per_s;
    if (back >= 0) {
        bool gusty = isfinite(all->wind_before) && !record->drag.indoors &&
                     fabs(result->wind_m_per_s - all->wind_before) > DRAG_PAIR_WIND_APART;
        result->gusty = drag->leg[back].gusty = gusty;
        run->gusty = run->gusty || gusty;
        all->wind_before = result->wind_m_per_s;
        double apart = fabs(sums->length_m - record->leg[back].sums.length_m);
        result->uneven = drag->leg[back].uneven = apart > DRAG_WAYS_APART * 0.5 * length_m;
    }
}

static void work_run(const struct session_record *record, int r, struct drag_analysis *drag)
{
    const struct run_record *of = &record->run[r];
    struct drag_run_result *run = &drag->run[r];
    struct gathered all = {.wind_before = NAN};
    *run = (struct drag_run_result){.density_kg_per_m3 = NAN,
                                    .speed_m_per_s = NAN,
                                    .speed_squared = NAN,
                                    .wind_m_per_s = NAN,
                                    .leg_length_m = NAN,
                                    .residual_sd_n = NAN};
    bool lacks = drag->lack != DRAG_LACKS_NOTHING;
    if (!lacks) {
        drag_density_at(record, of, &run->density_kg_per_m3); /* that there is none is a lack */
        work_legs(record, r, run->density_kg_per_m3, drag);
    }
    for (int l = 0; l < record->leg_count; l++) {
        if (record->leg[l].run == r) {
            run->legs++;
            if (drag->leg[l].state == DRAG_LEG_USED) {
                gather(record, l, drag, &all, run);
            }
        }
    }
    bool some = drag_run_mean_of(all.value, all.count, &run->mean) == MEASURE_OK;
    if (some) {
        run->speed_m_per_s = all.speed / all.length_m;
        run->speed_squared = all.squared / all.length_m;
        run->leg_length_m = all.length_m / run->legs_used;
        run->wind_m_per_s =
            record->drag.course == COURSE_LAPS ? (double)NAN : all.wind / (double)all.count;
    }
    run->state = of->rejected                               ? DRAG_RUN_REJECTED
                 : lacks                                    ? DRAG_RUN_LACKS
                 : !some                                    ? DRAG_RUN_NO_LEGS
                 : of->speed_from == RIDE_SOURCE_SATELLITES ? DRAG_RUN_SATELLITES
                 : of->steps                                ? DRAG_RUN_STEPS
                                                            : DRAG_RUN_COUNTS;
}

/* ---- residual force ---------------------------------------------------------------------------
 */

double drag_residual_of(const struct session_record *record, const struct drag_analysis *drag,
                        int leg, int piece)
{
    const struct leg_record *of = &record->leg[leg];
    const struct leg_piece *at = &of->piece[piece];
    const struct drag_run_result *run = &drag->run[of->run];
    const struct drag_leg_result *result = &drag->leg[leg];
    bool pair = record->drag.course == COURSE_OUT_AND_BACK && isfinite(result->wind_m_per_s);
    if (run->mean.count == 0) {
        return NAN;
    }
    double speed = at->speed_m_per_s;
    const struct drag_leg sums = {
        .length_m = of->piece_m,
        .work_j = at->work_j,
        .speed_m_per_s = speed,
        .speed_squared = speed * speed,
        .in_m_per_s = piece > 0 ? of->piece[piece - 1].out_m_per_s : of->sums.in_m_per_s,
        .out_m_per_s = at->out_m_per_s,
        .climb_m = drag_grade_of(record, leg) * of->piece_m,
    };
    return drag_piece_residual_n(&sums, &drag->rider, run->mean.drag_m2,
                                 pair ? result->wind_m_per_s : 0.0, run->density_kg_per_m3);
}

double drag_piece_place_m(const struct session_record *record, int leg, double pieces)
{
    const struct leg_record *of = &record->leg[leg];
    double from_begin = pieces * of->piece_m;
    return of->back ? of->sums.length_m - from_begin : from_begin;
}

#define LAPS_FOR_SD 60 /* enough for a spread */

static bool is_used(const struct session_record *record, int r, const struct drag_analysis *drag,
                    int leg)
{
    return record->leg[leg].run == r && drag->leg[leg].state == DRAG_LEG_USED;
}

/* What is left along a lap, piece by piece; how many pieces. */
static size_t left_along(const struct session_record *record, const struct drag_analysis *drag,
                         int leg, double residual[LEG_PIECES_MAX])
{
    for (int p = 0; p < record->leg[leg].piece_count; p++) {
        residual[p] = drag_residual_of(record, drag, leg, p);
    }
    return (size_t)record->leg[leg].piece_count;
}

static void find_residual_sd(const struct session_record *record, int r, struct drag_analysis *drag)
{
    double residual[LAPS_FOR_SD][LEG_PIECES_MAX];
    const double *laps[LAPS_FOR_SD];
    size_t count[LAPS_FOR_SD], used = 0;
    for (int l = 0; l < record->leg_count && used < LAPS_FOR_SD; l++) {
        if (is_used(record, r, drag, l)) {
            count[used] = left_along(record, drag, l, residual[used]);
            laps[used] = residual[used];
            used++;
        }
    }
    if (drag_residual_sd(laps, count, used, &drag->run[r].residual_sd_n) != MEASURE_OK) {
        drag->run[r].residual_sd_n = NAN;
    }
}

static void find_what_leaves(const struct session_record *record, int r, struct drag_analysis *drag)
{
    for (int l = 0; l < record->leg_count; l++) {
        if (is_used(record, r, drag, l)) {
            struct drag_leg_result *leg = &drag->leg[l];
            double residual[LEG_PIECES_MAX];
            size_t at = 0, count = left_along(record, drag, l, residual);
            leg->leaves = drag_residual_leaves(residual, count, drag->run[r].residual_sd_n, &at,
                                               &leg->leaves_n);
            leg->leaves_piece = (int)at;
        }
    }
}

double drag_usual_speed(const struct session_record *record, const struct drag_analysis *drag)
{
    double sum = 0.0;
    int count = 0;
    for (int r = 0; r < record->run_count; r++) {
        if (drag->run[r].state == DRAG_RUN_COUNTS) {
            sum += drag->run[r].speed_m_per_s;
            count++;
        }
    }
    return count > 0 ? sum / count : (double)NAN;
}

double drag_usual_m2(const struct drag_analysis *drag)
{
    double sum = 0.0;
    int count = 0;
    for (int s = 0; s < drag->compare.setup_count; s++) {
        if (drag->compare.setup[s].holds > 0) {
            sum += drag->compare.setup[s].mean;
            count++;
        }
    }
    return count > 0 ? sum / count : (double)NAN;
}

void drag_make(const struct session_record *record, struct drag_analysis *drag)
{
    drag->runs = record->run_count;
    drag->lack = find_lack(record);
    find_withheld(record, drag);
    drag->matters_m2 = record->drag.matters_m2 > 0.0 ? record->drag.matters_m2 : DRAG_MATTERS_M2;
    drag->rider = drag_usual_rider(record->drag.mass_kg);
    drag_rolling_make(record, drag);
    start_legs(record, drag);
    for (int r = 0; r < record->run_count; r++) {
        work_run(record, r, drag);
        find_residual_sd(record, r, drag);
        find_what_leaves(record, r, drag);
    }
    drag_lengths_find(record, drag);
    drag_compare(record, drag);
}
