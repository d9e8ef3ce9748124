/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_MADE_PARTS_H
#define HOLDLINE_TESTS_SUPPORT_MADE_PARTS_H

#include <stdbool.h>
#include <stdio.h>

/* Parts of the documents that the program makes itself: lists of the keys and of the rules from
 * their tables, the columns of the store's tables from theirs, and pictures of the screens with
 * made-up views. In Markdown a part stands between
 *     <!-- made: keys -->                 and <!-- end -->
 *     <!-- made: columns hold -->
 *     <!-- made: screen fitter large -->  (the picture 'large' of that screen's script of keys)
 * and in the manual between
 *     .\" made: keys                      and .\" end
 * In the schema of the exports it is a definition (support/made_schema.h). */
extern const char *const made_documents[]; /* paths in the project, ended by NULL */

/* The document with all its parts made anew. False where a part is not understood (its line is then
 * in problem) or there are no pseudo-terminals (problem is empty). */
bool made_document(const char *path, FILE *out, char *problem, size_t size);

#endif
