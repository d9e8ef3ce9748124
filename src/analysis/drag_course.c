/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/drag_course.h"

#include "measure/air.h"

#include <math.h>

int drag_way_back(const struct session_record *record, int leg)
{
    for (int other = 0; other < record->leg_count; other++) {
        if (record->leg[leg].pair > 0 && record->leg[other].run == record->leg[leg].run &&
            record->leg[other].back && record->leg[other].pair == record->leg[leg].pair) {
            return other;
        }
    }
    return -1;
}

double drag_grade_of(const struct session_record *record, int leg)
{
    const struct drag_settings *day = &record->drag;
    if (day->course != COURSE_OUT_AND_BACK || !isfinite(day->rise_m) ||
        !(day->course_length_m > 0.0)) {
        return 0.0;
    }
    return (record->leg[leg].back ? -day->rise_m : day->rise_m) / day->course_length_m;
}

struct drag_leg drag_leg_on_course(const struct session_record *record, int leg)
{
    struct drag_leg sums = record->leg[leg].sums;
    sums.climb_m += drag_grade_of(record, leg) * sums.length_m;
    return sums;
}

static bool reading_density(const struct air_record *reading, double *kg_per_m3)
{
    const struct air air = {reading->temperature_c, reading->pressure_hpa * 100.0,
                            reading->humidity_percent / 100.0};
    return air_density(&air, kg_per_m3) == MEASURE_OK;
}

static bool all_have_times(const struct session_record *record, const struct run_record *run)
{
    bool all = isfinite(run->at_min);
    for (int a = 0; a < record->air_count; a++) {
        all = all && isfinite(record->air[a].at_min);
    }
    return all;
}

bool drag_density_at(const struct session_record *record, const struct run_record *run,
                     double *kg_per_m3)
{
    bool by_time = all_have_times(record, run);
    double at = by_time ? run->at_min : run->number;
    double before = -INFINITY, after = INFINITY, density_before = NAN, density_after = NAN;
    for (int a = 0; a < record->air_count; a++) {
        const struct air_record *reading = &record->air[a];
        double place = by_time ? reading->at_min : reading->after_run + 0.5, density;
        if (!reading_density(reading, &density)) {
            continue;
        }
        if (place <= at && place >= before) {
            before = place;
            density_before = density;
        }
        if (place > at && place < after) {
            after = place;
            density_after = density;
        }
    }
    if (isnan(density_before) || isnan(density_after)) {
        *kg_per_m3 = isnan(density_before) ? density_after : density_before;
        return isfinite(*kg_per_m3);
    }
    double share = (at - before) / (after - before);
    *kg_per_m3 = density_before + share * (density_after - density_before);
    return true;
}
