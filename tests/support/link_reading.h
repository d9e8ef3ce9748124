/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_LINK_READING_H
#define HOLDLINE_TESTS_SUPPORT_LINK_READING_H

#include "rig/link.h"

/* Links driven by a test. Each aborts the test where it cannot. */

struct link *open_link(const struct link_kind *kind, const char *target, const char *parameters);

struct chunk {
    enum link_result result;
    size_t length;
    int64_t arrival_us;
    char bytes[4096]; /* ended by a NUL */
};
struct chunk read_chunk(struct link *link, int timeout_ms);

/* Reads until the link says what is wanted, at most three seconds: how long it took, us. */
int64_t time_until(struct link *link, enum link_result wanted);

/* A folder of the test's own before each test and away after it. */
void folder_make(void);
void folder_remove(void);
/* Path of a file in it; static buffer. */
const char *folder_path(const char *name);
/* Writes a file into it and gives its path. */
const char *file_with(const char *name, const char *text);

#endif
