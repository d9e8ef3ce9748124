/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/outcome.h"

#include "support/test_main.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#define NEAR_NOTHING 1e-9

static struct {
    FILE *file;
    char of[200];
} outcome;

void outcome_begin(const char *name)
{
    const char *folder = getenv("HOLDLINE_OUTCOMES");
    char path[500];
    ck_assert_msg(folder != NULL, "HOLDLINE_OUTCOMES is not set: 'make outcomes' does it");
    snprintf(path, sizeof path, "%s/%s", folder, name);
    outcome.of[0] = '\0';
    outcome.file = fopen(path, "w");
    ck_assert_msg(outcome.file != NULL, "cannot write %s", path);
}

void outcome_of(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(outcome.of, sizeof outcome.of, format, arguments);
    va_end(arguments);
}

void outcome_text(const char *name, const char *text)
{
    fprintf(outcome.file, "%s%s%s %s\n", outcome.of, outcome.of[0] != '\0' ? "." : "", name, text);
}

void outcome_number(const char *name, double value)
{
    char text[40];
    double shown = isnan(value) || fabs(value) < NEAR_NOTHING ? fabs(value) : value;
    snprintf(text, sizeof text, "%.7g", shown < NEAR_NOTHING && shown > 0.0 ? 0.0 : shown);
    outcome_text(name, text);
}

void outcome_end(void)
{
    ck_assert_int_eq(fclose(outcome.file), 0);
}
