/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_PROBLEM_H
#define HOLDLINE_BASE_PROBLEM_H

#include <stdbool.h>

/* What went wrong, as a sentence that a person can act on: what, where, what to do. Functions that
 * can fail return false and leave one; below app nothing prints and nothing exits. */
enum problem_kind {
    PROBLEM_NONE,
    PROBLEM_FAILED, /* the work failed: exit status 1 */
    PROBLEM_USAGE,  /* used wrongly: exit status 2 */
    PROBLEM_THERE,  /* a file of that name is there already, and was left: exit status 1 */
    PROBLEM_ASKED,  /* is it meant so? the same line with sure=yes is taken: exit status 1 */
};

struct problem {
    enum problem_kind kind;
    char sentence[512];
};

/* Sets the sentence and returns false, so that a function may end with `return problem_set(...)`.
 * A NULL problem is allowed: nobody wants to know. Control characters in the result are escaped. */
bool problem_set(struct problem *problem, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* The same for wrong use (exit status 2). */
bool problem_usage(struct problem *problem, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* The same as a question, which ends with its mark: PROBLEM_SURE follows. */
#define PROBLEM_SURE " (sure=yes takes it)"
bool problem_ask(struct problem *problem, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Puts 'where: ' before the sentence that is there. Returns false. */
bool problem_prefix(struct problem *problem, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

#endif
