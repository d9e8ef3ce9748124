/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/problem.h"

#include "base/text.h"

#include <stdarg.h>
#include <string.h>

/* Formats with '.' in numbers whatever the locale, then escapes what a terminal would obey. */
static void set(struct problem *problem, enum problem_kind kind, const char *format,
                va_list arguments) __attribute__((format(printf, 3, 0)));

static void set(struct problem *problem, enum problem_kind kind, const char *format,
                va_list arguments)
{
    char raw[sizeof problem->sentence];
    size_t used = 0;
    text_append_list(raw, sizeof raw, &used, format, arguments);
    problem->kind = kind;
    text_escape(problem->sentence, sizeof problem->sentence, raw, used);
}

bool problem_set(struct problem *problem, const char *format, ...)
{
    if (problem != NULL) {
        va_list arguments;
        va_start(arguments, format);
        set(problem, PROBLEM_FAILED, format, arguments);
        va_end(arguments);
    }
    return false;
}

bool problem_usage(struct problem *problem, const char *format, ...)
{
    if (problem != NULL) {
        va_list arguments;
        va_start(arguments, format);
        set(problem, PROBLEM_USAGE, format, arguments);
        va_end(arguments);
    }
    return false;
}

bool problem_ask(struct problem *problem, const char *format, ...)
{
    if (problem != NULL) {
        va_list arguments;
        va_start(arguments, format);
        set(problem, PROBLEM_ASKED, format, arguments);
        va_end(arguments);
        size_t used = strlen(problem->sentence);
        text_append(problem->sentence, sizeof problem->sentence, &used, PROBLEM_SURE);
    }
    return false;
}

bool problem_prefix(struct problem *problem, const char *format, ...)
{
    if (problem != NULL) {
        struct problem where = {PROBLEM_NONE, ""};
        va_list arguments;
        va_start(arguments, format);
        set(&where, PROBLEM_FAILED, format, arguments);
        va_end(arguments);
        size_t used = strlen(where.sentence);
        text_append(where.sentence, sizeof where.sentence, &used, ": %s", problem->sentence);
        memcpy(problem->sentence, where.sentence, sizeof problem->sentence);
        if (problem->kind == PROBLEM_NONE) {
            problem->kind = PROBLEM_FAILED;
        }
    }
    return false;
}
