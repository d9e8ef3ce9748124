/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_CIRCLES_H
#define HOLDLINE_TESTS_SUPPORT_CIRCLES_H

#include <stdbool.h>
#include <stddef.h>

/* Modules that use each other, however far round: read from the text as it is laid out here (what a
 * file defines begins a line). */
struct module {
    char path[160];
    char *code; /* without comments and strings */
};

/* Blanks comments, strings and character constants out, so that only code is left. */
void code_keep(char *text);

/* False where there is none; else which two, by what name. */
bool circle_find(const struct module *modules, size_t count, char *why, size_t size);

#endif
