/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_FIELDS_H
#define HOLDLINE_BIKE_FIELDS_H

#include "base/problem.h"

#include <stddef.h>

/* Every measure of a bike that scripts, forms, the store and sheets name: one table with its key,
 * unit and the range a person may type (docs/place.md has the terms). A value not given is
 * NAN. */
enum bike_key {
    /* the frame: the same in all setups */
    BIKE_STACK,       /* bottom bracket to top of the head tube, vertical */
    BIKE_REACH,       /* the same, horizontal */
    BIKE_HEAD_ANGLE,  /* from the horizontal, degrees */
    BIKE_HEADSET_CAP, /* height of the headset's upper cover under the spacers; assumed 0 */
    BIKE_SEAT_ANGLE,  /* seat tube from the horizontal, degrees */
    /* parts: what a setup changes */
    BIKE_SPACERS, /* under the stem */
    BIKE_STEM_LENGTH,
    BIKE_STEM_ANGLE,        /* from the perpendicular to the steerer, negative drops */
    BIKE_STEM_CLAMP_HEIGHT, /* along the steerer; assumed 40: measure it */
    BIKE_BAR_ROLL, /* degrees, positive turns the bar's front up; assumed 0. Pads and extensions
                      turn with the bar, so the measures below are those at roll 0 */
    BIKE_PAD_RISE, /* pad reference point (centre of the support surface) over the bar clamp centre
                    */
    BIKE_PAD_FORE_AFT, /* the same, forward positive */
    BIKE_PAD_WIDTH,    /* centre to centre */
    BIKE_PAD_TILT,
    BIKE_EXTENSION_LENGTH,
    BIKE_EXTENSION_ANGLE, /* positive up */
    BIKE_EXTENSION_RISE,  /* extension root over the pad reference point (often negative) */
    BIKE_SADDLE_HEIGHT,   /* bottom bracket centre to saddle top along the seat tube */
    BIKE_SADDLE_SETBACK,  /* saddle reference point behind the bottom bracket */
    BIKE_SADDLE_TILT,     /* positive nose up */
    BIKE_CRANK_LENGTH,
    BIKE_KEYS,
};

enum bike_scope { BIKE_SCOPE_FRAME, BIKE_SCOPE_PART };

struct bike_field {
    const char *key;   /* as scripts and the store write it: 'stem_length' */
    const char *words; /* as screens and sheets say it: 'stem length' */
    const char *unit;  /* 'mm' or 'deg' */
    enum bike_scope scope;
    double minimum, maximum;
    double assumed;    /* taken when not given; NAN = must be given where it is needed */
    double measured_u; /* standard error to expect of it when it is measured */
};
extern const struct bike_field bike_fields[BIKE_KEYS];

/* Index of a key, or -1. */
int bike_key_find(const char *key);
/* "; did you mean 'spacers'?" where a key is near one that there is, else "". Returns text. */
const char *bike_key_meant(const char *key, char *text, size_t size);

/* Checks a typed value against the table's range: the sentence names key, value, range and unit,
 * and asks about a value that would fit in inches or centimetres, or a stem angle as printed from
 * the steerer. */
bool bike_value_check(int key, double value, struct problem *problem);
/* What a value out of range may have been meant as: ': in mm, not inches?'; "" when nothing fits.
 */
const char *bike_value_slip(int key, double value);

/* A bike with the parts of one setup on it. */
struct bike_values {
    double value[BIKE_KEYS]; /* NAN = not given */
};
void bike_values_clear(struct bike_values *values);
/* The value, or the assumed one where it is not given (may still be NAN). */
double bike_value(const struct bike_values *values, enum bike_key key);
/* The same number, or neither is known. */
bool bike_value_same(double a, double b);
bool bike_values_equal(const struct bike_values *a, const struct bike_values *b);
/* Every value that parts has is the bike's too; what it does not have may be anything. */
bool bike_values_have(const struct bike_values *bike, const struct bike_values *parts);
/* Is anything known of its parts? */
bool bike_values_any_part(const struct bike_values *values);

/* 'spacers 20 to 10, pad rise 60 to 40' into text; 'nothing changed' when equal. */
void bike_changes_text(char *text, size_t size, const struct bike_values *before,
                       const struct bike_values *after);

#endif
