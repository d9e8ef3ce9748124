/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_model.h"

#include "hold_step.h"
#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool take_whole(const struct series *series, double from_s, struct hold_fit *fit)
{
    const struct hold_stretch whole = {0.0, series->duration_s};
    return hold_fit_take(series, &whole, from_s, fit);
}

static void look_for_settling(struct hold_fit *fit, struct hold_model *model)
{
    struct noise_regression regression;
    struct settling_shape shape;
    double gain = hold_fit_settling(fit, MODEL_PROMISING * SETTLING_FOUND, &regression, &shape);
    if (gain < SETTLING_FOUND) {
        return;
    }
    model->settling = true;
    model->settling_s = shape.seconds;
    model->settling_way = shape.way;
    model->settling_mm = regression.coefficient[FIT_ADDED];
    model->level_mm = fit->mean_mm + regression.coefficient[FIT_LEVEL];
    model->level_se_mm = regression.se[FIT_LEVEL];
    hold_fit_line(fit);
    double line = hold_fit_gain(fit, 0.0, &regression);
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

static void find_line(struct hold_fit *fit, struct hold_model *model)
{
    struct noise_regression regression;
    double minutes = (double)fit->blocks.count * fit->blocks.block_s / 60.0;
    hold_fit_line(fit);
    double gain = hold_fit_gain(fit, MODEL_PROMISING * DRIFT_FOUND, &regression);
    model->has_line = true;
    model->drifting = gain >= DRIFT_FOUND;
    model->line_mm_per_min = regression.coefficient[FIT_ADDED] / minutes;
    model->line_se_mm_per_min = regression.se[FIT_ADDED] / minutes;
}

/* stepped: a step was looked for already, and is the model's. */
static bool fit_all(const struct series *series, bool with_line, bool stepped, struct hold_fit *fit,
                    struct hold_model *model)
{
    bool done = true;
    if (!take_whole(series, 0.0, fit)) {
        return true;
    }
    done = hold_fit_base(fit) && (stepped || hold_step_look(fit, 0.0, model));
    hold_step_column(model, fit);
    if (done && model->stepped) {
        done = hold_fit_base(fit);
    }
    if (done) {
        look_for_settling(fit, model);
        model->fitted = true;
    }
    if (done && with_line && (!model->settling || model->line_as_well)) {
        find_line(fit, model);
    }
    return done;
}

bool hold_model_fit(const struct series *series, bool with_line, struct hold_model *model)
{
    struct hold_fit *fit = malloc(sizeof *fit);
    bool done = fit != NULL, in_stretches = hold_step_in_stretches(series->duration_s);
    memset(model, 0, sizeof *model);
    if (done && in_stretches) {
        done = hold_step_look_in_stretches(series, fit, model);
    }
    done = done && fit_all(series, with_line, in_stretches, fit, model);
    free(fit);
    return done;
}

bool hold_model_fit_beside(const struct series *series, bool with_line, struct hold_model *model)
{
    struct hold_fit *fit = malloc(sizeof *fit);
    bool done = fit != NULL && fit_all(series, with_line, true, fit, model);
    free(fit);
    return done;
}

enum measure_status hold_model_step_in(const struct series *series,
                                       const struct hold_stretch *stretch, double at_s,
                                       double *step_mm)
{
    struct hold_fit *fit = malloc(sizeof *fit);
    struct noise_regression regression;
    enum measure_status status = fit != NULL ? MEASURE_OK : MEASURE_NO_MEMORY;
    if (status == MEASURE_OK && !hold_fit_take(series, stretch, 0.0, fit)) {
        status = MEASURE_TOO_FEW;
    }
    if (status == MEASURE_OK) {
        const double *columns[NOISE_COLUMNS_MAX];
        const struct hold_model there = {.stepped = true, .step_at_s = at_s - stretch->from_s};
        hold_step_column(&there, fit);
        int count = hold_fit_columns(fit, false, columns);
        fit->blocks.breathing_hz = noise_breathing_hz(&fit->blocks);
        noise_usual(&fit->blocks, &fit->noise);
        if (noise_fit(&fit->blocks, columns, count, &fit->noise, &regression)) {
            *step_mm = regression.coefficient[1];
        } else {
            status = MEASURE_NO_MEMORY;
        }
    }
    free(fit);
    return status;
}

enum measure_status hold_model_step_at(const struct series *series, double at_s, double *step_mm)
{
    struct hold_stretch stretch = {0.0, series->duration_s};
    if (hold_step_in_stretches(series->duration_s)) {
        stretch.from_s =
            fmin(fmax(0.0, at_s - STEP_STRETCH_S / 2.0), series->duration_s - STEP_STRETCH_S);
        stretch.to_s = stretch.from_s + STEP_STRETCH_S;
    }
    return hold_model_step_in(series, &stretch, at_s, step_mm);
}

bool hold_model_line(const struct series *series, double from_s, struct hold_model *model)
{
    struct hold_fit *fit = malloc(sizeof *fit);
    bool done = fit != NULL;
    if (done && take_whole(series, from_s, fit)) {
        hold_step_column(model, fit);
        fit->has_step = model->stepped && model->step_at_s > from_s + STEP_EDGE_S;
        done = hold_fit_base(fit);
        if (done) {
            find_line(fit, model);
        }
    }
    free(fit);
    return done;
}
