/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_APP_LIVE_OWN_SOCKET_H
#define HOLDLINE_SRC_APP_LIVE_OWN_SOCKET_H

#include "base/problem.h"

#include <stdbool.h>
#include <stddef.h>

/* Unix-domain sockets of a running session, KIND-PROCESS.sock in a folder that only the same user
 * can open: XDG_RUNTIME_DIR/holdline, else /tmp/holdline-UID. The sockets are mode 600, and who
 * connects is asked for his user as well. */

#define OWN_SOCKET_PATH 108

/* Listens as this process; path gets the socket's name, to be unlinked at the end. -1 with a
 * problem. */
int own_socket_listen(const char *kind, char path[OWN_SOCKET_PATH], struct problem *problem);
/* The next who connects, close-on-exec; -1: nobody, or another user. */
int own_socket_accept(int listening);
/* Connects to the running session of this process (0: the only one there is), wherever this user's
 * may stand: a login over ssh may have another XDG_RUNTIME_DIR. -1 with a problem, which names the
 * processes where there are several. */
int own_socket_connect(const char *kind, long process, struct problem *problem);

#endif
