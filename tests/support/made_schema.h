/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_MADE_SCHEMA_H
#define HOLDLINE_TESTS_SUPPORT_MADE_SCHEMA_H

#include <stdbool.h>
#include <stdio.h>

/* Definitions of docs/NAME.schema.json that follow from the program's tables. JSON has no
 * comments: such a definition begins with the line '    "summary": {' and ends with '    },'. */

/* Does a definition that is made begin with this line? */
bool schema_made(const char *line);
/* The whole of it, with its first and last line. */
void schema_put(const char *line, FILE *out);

/* Writes the line with the words of its list, where its "$comment" says 'words: marks' or the like,
 * or 'keys: ...' of a table; false (and nothing written) where it does not, or there is no such
 * list. */
bool schema_words(const char *line, FILE *out);

#endif
