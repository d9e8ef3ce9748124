/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_HOSTILE_TEXT_H
#define HOLDLINE_TESTS_SUPPORT_HOSTILE_TEXT_H

#include "base/random.h"

#include <stdbool.h>
#include <stddef.h>

/* Texts that a terminal or a page would obey, or that look like others: escape sequences, C1 (as
 * UTF-8 and as bytes), direction, zero width, ends of lines, formulas, mark-up, UTF-8 that is none.
 * Each has this word in it, so that it is seen where it went. */
#define HOSTILE_WORD "Zq7"

void hostile_text(struct random_source *random, char *text, size_t size);

/* Another such text in every column of text of a store, past its checks and without checksums that
 * would tell. */
void hostile_texts_of_store(const char *path, struct random_source *random);

/* The first byte of what a program wrote that must not be there; NULL: it is all plain UTF-8.
 * Allowed: line feeds, and carriage returns before them; also: other bytes that are, or "". */
const char *hostile_byte(const char *bytes, size_t length, const char *also);

#endif
