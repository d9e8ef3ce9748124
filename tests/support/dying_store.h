/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_DYING_STORE_H
#define HOLDLINE_TESTS_SUPPORT_DYING_STORE_H

#include <stdbool.h>

/* A process that is killed at a call to the system that SQLite makes: what it had done by then is
 * what the next program finds. */

enum dying_moment {
    DYING_BEFORE,  /* the call */
    DYING_HALFWAY, /* a write has written half of its bytes; other calls: behind it */
};

/* Runs work(context) in a process of its own that dies at call number `at` (1, 2, ...) of those
 * that change files or locks. Gives whether it died there; false: there are fewer calls, and work
 * was done to its end. Fails the test where work ended otherwise. */
bool dying_run(void (*work)(void *context), void *context, int at, enum dying_moment moment);

/* How many such calls work(context) makes, in a process of its own that lives. */
int dying_calls(void (*work)(void *context), void *context);

#endif
