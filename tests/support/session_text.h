/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_SESSION_TEXT_H
#define HOLDLINE_TESTS_SUPPORT_SESSION_TEXT_H

#include "support/session_drive.h"

/* A session as text: two that are alike have the same. The caller frees it. */
/* All that is recorded. */
char *records_text(const struct session_record *record);
/* The same, what follows from it, what is in force, and what is asked for next. */
char *session_text(struct drive *drive);
/* Fails with the lines in which two differ. */
void assert_same_text(const char *is, const char *wanted, const char *when);

#endif
