/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_READINGS_SCRIPT_H
#define HOLDLINE_APP_READINGS_SCRIPT_H

#include "base/problem.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* The program's own table of readings (NAME-readings.csv) as the lines of a script: the same
 * captures of the same samples, setups, builds, and the heights that stand in it. The file itself
 * is the rig that the script runs with. */

/* Does a file begin as one? */
bool readings_script_is(const char *path);

struct readings_found {
    int captures, holds, builds, channels;
    int64_t last_sample;
    int heights;     /* channels with heights that are taken, */
    char unlike[96]; /* and those whose heights no line of this session can give */
};

typedef bool readings_line(void *context, const char *line, struct problem *problem);
/* with_heights: as the file has them; else they follow from what else is said of the session. False
 * with a sentence that names file, line and word: what is in the file can't be one session's. */
bool readings_script_lines(const char *path, bool with_heights, readings_line *line, void *context,
                           struct readings_found *found, struct problem *problem);

#endif
