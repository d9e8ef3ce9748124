/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/far_level.h"

#include "analysis/hold_use.h"
#include "base/text.h"
#include "bike/fields.h"
#include "bike/geometry.h"
#include "measure/rules.h"

#include <math.h>

static double apart(bool both, struct point a, struct point b)
{
    return both ? hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm) : 0.0;
}

/* The largest change of a part's length: all that is known of one whose place is not. */
static double lengths_changed(const struct bike_values *from, const struct bike_values *to)
{
    double most_mm = 0.0;
    for (int key = 0; key < BIKE_KEYS; key++) {
        if (text_equal(bike_fields[key].unit, "mm")) { /* of one that is not known: nothing */
            most_mm = fmax(most_mm, fabs(to->value[key] - from->value[key]));
        }
    }
    return most_mm;
}

/* The furthest that what the rider rests on moved; NAN: not known. */
static double parts_moved(const struct session_record *record, int before, int hold)
{
    const struct bike_values *from =
        &record->setup[record->build[record->hold[before].build].setup].bike;
    const struct bike_values *to =
        &record->setup[record->build[record->hold[hold].build].setup].bike;
    struct bike_points a, b;
    if (bike_values_equal(from, to)) {
        return 0.0;
    }
    if (!bike_forward(from, &a, NULL) || !bike_forward(to, &b, NULL)) {
        return (double)NAN;
    }
    double bars = fmax(apart(true, a.clamp, b.clamp), apart(a.has_pad && b.has_pad, a.pad, b.pad));
    double tips = apart(a.has_extension && b.has_extension, a.extension_tip, b.extension_tip);
    double saddle = apart(a.has_saddle && b.has_saddle, a.saddle, b.saddle);
    return fmax(lengths_changed(from, to), fmax(bars, fmax(tips, saddle)));
}

static bool counts(const struct session_record *record, const struct analysis *analysis, int hold,
                   int channel)
{
    return !record->hold[hold].guided && hold_use_of(record, analysis, hold, channel) == HOLD_USED;
}

/* The range that a hold's level stands for: a height is a line in it. */
static double range_mm(const struct session_record *record, const struct analysis *analysis,
                       int hold, int channel)
{
    enum { FAR_TENTHS = 10000 };
    int build = record->hold[hold].build;
    double zero_mm = analysis_height_mm(record, analysis, build, channel, 0);
    double far_mm = analysis_height_mm(record, analysis, build, channel, FAR_TENTHS);
    return (analysis->hold[hold].summary[channel].mean_mm - zero_mm) * (FAR_TENTHS / 10.0) /
           (far_mm - zero_mm);
}

/* The channel with which one has changed places between two holds; -1: none. */
static int exchanged(const struct session_record *record, const struct analysis *analysis,
                     int before, int hold, int channel)
{
    double was_mm = range_mm(record, analysis, before, channel);
    double is_mm = range_mm(record, analysis, hold, channel);
    bool same_sensors = record->build[record->hold[before].build].placing ==
                        record->build[record->hold[hold].build].placing;
    for (int other = 0; same_sensors && other < analysis->channel_count; other++) {
        if (other == channel || !analysis->body[other] ||
            !counts(record, analysis, before, other) || !counts(record, analysis, hold, other)) {
            continue;
        }
        double other_was_mm = range_mm(record, analysis, before, other);
        double other_is_mm = range_mm(record, analysis, hold, other);
        double apart_mm = fabs(was_mm - other_was_mm), near_mm = EXCHANGED_SHARE * apart_mm;
        if (apart_mm >= EXCHANGED_APART_MM && fabs(is_mm - other_was_mm) < near_mm &&
            fabs(other_is_mm - was_mm) < near_mm) {
            return other;
        }
    }
    return -1;
}

bool far_level_of(const struct session_record *record, const struct analysis *analysis, int hold,
                  int channel, struct far_level *found)
{
    int before = -1;
    for (int h = 0; h <= hold; h++) {
        if (!counts(record, analysis, h, channel)) {
            continue;
        }
        if (before >= 0) {
            double by_mm = analysis->hold[h].summary[channel].mean_mm -
                           analysis->hold[before].summary[channel].mean_mm;
            double parts_mm = parts_moved(record, before, h);
            int other = exchanged(record, analysis, before, h, channel);
            /* the first is false where the parts are not known */
            if (fabs(by_mm) >= parts_mm + FAR_LEVEL_MM || other >= 0) {
                if (h == hold) {
                    *found = (struct far_level){before, by_mm, parts_mm, other};
                    return true;
                }
                continue;
            }
        }
        before = h;
    }
    return false;
}
