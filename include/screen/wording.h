/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_WORDING_H
#define HOLDLINE_SCREEN_WORDING_H

#include "measure/compare.h"
#include "measure/cue.h"

#include <stddef.h>
#include <stdint.h>

/* Numbers and states in the words and shapes of the screens. Buffers of 64 bytes are enough for
 * all. */
#define WORDING_SIZE 96

void wording_signed(char *text, size_t size, double mm);   /* '+14', '−3', '0'; '–' when NAN */
void wording_whole(char *text, size_t size, double mm);    /* '884'; '–' when NAN */
void wording_tenth(char *text, size_t size, double value); /* '+0.4', '−1.2' */
void wording_minutes(char *text, size_t size, double seconds); /* '0:41' */
void wording_hours(char *text, size_t size, double seconds);   /* '1:02:41' */

/* A copy with a proper minus sign wherever a number begins with a hyphen. */
void wording_minus(char *text, size_t size, const char *source);

/* Shape and word of a cue: '▲ HIGH'. The shape's direction is the body's. */
const char *wording_cue(enum cue_state cue);
const char *wording_cue_word(enum cue_state cue);

/* A difference against the baseline: as long as fits into width cells: '▼ lower by 12 (6 to 18)'.
 */
void wording_difference(char *text, size_t size, const struct setup_difference *difference,
                        int width);

#endif
