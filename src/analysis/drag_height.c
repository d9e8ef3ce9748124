/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/drag_height.h"

#include "measure/rules.h"

#include <string.h>

static void add_point(const struct session_record *record, const struct analysis *analysis,
                      int channel, int s, struct drag_height *made)
{
    const struct setup_difference *height = analysis_difference(analysis, channel, s);
    const struct setup_difference *drag = &analysis->drag.compare.difference[s];
    bool both = height->has_interval && drag->has_interval;
    if (both && made->count < SETUPS_MAX && record->setup[s].number > 0) {
        made->point[made->count++] = (struct drag_height_point){
            s,         height->difference, height->low, height->high, drag->difference,
            drag->low, drag->high};
    }
}

static void fit_slope(const struct session_record *record, const struct analysis *analysis,
                      int channel, struct drag_height *made)
{
    struct york_point points[YORK_POINTS_MAX];
    size_t count = 0;
    for (int s = 0; s < record->setup_count && count < YORK_POINTS_MAX; s++) {
        const struct setup_estimate *height = analysis_estimate(analysis, channel, s);
        const struct setup_estimate *drag = &analysis->drag.compare.setup[s];
        if (height->has_interval && height->tied && drag->has_interval) {
            points[count++] = (struct york_point){height->mean, drag->mean, height->standard_error,
                                                  drag->standard_error, 0.0};
        }
    }
    made->slope_setups = (int)count;
    made->has_slope =
        count >= DRAG_SLOPE_SETUPS && york_fit(points, count, &made->line) == MEASURE_OK;
}

void drag_height_make(const struct session_record *record, const struct analysis *analysis,
                      int channel, struct drag_height *made)
{
    memset(made, 0, sizeof *made);
    if (analysis->drag.compare.setup_count != record->setup_count ||
        analysis->drag.withheld != DRAG_WITHHELD_NOT) {
        return;
    }
    for (int s = 0; s < record->setup_count; s++) {
        add_point(record, analysis, channel, s, made);
    }
    fit_slope(record, analysis, channel, made);
}
