/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/across.h"

#include "analysis_inside.h"

#include <math.h>

static const struct tie *tie_at(const struct across_place *place)
{
    return &place->analysis->tie[place->build][place->channel];
}

static const struct sensor_mount *mount_at(const struct across_place *place)
{
    return &analysis_placing_of(place->record, place->build)->channel[place->channel].mount;
}

static bool known(const struct across_place *place)
{
    const struct tie *tie = tie_at(place);
    return tie_is_over_bottom_bracket(tie) && isfinite(tie->u_absolute_mm);
}

bool across_from_board(const struct across_place *place)
{
    for (int i = 0; i < place->record->tie_reading_count; i++) {
        const struct tie_reading_record *reading = &place->record->tie_reading[i];
        if (reading->channel == place->channel && tie_reading_is_datum(reading)) {
            return true;
        }
    }
    return false;
}

/* The bike of the first build of the place's placing: there the sensor's mount holds. */
static const struct bike_values *first_bike(const struct across_place *place)
{
    const struct session_record *record = place->record;
    int first = 0;
    while (record->build[first].placing != record->build[place->build].placing) {
        first++;
    }
    return &record->setup[record->build[first].setup].bike;
}

/* Does the sensor's height follow from the bike's measures? */
static bool by_measures(const struct across_place *place)
{
    const struct tie *tie = tie_at(place);
    return known(place) && tie->u_own_mm < tie->u_absolute_mm;
}

bool across_same_measures(const struct across_place *a, const struct across_place *b)
{
    if (!by_measures(a) || !by_measures(b) || mount_at(a)->carrier != mount_at(b)->carrier) {
        return false;
    }
    const struct bike_values *one = first_bike(a), *other = first_bike(b);
    for (int k = 0; k < BIKE_KEYS; k++) {
        bool frame = bike_fields[k].scope == BIKE_SCOPE_FRAME;
        if (frame && one->value[k] != other->value[k] &&
            !(isnan(one->value[k]) && isnan(other->value[k]))) {
            return false;
        }
    }
    struct sensor_shift shift;
    return sensor_shift_make(one, other, mount_at(b), &shift, NULL);
}

double across_common_u_mm(const struct across_place *place, const struct across_place *reference)
{
    struct sensor_shift shift = {.u_mm = 0.0};
    if (!known(place)) {
        return NAN;
    }
    if (reference == NULL || !across_same_measures(reference, place)) {
        return tie_at(place)->u_absolute_mm;
    }
    sensor_shift_make(first_bike(reference), first_bike(place), mount_at(place), &shift, NULL);
    return hypot(tie_at(place)->u_own_mm, shift.u_mm);
}

double across_u_mm(const struct across_place *a, const struct across_place *b)
{
    if (!known(a) || !known(b) || across_from_board(a) != across_from_board(b)) {
        return NAN;
    }
    bool same = across_same_measures(a, b);
    double common_mm = hypot(same ? tie_at(a)->u_own_mm : tie_at(a)->u_absolute_mm,
                             across_common_u_mm(b, same ? a : NULL));
    return hypot(common_mm, hypot(tie_uncertainty_mm(tie_at(a)), tie_uncertainty_mm(tie_at(b))));
}
