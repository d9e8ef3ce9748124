/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_CABLE_H
#define HOLDLINE_TESTS_SUPPORT_CABLE_H

#include <stdbool.h>
#include <stddef.h>

/* A pseudo-terminal that plays a cable: the test holds the master's side. */
struct cable {
    int master; /* -1 = pulled */
    char path[64];
};

/* Where there is no /dev/pts: prints 'skipped: ...' and gives false. */
bool cable_plug(struct cable *cable);
void cable_pull(struct cable *cable);
/* Writes all of it; false when it does not go within two seconds. */
bool cable_write(const struct cable *cable, const char *bytes, size_t length);
/* The same on any descriptor that waits for room, however long that takes. */
bool cable_write_all(int descriptor, const char *bytes, size_t length);
/* Makes the symbolic link name point at the cable, in the place of what it pointed at. */
bool cable_link(const struct cable *cable, const char *name);

/* Open descriptors of this process. */
int descriptors_open(void);

#endif
