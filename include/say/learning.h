/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_LEARNING_H
#define HOLDLINE_SAY_LEARNING_H

#include "analysis/learning.h"

#include <stddef.h>

/* A rider's practice over weeks in words. Each text fits into 2 * SAY_SIZE bytes. */

extern const char *const say_phases[PHASES];              /* 'base' */
extern const char *const say_verdicts[PRACTICE_VERDICTS]; /* 'better', 'cannot tell yet' */
/* Why a test is left out, as a sentence's part; "" where it counts. */
extern const char *const say_test_left_out[TEST_LEFT_OUTS];
/* What is to be known of a test or a ride: why it is left out, and that the board on the pads lay
 * elsewhere than on the first day. "": nothing. */
void say_test_doubt(char *text, size_t size, enum test_left_out left_out, double board_apart_mm);

/* 'better: 72 % of the time in the band, 55 % before practice (7 to 26 points more)', 'cannot tell
 * yet: 2 more tests'. before: what it is set against, 'before practice'. */
void say_practice_change(char *text, size_t size, const struct practice_change *change,
                         const char *before);
/* 'kept 18 % longer from test to test (14 to 22 %)'; "" where that is not known. */
void say_lasting(char *text, size_t size, const struct censored_line *line);
/* What discomfort asks for; "" nothing. */
void say_discomfort_asks(char *text, size_t size, const struct learning *learning);

/* What the next session is, in up to three sentences; how many. */
#define NEXT_SENTENCES 3
int say_next_session(const struct learning *learning, char text[NEXT_SENTENCES][512]);

#endif
