/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_recent.h"

#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define HALF_S (STEP_STRETCH_S / 2.0)
#define KEPT_S (2.0 * STEP_STRETCH_S) /* a stretch, the half one before it, and a piece */

static bool has_room(double **values, size_t room)
{
    double *grown = realloc(*values, room * sizeof *grown);
    if (grown == NULL) {
        return false;
    }
    *values = grown;
    return true;
}

static bool grow(struct recent *recent, size_t room)
{
    bool grown = has_room(&recent->time_s, room) && has_room(&recent->height_mm, room);
    recent->room = grown ? room : recent->room;
    return grown;
}

bool recent_begin(struct recent *recent, double rate_hz)
{
    *recent = (struct recent){.count = 0};
    return grow(recent, (size_t)(KEPT_S * fmax(rate_hz, 1.0)));
}

void recent_end(struct recent *recent)
{
    free(recent->time_s);
    free(recent->height_mm);
    *recent = (struct recent){.count = 0};
}

/* A hold that has not become long is modelled as a whole: its beginning stays. */
static void drop(struct recent *recent, double now_s)
{
    size_t gone = 0;
    if (!hold_step_in_stretches(now_s)) {
        return;
    }
    recent->kept_from_s = recent->look_from_s - HALF_S; /* the last one may end anywhere */
    while (gone < recent->count && recent->time_s[gone] < recent->kept_from_s) {
        gone++;
    }
    recent->count -= gone;
    memmove(recent->time_s, recent->time_s + gone, recent->count * sizeof *recent->time_s);
    memmove(recent->height_mm, recent->height_mm + gone, recent->count * sizeof *recent->height_mm);
}

bool recent_add(struct recent *recent, const struct series *series, double from_s)
{
    drop(recent, from_s);
    size_t wanted = recent->count + series->count;
    size_t taken = wanted <= recent->room || grow(recent, wanted + wanted / 4)
                       ? series->count
                       : recent->room - recent->count;
    for (size_t i = 0; i < taken; i++) {
        recent->time_s[recent->count] = from_s + series->time_s[i];
        recent->height_mm[recent->count++] = series->height_mm[i];
    }
    recent->expected_rate_hz = series->expected_rate_hz;
    return taken == series->count;
}

static struct series as_series(const struct recent *recent, double duration_s)
{
    return (struct series){.count = recent->count,
                           .time_s = recent->time_s,
                           .height_mm = recent->height_mm,
                           .duration_s = duration_s,
                           .expected_rate_hz = recent->expected_rate_hz};
}

/* False without memory. */
static bool look_in(struct recent *recent, double from_s, double most_s, struct hold_fit *fit)
{
    struct series series = as_series(recent, from_s + STEP_STRETCH_S);
    const struct hold_stretch stretch = {from_s, from_s + STEP_STRETCH_S};
    return hold_step_look_in_stretch(&series, &stretch, most_s, fit, &recent->step);
}

bool recent_look(struct recent *recent, double now_s, double most_s, bool over)
{
    double before_mm = recent->step.stepped ? fabs(recent->step.step_mm) : 0.0;
    bool last = over && hold_step_in_stretches(now_s), done = true;
    struct hold_fit *fit = malloc(sizeof *fit);
    while (done && fit != NULL && recent->look_from_s + STEP_STRETCH_S <= now_s) {
        done = look_in(recent, recent->look_from_s, most_s, fit);
        recent->look_from_s += HALF_S;
    }
    if (done && fit != NULL && last) {
        look_in(recent, now_s - STEP_STRETCH_S, most_s, fit);
    }
    free(fit);
    return recent->step.stepped && fabs(recent->step.step_mm) > before_mm;
}

enum measure_status recent_step_at(const struct recent *recent, double now_s, double at_s,
                                   double *step_mm)
{
    struct series series = as_series(recent, now_s);
    double from_s = fmin(fmax(recent->kept_from_s, at_s - HALF_S), now_s - STEP_STRETCH_S);
    const struct hold_stretch stretch = {fmax(0.0, from_s), fmax(0.0, from_s) + STEP_STRETCH_S};
    return hold_model_step_in(&series, &stretch, at_s, step_mm);
}

bool recent_model(const struct recent *recent, double duration_s, struct hold_model *model)
{
    struct series series = as_series(recent, duration_s);
    return hold_model_fit(&series, true, model);
}
