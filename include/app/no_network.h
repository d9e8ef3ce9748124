/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_NO_NETWORK_H
#define HOLDLINE_APP_NO_NETWORK_H

#include <stdbool.h>

/* The program needs no network. From here on the kernel refuses this process, and whatever it
 * starts, every socket but those of this machine (AF_UNIX: watchers, a player's sound server), with
 * EAFNOSUPPORT, and io_uring, which could open one past that. False where the kernel or the machine
 * has no such filter (seccomp(2)): the program does without, as it opens none itself. */
bool no_network(void);

#endif
