/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/plate_ends.h"

#include "measure/rules.h"

#include <math.h>

static bool is_plate_of(const struct tie_reading_record *reading, int build)
{
    return reading->kind == TIE_READING_PLATE && reading->build == build;
}

/* By the sensors: at a capture's end, the first of its channel then. One that was typed puts
 * another right, whenever that is. */
static bool was_measured(const struct session_record *record,
                         const struct tie_reading_record *reading)
{
    for (const struct tie_reading_record *r = record->tie_reading; r < reading; r++) {
        if (r->channel == reading->channel && r->at_sample == reading->at_sample &&
            is_plate_of(r, reading->build)) {
            return false;
        }
    }
    for (int i = 0; i < record->capture_count; i++) {
        if (record->capture[i].kind == CAPTURE_PLATE &&
            record->capture[i].last_sample == reading->at_sample) {
            return true;
        }
    }
    return false;
}

/* Of one channel. */
static bool same_plate(const struct tie_reading_record *a, const struct tie_reading_record *b)
{
    bool height = a->plate_height_mm == b->plate_height_mm ||
                  (isnan(a->plate_height_mm) && isnan(b->plate_height_mm));
    return a->rest == b->rest && height;
}

/* Was a hold ridden on the build after the first sample and up to the second? */
static bool held_between(const struct session_record *record, int build, int64_t from, int64_t to)
{
    for (int h = 0; h < record->hold_count; h++) {
        const struct hold_record *hold = &record->hold[h];
        if (hold->build == build && hold->capture >= 0 && hold->status != HOLD_RUNNING) {
            const struct capture_record *capture = &record->capture[hold->capture];
            if (capture->first_sample > from && capture->last_sample <= to) {
                return true;
            }
        }
    }
    return false;
}

struct plate_ends plate_ends_of(const struct session_record *record, int build, int channel)
{
    struct plate_ends ends = {NAN, NAN};
    const struct tie_reading_record *last = NULL, *first = NULL;
    for (int i = record->tie_reading_count - 1; i >= 0; i--) {
        const struct tie_reading_record *reading = &record->tie_reading[i];
        if (!is_plate_of(reading, build) || reading->channel != channel) {
            continue;
        }
        if (!was_measured(record, reading)) {
            break; /* it stands for all before it */
        }
        if (last == NULL) {
            last = reading;
        } else if (first == NULL && same_plate(reading, last) &&
                   held_between(record, build, reading->at_sample, last->at_sample)) {
            first = reading; /* the latest before the holds: it replaced what was before it */
        }
    }
    if (first != NULL) {
        ends = (struct plate_ends){first->value_mm, last->value_mm};
    }
    return ends;
}

double plate_ends_apart_mm(const struct plate_ends *ends)
{
    return fabs(ends->last_mm - ends->first_mm);
}

bool plate_ends_disagree(const struct plate_ends *ends)
{
    return plate_ends_apart_mm(ends) > TIE_ALARM_U * hypot(TIE_U_PLATE_MM, TIE_U_PLATE_MM);
}

int plate_ends_open(const struct session_record *record, int build)
{
    int before = -1;
    for (int i = 0; build >= 0 && i < record->tie_reading_count; i++) {
        if (is_plate_of(&record->tie_reading[i], build)) {
            before = i;
        }
    }
    bool held = before >= 0 && was_measured(record, &record->tie_reading[before]) &&
                held_between(record, build, record->tie_reading[before].at_sample, INT64_MAX);
    return held ? before : -1;
}
