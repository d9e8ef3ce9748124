/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_model.h"

#include "measure/block.h"
#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BLOCK_PARTS 4 /* a step is looked for at quarters of a block */
#define GLANCES_MOST 6
#define LEVEL 0 /* the columns */
#define ADDED 1
#define STEP 2

/* A part of a hold. */
struct stretch {
    double from_s, to_s;
};

/* What one fit works with. */
struct work {
    struct noise_blocks blocks;
    struct noise noise; /* of level and step alone */
    double misfit;
    double column[NOISE_COLUMNS_MAX][NOISE_BLOCKS_MAX];
    bool has_step;
    double mean_mm; /* taken off the blocks */
    double dearer;  /* what a step must bring beyond the usual: it is looked for in many places */
};

/* The first sample at or after a time. */
static size_t sample_at(const struct series *series, double at_s)
{
    size_t from = 0, to = series->count;
    while (from < to) {
        size_t middle = from + (to - from) / 2;
        if (series->time_s[middle] < at_s) {
            from = middle + 1;
        } else {
            to = middle;
        }
    }
    return from;
}

/* Blocks of a stretch; those before from_s are not there. */
static bool take_stretch(const struct series *series, const struct stretch *stretch, double from_s,
                         struct work *work)
{
    struct noise_blocks *blocks = &work->blocks;
    struct block made[NOISE_BLOCKS_MAX];
    double duration_s = stretch->to_s - stretch->from_s, rate_hz = series->expected_rate_hz;
    size_t first = sample_at(series, stretch->from_s);
    memset(work, 0, sizeof *work);
    blocks->block_s =
        fmax(fmax(MODEL_BLOCK_S, 1.0 / rate_hz), duration_s / (double)MODEL_BLOCKS_MOST);
    blocks->count = (size_t)(duration_s / blocks->block_s + 1e-6);
    double least = fmax(1.0, BLOCK_SHARE_MIN * rate_hz * blocks->block_s), sum = 0.0;
    size_t count =
        blocks_make(series->time_s + first, series->height_mm + first, series->count - first,
                    stretch->from_s, stretch->to_s, blocks->block_s, least, made, NOISE_BLOCKS_MAX);
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        if (made[i].index < blocks->count &&
            stretch->from_s + (double)made[i].index * blocks->block_s >= from_s - 1e-6) {
            blocks->there[made[i].index] = 1;
            blocks->value_mm[made[i].index] = made[i].mean;
            sum += made[i].mean;
            kept++;
        }
    }
    work->mean_mm = sum / fmax((double)kept, 1.0);
    for (size_t i = 0; i < blocks->count; i++) {
        blocks->value_mm[i] = blocks->there[i] ? blocks->value_mm[i] - work->mean_mm : 0.0;
        work->column[LEVEL][i] = 1.0;
    }
    return (double)kept * blocks->block_s >= 0.5 * SETTLED_BLOCKS_MIN * BLOCK_LENGTH_S;
}

static bool take_blocks(const struct series *series, double from_s, struct work *work)
{
    const struct stretch whole = {0.0, series->duration_s};
    return take_stretch(series, &whole, from_s, work);
}

/* Level, what is tried where added, and the step where there is one. */
static int columns_of(const struct work *work, bool added, const double **columns)
{
    int count = 0;
    columns[count++] = work->column[LEVEL];
    if (added) {
        columns[count++] = work->column[ADDED];
    }
    if (work->has_step) {
        columns[count++] = work->column[STEP];
    }
    return count;
}

static bool fit_base(struct work *work)
{
    const double *columns[NOISE_COLUMNS_MAX];
    struct noise_regression regression;
    noise_usual(&work->blocks, &work->noise);
    work->blocks.breathing_hz = noise_breathing_hz(&work->blocks);
    bool done = noise_fit(&work->blocks, columns, columns_of(work, false, columns), &work->noise,
                          &regression);
    work->misfit = regression.misfit;
    return done;
}

/* By how much the likelihood grows when the added column is let in and the noise fitted anew. Where
 * the noise as it is promises little, that is enough to know. */
