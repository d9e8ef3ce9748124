/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RUN_LINES_H
#define HOLDLINE_APP_RUN_LINES_H

#include "base/words.h"
#include "record/record.h"
#include "rig/ride_file.h"

/* 'run setup=1 from=a.csv laps=2..5': the ride's file is read, cut into laps or ways as the course
 * of the day has it, and becomes command lines of the session, one act together. They are logged as
 * all others, so that a replay needs no file. */

/* Is it a run of which a file is to be read? */
bool run_lines_wanted(const struct words *words);

/* What is worked out of the file, apart from any session; may take a while on a large file. */
struct run_lines;
/* Names of files are from the working directory. watch may be NULL. NULL with a problem. */
struct run_lines *run_lines_read(const struct words *words, const struct drag_settings *course,
                                 const struct ride_watch *watch, struct problem *problem);
void run_lines_close(struct run_lines *lines);

/* What of the file is in no lap or way: 'values that can't be (3), stretches ... (2)'; "" for
 * nothing. */
const char *run_lines_passed_over(const struct run_lines *lines);

/* Hands the lines on, the first alone, then those that belong to it ('and ...'). Where one of them
 * is refused, what was done is taken back. */
typedef bool run_line_sink(void *context, const char *line, struct problem *problem);
bool run_lines_follow(const struct run_lines *lines, run_line_sink *sink, void *context,
                      struct problem *problem);

#endif
