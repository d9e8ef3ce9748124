/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_MARKUP_H
#define HOLDLINE_TESTS_SUPPORT_MARKUP_H

#include <stdbool.h>

/* Is this well-formed: every element closed in its order, attributes in quotes, no bare '&' or '<',
 * no control characters? As XML; HTML's elements without an end (meta, br) may stand open. False
 * with the place in error (160 bytes). */
bool markup_check(const char *text, char *error);

/* How many elements begin with this ('<circle'). */
int markup_count(const char *text, const char *start);

#endif
