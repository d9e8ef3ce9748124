/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_DRAG_HEIGHT_H
#define HOLDLINE_ANALYSIS_DRAG_HEIGHT_H

#include "analysis/analysis.h"
#include "measure/york.h"

/* Drag of setups beside a channel's height on the trainer: for each that has both, the differences
 * from the baseline; from DRAG_SLOPE_SETUPS on a slope with errors both ways. An association of one
 * rider's setups, and no prediction: heights are the trainer's, drag is the road's. */
struct drag_height_point {
    int setup;
    double height_mm, height_low_mm, height_high_mm; /* setup minus baseline, 95 % */
    double drag_m2, drag_low_m2, drag_high_m2;
};
struct drag_height {
    int count; /* of points: the baseline is none */
    struct drag_height_point point[SETUPS_MAX];
    bool has_slope;
    int slope_setups;
    struct york_line line; /* m2 on mm */
};
void drag_height_make(const struct session_record *record, const struct analysis *analysis,
                      int channel, struct drag_height *made);

#endif
