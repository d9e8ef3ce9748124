/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_HOLD_MODEL_H
#define HOLDLINE_SRC_MEASURE_HOLD_MODEL_H

#include "hold_noise.h"
#include "series.h"

/* Whether a hold's level stays: a step, a beginning that settles exponentially, a line, each added
 * to level and noise (hold_noise.h) and judged by how much likelihood it brings: twice the log of
 * the ratio, both with the noise that fits best. The limits are simulated on two riders
 * (tests/study). Inside the layer only. */
enum settling_way { SETTLES_EXPONENTIALLY, SETTLES_EVENLY, SETTLES_AT_ONCE };

struct hold_model {
    bool fitted; /* from SETTLED_BLOCKS_MIN blocks' time on */
    bool stepped;
    double step_mm, step_at_s;      /* at once, and to the end; + upwards */
    bool settling;                  /* the beginning was different: */
    double settling_mm, settling_s; /* higher at the start by; time constant, or all of it */
    enum settling_way settling_way;
    bool line_instead, line_as_well; /* a line over the whole hold says it better, or as well */
    double level_mm, level_se_mm;    /* where it settles */
    bool has_line, drifting;         /* a line over what was kept, and whether it is one */
    double line_mm_per_min, line_se_mm_per_min;
};

/* Of the hold as a whole; with_line: the line, too, where nothing settles or it explains that as
 * well. False without memory. */
bool hold_model_fit(const struct series *series, bool with_line, struct hold_model *model);
/* The same with the line, where the model's step, or none, was found before (hold_step.h). */
bool hold_model_fit_beside(const struct series *series, bool with_line, struct hold_model *model);
/* What a step at that time would be: hold.h. */
enum measure_status hold_model_step_at(const struct series *series, double at_s, double *step_mm);
struct hold_stretch;
/* The same as that stretch alone tells. */
enum measure_status hold_model_step_in(const struct series *series,
                                       const struct hold_stretch *stretch, double at_s,
                                       double *step_mm);
/* By when no more than this is left of what settles, s; with settling. */
double hold_model_settled_s(const struct hold_model *model, double left_mm);
/* The line through what begins at from_s, beside the model's step, and whether it is one. */
bool hold_model_line(const struct series *series, double from_s, struct hold_model *model);

#endif
