/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_TELL_SERVER_H
#define HOLDLINE_APP_TELL_SERVER_H

#include "app/live_session.h"

/* The running session takes command lines from other programs of the same user, on a Unix-domain
 * socket of its own (docs/watch.md): a line in, its answer out. Rubbish is refused with a sentence;
 * one line at a time is handed on, so that a flood is slowed down and costs the session nothing. */
struct tell_server;

/* NULL with a problem when there can be no socket: the session goes on without. */
struct tell_server *tell_server_start(struct live_session *session, struct problem *problem);
void tell_server_stop(struct tell_server *server); /* NULL is allowed */

#define TELL_TELLERS_MAX 8
#define TELL_PAUSE_MS 20 /* between two lines, whoever says them */
#define TELL_SLOW_S 10.0 /* a line that was begun, or none at all: then the teller is let go */
#define TELL_DONE "done" /* the answer's last line begins with one of these; */
#define TELL_REFUSED "refused"
#define TELL_MORE ' ' /* and lines of a longer text before it with that */

/* Connects to the running session of this process (0: the only one there is); -1 with a problem. */
int tell_connect(long process, struct problem *problem);

#endif
