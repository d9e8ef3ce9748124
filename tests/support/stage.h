/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_STAGE_H
#define HOLDLINE_TESTS_SUPPORT_STAGE_H

#include "screen/screen.h"
#include "support/terminal.h"
#include "support/views.h"

/* The screens in a child behind a pseudo-terminal: the test sets the view, sends keys, sees what
 * stands on the terminal and which requests came of the keys, and gives the answers. */
struct stage;

/* NULL where there are no pseudo-terminals (then 'skipped: ...' was printed). */
struct stage *stage_open(const struct terminal_settings *settings, enum made_view kind);
void stage_close(struct stage *stage);

struct terminal *stage_terminal(struct stage *stage);
/* The view as the child will draw it next; change it between stage_lock and stage_unlock, which
 * also bumps its serial. */
struct view *stage_lock(struct stage *stage);
void stage_unlock(struct stage *stage);
/* Until the child has drawn the newest view and all of it has arrived. */
bool stage_drawn(struct stage *stage);
/* Time goes on, drawn. */
bool stage_step(struct stage *stage, double seconds);

/* Sends keys to a child that has the newest view, waits until they were read and drawn. */
bool stage_keys(struct stage *stage, const char *keys);
/* Requests so far, and each of them ('command: hold 60s free', 'export: a.csv', 'stop work',
 * 'quit'). */
int stage_requests(struct stage *stage);
const char *stage_request(struct stage *stage, int index);
/* Answer to every request from now on. */
void stage_answer(struct stage *stage, bool done, const char *sentence);
/* From now on what is sent is asked about so (a file that is there already, a slip). */
void stage_answer_asked(struct stage *stage, const char *sentence);

#endif
