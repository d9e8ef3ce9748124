/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_OUTCOME_H
#define HOLDLINE_TESTS_SUPPORT_OUTCOME_H

/* What the program makes of fixed input, written into the folder HOLDLINE_OUTCOMES: a line
 * 'name value' each, in the order of asking. Two versions of the program are set side by side by
 * it (make outcomes): a number or a word that moved shows, and nobody has to have thought of it.
 * It says nothing about what is right. */
void outcome_begin(const char *name); /* of the file */
void outcome_end(void);

/* What the names of the lines that follow begin with. */
void outcome_of(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* To 7 digits, and to 1e-9 near 0: the last ones hang on the compiler. */
void outcome_number(const char *name, double value);
void outcome_text(const char *name, const char *text);

#endif