static double gain_of_added(const struct work *work, double promising,
                            struct noise_regression *regression)
{
    const double *columns[NOISE_COLUMNS_MAX];
    struct noise noise = work->noise;
    int count = columns_of(work, true, columns);
    noise_regress(&work->blocks, &noise, columns, count, regression);
    double gain = work->misfit - regression->misfit;
    if (gain < promising || !noise_fit(&work->blocks, columns, count, &noise, regression)) {
        return gain;
    }
    return fmax(gain, work->misfit - regression->misfit);
}

/* ---- settling and lines -------------------------------------------------------------------- */

static void line_column(struct work *work)
{
    for (size_t i = 0; i < work->blocks.count; i++) {
        work->column[ADDED][i] = ((double)i + 0.5) / (double)work->blocks.count - 0.5;
    }
}

struct shape {
    double seconds; /* time constant, or when it is over */
    enum settling_way way;
};
static const struct shape shapes[] = {
    {3.0, SETTLES_EXPONENTIALLY},  {5.0, SETTLES_EXPONENTIALLY},  {8.0, SETTLES_EXPONENTIALLY},
    {12.0, SETTLES_EXPONENTIALLY}, {20.0, SETTLES_EXPONENTIALLY}, {15.0, SETTLES_EVENLY},
    {20.0, SETTLES_EVENLY},        {25.0, SETTLES_EVENLY},        {30.0, SETTLES_EVENLY},
    {2.5, SETTLES_AT_ONCE},        {5.0, SETTLES_AT_ONCE},        {7.5, SETTLES_AT_ONCE},
};
enum { SHAPES = sizeof shapes / sizeof shapes[0] };

static void settling_column(struct work *work, const struct shape *shape)
{
    for (size_t i = 0; i < work->blocks.count; i++) {
        double part = ((double)i + 0.5) * work->blocks.block_s / shape->seconds;
        work->column[ADDED][i] = shape->way == SETTLES_EXPONENTIALLY ? exp(-part)
                                 : shape->way == SETTLES_EVENLY      ? fmax(0.0, 1.0 - part)
                                                                     : part < 1.0;
    }
}

/* Of the shape that brings most with the noise as it is. */
static double gain_of_settling(struct work *work, double promising,
                               struct noise_regression *regression, struct shape *shape)
{
    double best = -(double)INFINITY;
    for (int i = 0; i < SHAPES; i++) {
        settling_column(work, &shapes[i]);
        double gain = gain_of_added(work, (double)INFINITY, regression) -
                      (shapes[i].way == SETTLES_EXPONENTIALLY ? 0.0 : SETTLING_OTHERWISE);
        if (gain > best) {
            best = gain;
            *shape = shapes[i];
        }
    }
    settling_column(work, shape);
    return gain_of_added(work, promising, regression);
}

static void look_for_settling(struct work *work, struct hold_model *model)
{
    struct noise_regression regression;
    struct shape shape;
    double gain = gain_of_settling(work, MODEL_PROMISING * SETTLING_FOUND, &regression, &shape);
    if (gain < SETTLING_FOUND) {
        return;
    }
    model->settling = true;
    model->settling_s = shape.seconds;
    model->settling_way = shape.way;
    model->settling_mm = regression.coefficient[ADDED];
    model->level_mm = work->mean_mm + regression.coefficient[LEVEL];
    model->level_se_mm = regression.se[LEVEL];
    line_column(work);
    double line = gain_of_added(work, 0.0, &regression);
    model->line_instead = line >= gain + LINE_INSTEAD;
    model->line_as_well = line >= gain - LINE_AS_WELL;
}

double hold_model_settled_s(const struct hold_model *model, double left_mm)
{
    double share = fmin(1.0, left_mm / fabs(model->settling_mm));
    switch (model->settling_way) {
    case SETTLES_EXPONENTIALLY:
        return model->settling_s * -log(share);
    case SETTLES_EVENLY:
        return model->settling_s * (1.0 - share);
    case SETTLES_AT_ONCE:
        break;
    }
    return model->settling_s;
}

/* ---- steps --------------------------------------------------------------------------------- */

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

