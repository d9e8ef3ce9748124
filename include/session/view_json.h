/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_VIEW_JSON_H
#define HOLDLINE_SESSION_VIEW_JSON_H

#include "base/problem.h"
#include "session/snapshot.h"
#include "session/view.h"

#include <stdio.h>

/* A view as one line of JSON for watchers (docs/watch.md describes it), and back. Histories,
 * setups' parts and what only forms need are not in it. */
void view_json_write(const struct view *view, FILE *stream);

/* Fills a view, and what it shows of a begun snapshot that it then points at, from such a line;
 * what the line has not is cleared, and the view's serial goes on. False when it is no such line.
 */
bool view_json_read(const char *line, size_t length, struct view *view, struct snapshot *snapshot,
                    struct problem *problem);

/* One line of at most 40 cells for a status bar: setup, what goes on, the worst channel. */
void view_status_line(const struct view *view, char *text, size_t size);

#endif
