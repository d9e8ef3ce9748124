/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_step.h"

#include "measure/rules.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BLOCK_PARTS 4 /* a step is looked for at quarters of a block */

/* A gain for a change of coefficient by information, where no smaller one than least is meant. */
static double gain_at_least(double coefficient, double information, double least)
{
    double missing = fmax(0.0, least - fabs(coefficient));
    return information * (coefficient * coefficient - missing * missing);
}

/* The whitened series, and what any column loses to the level. */
struct scan {
    struct noise_filter filter;
    double value[NOISE_BLOCKS_MAX], level[NOISE_BLOCKS_MAX];
    double level_level, level_value;
};

static void scan_begin(const struct hold_fit *fit, struct scan *scan)
{
    size_t n = fit->blocks.count;
    noise_filter_make(&fit->blocks, &fit->noise, &scan->filter);
    noise_whiten(&scan->filter, n, fit->blocks.value_mm, 0, scan->value);
    noise_whiten(&scan->filter, n, fit->column[FIT_LEVEL], 0, scan->level);
    scan->level_level = scan->level_value = 0.0;
    for (size_t i = 0; i < n; i++) {
        scan->level_level += scan->level[i] * scan->level[i];
        scan->level_value += scan->level[i] * scan->value[i];
    }
}

/* Sums of products of a whitened column with itself, the level and the series. */
struct sums {
    double self, level, value;
};

static struct sums sums_of(const struct scan *scan, const double *column, size_t from, size_t n)
{
    struct sums sums = {0};
    for (size_t i = from; i < n; i++) {
        sums.self += column[i] * column[i];
        sums.level += column[i] * scan->level[i];
        sums.value += column[i] * scan->value[i];
    }
    return sums;
}

static double gain_of(const struct scan *scan, const struct sums *sums, double least)
{
    double information = sums->self - sums->level * sums->level / scan->level_level;
    double projected = sums->value - sums->level * scan->level_value / scan->level_level;
    return information > 1e-9 ? gain_at_least(projected / information, information, least) : 0.0;
}

struct step_place {
    size_t block;
    double after; /* share of that block behind the step */
    double gain;
};

static struct step_place find_step(const struct hold_fit *fit, const struct scan *scan)
{
    size_t n = fit->blocks.count, edge = (size_t)ceil(STEP_EDGE_S / fit->blocks.block_s);
    double white[2][NOISE_BLOCKS_MAX];
    struct sums next = {0};
    struct step_place best = {.gain = 0.0};
    assert(edge > 0 && n > edge); /* a stretch of less is not taken (hold_fit_take) */
    for (size_t block = n - edge; block >= edge; block--) {
        double *now = white[block % 2], *then = white[(block + 1) % 2], both = 0.0;
        bool has_next = next.self > 0.0;
        noise_whiten(&scan->filter, n, fit->column[FIT_LEVEL], block, now);
        struct sums sums = sums_of(scan, now, block, n);
        for (size_t i = block + 1; has_next && i < n; i++) {
            both += now[i] * then[i];
        }
        for (int part = has_next ? 1 : BLOCK_PARTS; part <= BLOCK_PARTS; part++) {
            double after = (double)part / BLOCK_PARTS, before = 1.0 - after;
            struct sums mixed = {
                .self = after * after * sums.self + 2.0 * after * before * both +
                        before * before * next.self,
                .level = after * sums.level + before * next.level,
                .value = after * sums.value + before * next.value,
            };
            double gain = gain_of(scan, &mixed, STEP_LEAST_MM);
            if (gain > best.gain) {
                best = (struct step_place){block, after, gain};
            }
        }
        next = sums;
    }
    return best;
}

/* The short excursion that explains most: first block and how many. */
struct glance_place {
    size_t first, count;
    double gain;
};

static struct glance_place find_glance(const struct hold_fit *fit, const struct scan *scan)
{
    size_t n = fit->blocks.count;
    struct glance_place best = {.gain = 0.0};
    double box[NOISE_BLOCKS_MAX], white[NOISE_BLOCKS_MAX];
    size_t longest = (size_t)(GLANCE_MOST_S / fit->blocks.block_s);
    for (size_t first = 0; first < n; first++) {
        memset(box, 0, sizeof box);
        for (size_t count = 1; count <= longest && first + count <= n; count++) {
            box[first + count - 1] = 1.0;
            noise_whiten(&scan->filter, n, box, first, white);
            struct sums sums = sums_of(scan, white, first, n);
            double gain = gain_of(scan, &sums, 0.0);
            if (gain > best.gain) {
                best = (struct glance_place){first, count, gain};
            }
        }
    }
    return best;
}

