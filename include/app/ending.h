/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_ENDING_H
#define HOLDLINE_APP_ENDING_H

#include <stdbool.h>

/* SIGTERM, SIGHUP and SIGINT ask a command that has something to put in order to end. A write to a
 * terminal that was stopped (Ctrl-S), or to one or a pipe that nobody reads, would wait for ever:
 * half a second after the signal a stopped terminal is let go on, ENDING_AWAY_MS after it what is
 * still written there goes nowhere, and the terminal's modes are as they were. Files are written to
 * the end. */
#define ENDING_RESUME_MS 500
#define ENDING_AWAY_MS 1000

/* From here on; for the main thread. A signal that was ignored at the start stays so (nohup). */
void ending_begin(void);
bool ending_asked(void);
/* A descriptor that can be read from once it was asked: wakes who polls. -1: there is none. */
int ending_descriptor(void);
/* The signals have their usual effect again; after one that came, what is written still does not
 * hold the program up. */
void ending_end(void);
/* Lets the one that came have its effect now: the program ends by it. */
void ending_have_effect(void);

#endif
