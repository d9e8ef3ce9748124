/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RUN_LINES_H
#define HOLDLINE_APP_RUN_LINES_H

#include "base/words.h"
#include "record/record.h"

/* 'run setup=1 from=a.csv laps=2..5': the ride's file is read, cut into laps or ways as the course
 * of the day has it, and becomes command lines of the session, one act together. They are logged as
 * all others, so that a replay needs no file. */

/* Is it a run of which a file is to be read? */
bool run_lines_wanted(const struct words *words);

/* What is worked out of the file, apart from any session; may take a while on a large file. */
struct run_lines;
/* folder: of relative names; NULL: the working directory. NULL with a problem. */
struct run_lines *run_lines_read(const struct words *words, const struct drag_settings *course,
                                 const char *folder, struct problem *problem);
void run_lines_close(struct run_lines *lines);
int run_lines_count(const struct run_lines *lines);
const char *run_lines_at(const struct run_lines *lines, int index);

/* Hands the lines on, the first alone, then those that belong to it ('and ...'). Where one of them
 * is refused, what was done is taken back. */
typedef bool run_line_sink(void *context, const char *line, struct problem *problem);
bool run_lines_follow(const struct run_lines *lines, run_line_sink *sink, void *context,
                      struct problem *problem);

#endif
