/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_TEST_MAIN_H
#define HOLDLINE_TESTS_SUPPORT_TEST_MAIN_H

#include <check.h>

/* Runs one suite, prints Check's closing line, gives the exit status for main(). The program's name
 * is given to Check so that a failure names where it stands. */
int test_main(Suite *suite);

/* Path of a file of the project (tests/..., sessions/...), in a static buffer. */
const char *source_path(const char *relative);

/* Path of a file in ../shared (recordings, references), or NULL where that folder is not beside the
 * project; then a line 'skipped: ...' has been printed. For recordings that may not be copied here.
 */
const char *shared_path_or_skip(const char *relative);

#endif