static void scan_begin(const struct work *work, struct scan *scan)
{
    size_t n = work->blocks.count;
    noise_filter_make(&work->blocks, &work->noise, &scan->filter);
    noise_whiten(&scan->filter, n, work->blocks.value_mm, 0, scan->value);
    noise_whiten(&scan->filter, n, work->column[LEVEL], 0, scan->level);
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

static struct step_place find_step(const struct work *work, const struct scan *scan)
{
    size_t n = work->blocks.count, edge = (size_t)ceil(STEP_EDGE_S / work->blocks.block_s);
    double white[2][NOISE_BLOCKS_MAX];
    struct sums next = {0};
    struct step_place best = {.gain = 0.0};
    for (size_t block = n > edge ? n - edge : 0; block >= edge && block > 0; block--) {
        double *now = white[block % 2], *then = white[(block + 1) % 2], both = 0.0;
        bool has_next = next.self > 0.0;
        noise_whiten(&scan->filter, n, work->column[LEVEL], block, now);
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

static struct glance_place find_glance(const struct work *work, const struct scan *scan)
{
    size_t n = work->blocks.count;
    struct glance_place best = {.gain = 0.0};
    double box[NOISE_BLOCKS_MAX], white[NOISE_BLOCKS_MAX];
    size_t longest = (size_t)(GLANCE_MOST_S / work->blocks.block_s);
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

static void step_column(const struct hold_model *model, struct work *work)
{
    work->has_step = model->stepped;
    for (size_t i = 0; model->stepped && i < work->blocks.count; i++) {
        double after = (double)(i + 1) - model->step_at_s / work->blocks.block_s;
        work->column[STEP][i] = fmin(1.0, fmax(0.0, after));
    }
}

/* What the step brings beside what the added column explains already. */
static double gain_of_step_beside(struct work *work)
{
    struct noise_regression with, without;
    double alone = gain_of_added(work, 0.0, &without);
    work->has_step = true;
    double both = gain_of_added(work, 0.0, &with);
    work->has_step = false;
    return both - alone;
}

/* Whether the model's step is more than a beginning that settles or a line taken for one. */
static bool is_step(struct work *work, struct hold_model *model)
{
    struct noise_regression regression;
    struct shape shape;
    step_column(model, work);
    work->has_step = false;
    gain_of_settling(work, (double)INFINITY, &regression, &shape);
    settling_column(work, &shape);
    if (gain_of_step_beside(work) < STEP_BESIDE + work->dearer) {
        return false;
    }
    line_column(work);
    return gain_of_step_beside(work) >= STEP_BESIDE + work->dearer;
}

/* Looks for a step; a look up and back that explains more is left out, and looked again. */
static bool look_for_step(struct work *work, struct hold_model *model)
{
    struct scan *scan = malloc(sizeof *scan);
    bool done = scan != NULL;
    for (int glances = 0; done && glances <= GLANCES_MOST; glances++) {
        scan_begin(work, scan);
        struct step_place place = find_step(work, scan);
        if (place.gain < MODEL_PROMISING * STEP_FOUND) {
            break;
        }
        for (size_t i = 0; i < work->blocks.count; i++) {
            work->column[ADDED][i] = i > place.block ? 1.0 : i == place.block ? place.after : 0.0;
        }
        struct noise_regression regression;
        double gain = gain_of_added(work, 0.0, &regression);
        double step_mm = regression.coefficient[ADDED], se = regression.se[ADDED];
        double missing = fmax(0.0, STEP_LEAST_MM - fabs(step_mm)) / se;
        if (gain - missing * missing < STEP_FOUND + work->dearer) {
            break;
        }
        struct glance_place glance = find_glance(work, scan);
        if (glance.gain > place.gain && glances < GLANCES_MOST) {
            leave_out(&glance, &work->blocks);
            done = fit_base(work);
            continue;
        }
        model->stepped = true;
        model->step_mm = step_mm;
        model->step_at_s = ((double)place.block + 1.0 - place.after) * work->blocks.block_s;
        model->stepped = is_step(work, model);
        break;
    }
    free(scan);
    return done;
}

/* A sensor that is knocked moves at once. In blocks as long as a long hold has, a body that tires
 * within minutes looks the same: there each stretch of STEP_STRETCH_S is looked at by itself, every
 * half of one, and the largest step counts. So many looks are paid for as Bonferroni has it: a
 * chance of 1 in n more is worth 2 log n of -2 log. */
static bool look_in_stretches(const struct series *series, struct work *work,
                              struct hold_model *model)
{
    bool done = true, last = false;
    for (int half = 0; done && !last; half++) {
        double from_s = half * STEP_STRETCH_S / 2.0;
        last = from_s + STEP_STRETCH_S >= series->duration_s;
        from_s = last ? series->duration_s - STEP_STRETCH_S : from_s;
        const struct stretch stretch = {from_s, from_s + STEP_STRETCH_S};
        struct hold_model here = {.stepped = false};
        if (take_stretch(series, &stretch, from_s, work)) {
            work->dearer = 2.0 * log(series->duration_s / (STEP_STRETCH_S / 2.0));
            done = fit_base(work) && look_for_step(work, &here);
        }
        if (here.stepped && !(fabs(here.step_mm) <= fabs(model->step_mm))) {
            model->stepped = true;
            model->step_mm = here.step_mm;
            model->step_at_s = from_s + here.step_at_s;
        }
    }
    return done;
}

static bool is_long(const struct series *series)
{
    return series->duration_s > STEP_STRETCH_S * 1.5;
}

static void find_line(struct work *work, struct hold_model *model)
{
    struct noise_regression regression;
    double minutes = (double)work->blocks.count * work->blocks.block_s / 60.0;
    line_column(work);
    double gain = gain_of_added(work, MODEL_PROMISING * DRIFT_FOUND, &regression);
    model->has_line = true;
    model->drifting = gain >= DRIFT_FOUND;
    model->line_mm_per_min = regression.coefficient[ADDED] / minutes;
    model->line_se_mm_per_min = regression.se[ADDED] / minutes;
}

bool hold_model_fit(const struct series *series, bool with_line, struct hold_model *model)
{
    struct work *work = malloc(sizeof *work);
    bool done = work != NULL;
    memset(model, 0, sizeof *model);
    if (done && is_long(series)) {
        done = look_in_stretches(series, work, model);
    }
    if (done && take_blocks(series, 0.0, work)) {
        done = fit_base(work) && (is_long(series) || look_for_step(work, model));
        step_column(model, work);
        if (done && model->stepped) {
            done = fit_base(work);
        }
        if (done) {
            look_for_settling(work, model);
            model->fitted = true;
        }
        if (done && with_line && (!model->settling || model->line_as_well)) {
            find_line(work, model);
        }
    }
    free(work);
    return done;
}

enum measure_status hold_model_step_at(const struct series *series, double at_s, double *step_mm)
{
    struct work *work = malloc(sizeof *work);
    struct noise_regression regression;
    enum measure_status status = work != NULL ? MEASURE_OK : MEASURE_NO_MEMORY;
    struct stretch stretch = {0.0, series->duration_s};
    if (is_long(series)) {
        stretch.from_s =
            fmin(fmax(0.0, at_s - STEP_STRETCH_S / 2.0), series->duration_s - STEP_STRETCH_S);
        stretch.to_s = stretch.from_s + STEP_STRETCH_S;
    }
    if (status == MEASURE_OK && !take_stretch(series, &stretch, 0.0, work)) {
        status = MEASURE_TOO_FEW;
    }
    if (status == MEASURE_OK) {
        const double *columns[NOISE_COLUMNS_MAX];
        const struct hold_model there = {.stepped = true, .step_at_s = at_s - stretch.from_s};
        step_column(&there, work);
        int count = columns_of(work, false, columns);
        work->blocks.breathing_hz = noise_breathing_hz(&work->blocks);
        noise_usual(&work->blocks, &work->noise);
        if (noise_fit(&work->blocks, columns, count, &work->noise, &regression)) {
            *step_mm = regression.coefficient[1];
        } else {
            status = MEASURE_NO_MEMORY;
        }
    }
    free(work);
    return status;
}

bool hold_model_line(const struct series *series, double from_s, struct hold_model *model)
{
    struct work *work = malloc(sizeof *work);
    bool done = work != NULL;
    if (done && take_blocks(series, from_s, work)) {
        step_column(model, work);
        work->has_step = model->stepped && model->step_at_s > from_s + STEP_EDGE_S;
        done = fit_base(work);
        if (done) {
            find_line(work, model);
        }
    }
    free(work);
    return done;
}
