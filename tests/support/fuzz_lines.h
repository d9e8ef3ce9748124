/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_FUZZ_LINES_H
#define HOLDLINE_TESTS_SUPPORT_FUZZ_LINES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Changes of an input line by line: what changes single bytes seldom makes another line that is
 * one. A line goes, is said twice, changes places with another, makes way for one that is known or
 * comes before it, or takes a word of such a one. */

/* A line that is known from now on; false: there is no room for more (1,000, of under 4,000 bytes).
 */
bool fuzz_lines_know(const char *line);
/* All the lines of the files in a folder; how many there were. */
int fuzz_lines_know_folder(const char *folder);

/* One change, drawn by the seed. Returns the new length, at most most. */
size_t fuzz_lines_change(uint8_t *bytes, size_t length, size_t most, uint64_t seed);

#endif
