/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/hold_pair.h"

#include "hold_position.h"
#include "series.h"

#include "measure/filter.h"
#include "measure/rules.h"

#include <math.h>

static enum measure_status make_ready(const struct hold_input *input, bool cut,
                                      struct series *series, double *from_s)
{
    struct settled settled = {0};
    enum measure_status status = series_make(input, false, series);
    if (status == MEASURE_OK && cut) {
        status = settle(series, true, false, &settled);
    }
    *from_s = settled.from_s;
    settled_free(&settled);
    return status;
}

/* Leaves in both what both have from then on, so that they share their time stamps. */
static void join(struct series *x, struct series *y, double from_s)
{
    size_t at_x = 0, at_y = 0, kept = 0;
    while (at_x < x->count && at_y < y->count) {
        double time_s = x->time_s[at_x], other_s = y->time_s[at_y];
        if (time_s < other_s || time_s < from_s) {
            at_x++;
        } else if (time_s > other_s) {
            at_y++;
        } else {
            x->time_s[kept] = y->time_s[kept] = time_s;
            x->height_mm[kept] = x->height_mm[at_x++];
            y->height_mm[kept] = y->height_mm[at_y++];
            kept++;
        }
    }
    x->count = y->count = kept;
    y->step_rate_hz = x->step_rate_hz;
    y->gap_s = x->gap_s;
}

static enum measure_status posture_ellipse(const struct series *x, const struct series *y,
                                           struct ellipse *ellipse)
{
    struct low_pass filter;
    bool filtered = low_pass_design_two_pass(STEADY_HZ, x->step_rate_hz, &filter);
    size_t made = 0;
    for (size_t first = 0, end; first < x->count; first = end) {
        end = series_stretch_end(x, first);
        size_t count = series_even(x, first, end, x->space + made);
        series_even(y, first, end, y->space + made);
        if (filtered) {
            low_pass_two_pass(&filter, x->space + made, count);
            low_pass_two_pass(&filter, y->space + made, count);
        }
        made += count;
    }
    if ((double)made < HOLD_PAIR_KEPT_S * x->step_rate_hz) {
        return MEASURE_TOO_FEW;
    }
    return ellipse_95(x->space, y->space, made, ellipse);
}

static enum measure_status look_together(const struct hold_input *x, const struct hold_input *y,
                                         bool cut, struct ellipse *ellipse)
{
    struct series series_x, series_y = {0};
    double from_x = 0.0, from_y = 0.0;
    enum measure_status status = make_ready(x, cut, &series_x, &from_x);
    if (status == MEASURE_OK) {
        status = make_ready(y, cut, &series_y, &from_y);
    }
    if (status == MEASURE_OK) {
        join(&series_x, &series_y, fmax(from_x, from_y));
        status = posture_ellipse(&series_x, &series_y, ellipse);
    }
    series_free(&series_x);
    series_free(&series_y);
    return status;
}

enum measure_status hold_pair(const struct hold_input *x, const struct hold_input *y,
                              struct ellipse *ellipse)
{
    return look_together(x, y, true, ellipse);
}

enum measure_status hold_pair_piece(const struct hold_input *x, const struct hold_input *y,
                                    struct ellipse *ellipse)
{
    return look_together(x, y, false, ellipse);
}
