/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/tie_readings.h"

#include "bike/shift.h"

#include <math.h>

static int placing_of(const struct session_record *record, int build)
{
    return record->build[build].placing;
}

bool board_lies_alike(const struct session_record *record, int build, int other)
{
    int setups[] = {record->build[build].setup, record->build[other].setup};
    if (setups[0] == setups[1]) {
        return true;
    }
    const struct bike_values *bike = &record->setup[setups[0]].bike;
    const struct bike_values *beside = &record->setup[setups[1]].bike;
    return bike_values_any_part(bike) && bike_values_any_part(beside) &&
           !bike_values_equal(bike, beside) && carrier_unmoved(CARRIER_PAD_BRACKET, bike, beside);
}

double tie_reading_height_mm(const struct session_record *record,
                             const struct tie_reading_record *reading)
{
    double height_mm = reading->plate_height_mm;
    if (reading->rest != REST_PADS) {
        return height_mm;
    }
    for (int i = record->tie_reading_count - 1; isnan(height_mm) && i >= 0; i--) {
        const struct tie_reading_record *other = &record->tie_reading[i];
        if (other->rest == REST_PADS && other->plate_height_mm > 0.0 &&
            placing_of(record, other->build) == placing_of(record, reading->build) &&
            board_lies_alike(record, other->build, reading->build)) {
            height_mm = other->plate_height_mm;
        }
    }
    return height_mm;
}

bool board_came_along(const struct session_record *record, const struct tie_reading_record *reading)
{
    double height_mm = tie_reading_height_mm(record, reading);
    if (reading->rest != REST_PADS) {
        return false;
    }
    for (const struct tie_reading_record *first = record->tie_reading; first < reading; first++) {
        bool same_placing = placing_of(record, first->build) == placing_of(record, reading->build);
        if (first->rest == REST_PADS &&
            (first->plate_height_mm == height_mm || (isnan(height_mm) && same_placing))) {
            return !board_lies_alike(record, first->build, reading->build);
        }
    }
    return false;
}

/* Was a plate, that is no board on the pads, read by the channel in the reading's placing? One of a
 * height that was said, where only that will do. */
static bool plate_was_read(const struct session_record *record,
                           const struct tie_reading_record *board, bool of_height)
{
    for (int i = 0; i < record->tie_reading_count; i++) {
        const struct tie_reading_record *reading = &record->tie_reading[i];
        if (reading->kind == TIE_READING_PLATE && reading->rest == REST_PLATE &&
            reading->channel == board->channel &&
            placing_of(record, reading->build) == placing_of(record, board->build) &&
            (!of_height || isfinite(reading->plate_height_mm))) {
            return true;
        }
    }
    return false;
}

static bool says_nothing(const struct session_record *record,
                         const struct tie_reading_record *reading)
{
    bool datum = tie_reading_is_datum(reading);
    bool unlevelled = reading->rest == REST_PADS && (isnan(reading->plate_height_mm) || datum);
    return board_came_along(record, reading) ||
           (unlevelled && plate_was_read(record, reading, datum));
}

const struct tie_reading_record *tie_reading_latest(const struct session_record *record,
                                                    enum tie_reading_kind kind, int build,
                                                    int channel)
{
    for (int i = record->tie_reading_count - 1; i >= 0; i--) {
        const struct tie_reading_record *reading = &record->tie_reading[i];
        if (reading->kind == kind && reading->build == build && reading->channel == channel &&
            !says_nothing(record, reading)) {
            return reading;
        }
    }
    return NULL;
}

double tie_reading_higher_mm(const struct session_record *record,
                             const struct tie_reading_record *first,
                             const struct tie_reading_record *later)
{
    double first_mm = tie_reading_height_mm(record, first);
    double later_mm = tie_reading_height_mm(record, later);
    if (isfinite(later_mm - first_mm)) {
        bool comparable = tie_reading_is_datum(first) == tie_reading_is_datum(later);
        return comparable ? later_mm - first_mm : (double)NAN;
    }
    bool plates = first->rest == REST_PLATE && later->rest == REST_PLATE;
    bool boards =
        first->rest == REST_PADS && later->rest == REST_PADS && isnan(first_mm) && isnan(later_mm);
    return plates || boards ? 0.0 : (double)NAN;
}
