/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_BOARDS_H
#define HOLDLINE_APP_BOARDS_H

#include "base/problem.h"
#include "rig/decoder.h"

#include <stdbool.h>

/* What was found of boards: the speed of the line and how their stream is read, kept in the file
 * 'boards' of the data folder, a line each. A USB device is known by its identity, whatever its
 * name is today; another by its path. */
struct board {
    double baud; /* 0: not known */
    struct decoder_options options;
};

/* False where nothing is known of the device (a path, maybe with 'serial:' or 'tty:' before and
 * settings behind). */
bool boards_recall(const char *spec, struct board *board);
/* Keeps it, in the place of what was known. False with a sentence where it can't be written. */
bool boards_keep(const char *spec, const struct board *board, struct problem *problem);
/* Keeps nothing of it any more. False with a sentence where nothing was, or it can't be written. */
bool boards_forget(const char *spec, struct problem *problem);

#endif
