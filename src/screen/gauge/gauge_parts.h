/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_GAUGE_PARTS_H
#define HOLDLINE_SCREEN_GAUGE_PARTS_H

#include "screen/gauge.h"

/* Parts of the upright gauge. */

#define GAUGE_HISTORY_WANTED_S 60.0

/* Steps above the bottom of the axis when its whole height is so many; -1 below, steps above it. */
int gauge_level(const struct gauge_axis *axis, double mm, int steps);
/* Row from the top, within the gauge. */
int gauge_row(const struct gauge_axis *axis, double mm, int rows);

/* Height of a point of the history, NAN where it is no height of the same kind as those of now (a
 * range beside heights). */
double gauge_shown_mm(const struct view *view, int channel, const struct view_point *point);

/* Curve, boundaries of holds and setups, and a line under what was captured. */
void gauge_plot_history(struct plot *plot, const struct gauge_axis *axis, const struct view *view,
                        int channel);

#endif
