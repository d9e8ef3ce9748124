/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_BOLTS_H
#define HOLDLINE_BIKE_BOLTS_H

#include "base/words.h"
#include "bike/fields.h"

#include <stdbool.h>
#include <stddef.h>

/* The bolts that hold what a setup changes, and the tightening torques in N·m that the fitter
 * entered as they stand on the parts or in the makers' papers. None is ever assumed: one not
 * entered is left blank wherever bolts are listed. */
enum bike_bolt {
    BOLT_TOP_CAP,
    BOLT_STEM_CLAMP,
    BOLT_FACEPLATE,
    BOLT_RISERS,
    BOLT_PADS,
    BOLT_EXTENSIONS,
    BOLT_SEATPOST,
    BOLT_SADDLE,
    BOLT_CRANKS,
    BOLT_PEDALS,
    BIKE_BOLTS,
};
struct bike_torques {
    double nm[BIKE_BOLTS]; /* NAN = not entered */
};

/* What can be typed, in N·m: a slip of unit or of a digit is refused (our own; 100 N·m is more
 * than any bolt here takes). */
#define TORQUE_LEAST_NM 0.5
#define TORQUE_MOST_NM 100.0
/* Over this only cranks and pedals are tightened as a rule: else inch-pounds, or a digit too many,
 * are asked about (our own; no limit of any part). */
#define TORQUE_ASKED_NM 25.0

void bike_torques_clear(struct bike_torques *torques);
int bike_torques_entered(const struct bike_torques *torques);

const char *bike_bolt_key(int bolt);   /* 'stem_clamp' */
const char *bike_bolt_words(int bolt); /* 'stem's clamp bolts' */
int bike_bolt_find(const char *key);   /* or -1 */

/* The bolts that are loosened for this measure of the bike, in the order of work, and tightened
 * again in the same order: the top cap sets the steering bearings' preload while the stem's clamp
 * is still loose. How many (0 for one of the frame's). */
#define BOLTS_OF_ONE_MAX 3
int bike_bolts_of(enum bike_key key, enum bike_bolt bolts[BOLTS_OF_ONE_MAX]);

/* The stem comes off for it: the steering bearings' preload is set anew. */
bool bike_steering_comes_off(enum bike_key key);

/* A bolt's torque, '5'; a blank to write in, '____', where none was entered. */
void bike_torque_text(const struct bike_torques *torques, enum bike_bolt bolt, char *text,
                      size_t size);

/* The session's line 'torque stem_clamp=5 pads=none': all of it, or torques stay as they are. */
bool bike_torques_read_line(struct bike_torques *torques, const struct words *line,
                            struct problem *problem);
/* Asks (problem_ask) about a torque that differs from former and is more than its bolt takes as a
 * rule. */
bool bike_torques_check(const struct bike_torques *torques, const struct bike_torques *former,
                        struct problem *problem);

#endif
