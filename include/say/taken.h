/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_TAKEN_H
#define HOLDLINE_SAY_TAKEN_H

#include <stddef.h>

/* What came of a reading of the plate, and of a target that was to be carried over (one that was
 * captured: say/target.h). */

/* channels: so many were read; 0: none. */
void say_plate_read(char *text, size_t size, int channels);

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

#endif
