/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_TONES_H
#define HOLDLINE_APP_TONES_H

#include "base/problem.h"
#include "screen/screen.h"

#include <stddef.h>
#include <stdint.h>

/* Tones for a rider with the head down: three, two, one, start; three, two, one, end; the cue. They
 * are made here and handed to a program that plays a WAVE file from its standard input. */

/* ---- the sound ---- */

#define TONE_RATE_HZ 22050
#define TONE_HEADER_BYTES 44
#define TONE_BYTES_MAX (TONE_HEADER_BYTES + 2 * TONE_RATE_HZ)
/* A whole WAVE file (16 bits, one channel) of the tone; bytes used. Ends are faded against clicks.
 */
size_t tone_wave(enum screen_tone tone, uint8_t bytes[TONE_BYTES_MAX]);

/* ---- the player ---- */

#define TONES_USAGE                                                                                \
    "  --tones WHAT         three, two, one, start, end, the cue: auto (the sound card where it\n" \
    "                       is, else the bell), bell, off, or a command that plays a WAVE file\n"  \
    "                       from its standard input\n"

struct tones;
/* how: 'auto' (a player and a sound card, where there are both, else the bell), 'bell' (the
 * terminal's), 'off' (the screen asks for none until they are switched on, then as 'auto'), or a
 * command for /bin/sh. SIGPIPE must be ignored. NULL without memory. */
struct tones *tones_create(const char *how);
/* Does not wait for the player. */
void tones_destroy(struct tones *tones);

/* Starts a tone, and never waits for the player. False: the terminal's bell is to ring instead. */
bool tones_play(struct tones *tones, enum screen_tone tone, int64_t now_us);
/* Goes on with what the players have not taken yet, and looks after those that have ended. False
 * once, with a sentence, when one failed or took longer than 5 s: from then on the bell rings. */
bool tones_step(struct tones *tones, int64_t now_us, struct problem *problem);

/* A screen's tones: made as --tones says (NULL: auto), tied to the screen, and looked after with
 * each drawing; what goes wrong is told on the screen. NULL: the bell rings. */
struct tones *tones_attach(struct screen *screen, const char *how);
void tones_tend(struct tones *tones, struct screen *screen);

#endif
