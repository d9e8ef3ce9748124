/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_TAKEN_H
#define HOLDLINE_SAY_TAKEN_H

#include <stdbool.h>
#include <stddef.h>

/* What came of a reading of the plate, and of a target that was to be carried over (one that was
 * captured: say/target.h). */

/* channels: so many were read; 0: none. moved: the channel before which the plate moved most, by
 * moved_mm, and whose reading is not taken; NULL: it was held still. ends_apart_mm: how far it is
 * from what was read before the build's holds, NAN = nothing was. */
void say_plate_read(char *text, size_t size, int channels, const char *moved, double moved_mm,
                    double ends_apart_mm);

/* A setup's height in an earlier session: '884 ±3 mm', '884 mm (one hold; the places alone ±3)',
 * 'not tied' where half_width_mm is NAN. */
void say_height_then(char *text, size_t size, double mean_mm, bool has_interval,
                     double half_width_mm);
/* Of sensors that were where they are said to be, behind their names. */
extern const char *const say_sensors_then;

/* Why a target's height is not carried over. */
enum not_carried {
    CARRIED,
    NOT_CARRIED_UNKNOWN_THEN,
    NOT_CARRIED_NO_SENSOR,
    NOT_CARRIED_NOT_TIED_THEN,
    NOT_CARRIED_NOT_TIED_NOW,
    NOT_CARRIED_REASONS
};
/* name: the channel's. */
void say_not_carried(char *text, size_t size, enum not_carried reason, const char *name);

/* That the rider has an earlier session with a bike, of that day, and the key that takes it over.
 */
void say_was_here(char *text, size_t size, const char *code, const char *day);
/* That no earlier session is the rider's, but one of that day is of a code written nearly so. */
void say_was_here_alike(char *text, size_t size, const char *code, const char *alike,
                        const char *day);

#endif