static void leave_out(const struct glance_place *glance, struct noise_blocks *blocks)
{
    size_t first = glance->first > 0 ? glance->first - 1 : 0;
    for (size_t i = first; i <= glance->first + glance->count && i < blocks->count; i++) {
        blocks->there[i] = 0;
        blocks->value_mm[i] = 0.0;
    }
}

void hold_step_column(const struct hold_model *model, struct hold_fit *fit)
{
    fit->has_step = model->stepped;
    for (size_t i = 0; model->stepped && i < fit->blocks.count; i++) {
        double after = (double)(i + 1) - model->step_at_s / fit->blocks.block_s;
        fit->column[FIT_STEP][i] = fmin(1.0, fmax(0.0, after));
    }
}

/* What the step brings beside what the added column explains already. */
static double gain_of_step_beside(struct hold_fit *fit)
{
    struct noise_regression with, without;
    double alone = hold_fit_gain(fit, 0.0, &without);
    fit->has_step = true;
    double both = hold_fit_gain(fit, 0.0, &with);
    fit->has_step = false;
    return both - alone;
}

/* Whether the model's step is more than a beginning that settles or a line taken for one. */
static bool is_step(struct hold_fit *fit, double dearer, const struct hold_model *model)
{
    struct noise_regression regression;
    struct settling_shape shape;
    hold_step_column(model, fit);
    fit->has_step = false;
    hold_fit_settling(fit, (double)INFINITY, &regression, &shape);
    if (gain_of_step_beside(fit) < STEP_BESIDE + dearer) {
        return false;
    }
    hold_fit_line(fit);
    return gain_of_step_beside(fit) >= STEP_BESIDE + dearer;
}

/* A look up and back that explains more is left out, and looked again. */
bool hold_step_look(struct hold_fit *fit, double dearer, struct hold_model *model)
{
    struct scan *scan = malloc(sizeof *scan);
    bool done = scan != NULL;
    for (int glances = 0; done && glances <= GLANCES_MOST; glances++) {
        scan_begin(fit, scan);
        struct step_place place = find_step(fit, scan);
        if (place.gain < MODEL_PROMISING * STEP_FOUND) {
            break;
        }
        for (size_t i = 0; i < fit->blocks.count; i++) {
            fit->column[FIT_ADDED][i] = i > place.block    ? 1.0
                                        : i == place.block ? place.after
                                                           : 0.0;
        }
        struct noise_regression regression;
        double gain = hold_fit_gain(fit, 0.0, &regression);
        double step_mm = regression.coefficient[FIT_ADDED], se = regression.se[FIT_ADDED];
        double missing = fmax(0.0, STEP_LEAST_MM - fabs(step_mm)) / se;
        if (gain - missing * missing < STEP_FOUND + dearer) {
            break;
        }
        struct glance_place glance = find_glance(fit, scan);
        if (glance.gain > place.gain && glances < GLANCES_MOST) {
            leave_out(&glance, &fit->blocks);
            done = hold_fit_base(fit);
            continue;
        }
        model->stepped = true;
        model->step_mm = step_mm;
        model->step_at_s = ((double)place.block + 1.0 - place.after) * fit->blocks.block_s;
        model->stepped = is_step(fit, dearer, model);
        break;
    }
    free(scan);
    return done;
}

bool hold_step_look_in_stretch(const struct series *series, const struct hold_stretch *stretch,
                               double duration_s, struct hold_fit *fit, struct hold_model *model)
{
    bool done = true;
    struct hold_model here = {.stepped = false};
    if (hold_fit_take(series, stretch, stretch->from_s, fit)) {
        double dearer = 2.0 * log(duration_s / (STEP_STRETCH_S / 2.0));
        done = hold_fit_base(fit) && hold_step_look(fit, dearer, &here);
    }
    if (here.stepped && !(fabs(here.step_mm) <= fabs(model->step_mm))) {
        model->stepped = true;
        model->step_mm = here.step_mm;
        model->step_at_s = stretch->from_s + here.step_at_s;
    }
    return done;
}

bool hold_step_look_in_stretches(const struct series *series, struct hold_fit *fit,
                                 struct hold_model *model)
{
    bool done = true, last = false;
    for (int half = 0; done && !last; half++) {
        double from_s = half * STEP_STRETCH_S / 2.0;
        last = from_s + STEP_STRETCH_S >= series->duration_s;
        from_s = last ? series->duration_s - STEP_STRETCH_S : from_s;
        const struct hold_stretch stretch = {from_s, from_s + STEP_STRETCH_S};
        done = hold_step_look_in_stretch(series, &stretch, series->duration_s, fit, model);
    }
    return done;
}

bool hold_step_in_stretches(double duration_s)
{
    return duration_s > STEP_STRETCH_S * 1.5;
}
