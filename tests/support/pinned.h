/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_PINNED_H
#define HOLDLINE_TESTS_SUPPORT_PINNED_H

/* What the program makes of fixed input, kept in a file of the tree: a line 'name value' each, in
 * the order of asking. A change of the program that moves a number or a word shows as a difference
 * of that file, line by line, and nobody has to have thought of it. It says nothing about what is
 * right; tests with numbers of their own do.
 *
 * HOLDLINE_MAKE_PINNED=1 build/tests/<layer>/test_pinned_<...> writes the file anew. */
void pinned_begin(const char *path); /* of the project: tests/<layer>/data/<name>.pinned */
void pinned_end(void);

/* What the names of the lines that follow begin with. */
void pinned_of(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* To 6 digits, and to 1e-9 near 0: libraries and compilers differ in the last ones. */
void pinned_number(const char *name, double value);
void pinned_text(const char *name, const char *text);

#endif
