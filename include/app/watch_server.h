/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_WATCH_SERVER_H
#define HOLDLINE_APP_WATCH_SERVER_H

#include "base/problem.h"

#include <stdbool.h>
#include <stddef.h>

/* The running session's views for watchers: a Unix-domain socket that only the same user can open,
 * a thread that hands each watcher the latest view as a line of JSON. A slow or stuck watcher loses
 * updates, never the session. */
struct watch_server;

/* view fills a line (ended by a line feed) with the latest view and gives its length, 0 when
 * nothing has changed since serial; it is called from the server's thread. */
typedef size_t watch_view(void *context, unsigned long long *serial, char *line, size_t size);

#define WATCH_LINE_MAX 16384

/* NULL with a problem when there can be no socket: the session goes on without. */
struct watch_server *watch_server_start(watch_view *view, void *context, struct problem *problem);
void watch_server_stop(struct watch_server *server); /* NULL is allowed */

/* Connects to the running session of this process (0: the only one there is). -1 with a problem,
 * which names the processes where there are several. */
int watch_connect(long process, struct problem *problem);

#endif
