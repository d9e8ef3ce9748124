/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/pinned.h"

#include "support/test_main.h"

#include "base/text.h"

#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DIGITS 1e-6
#define NEAR_NOTHING 1e-9
#define ANEW "\n(where that is meant: HOLDLINE_MAKE_PINNED=1 and this program)"

static struct {
    FILE *file;
    bool writes;
    int line;
    char path[200], of[200];
} pinned;

void pinned_begin(const char *path)
{
    pinned.writes = getenv("HOLDLINE_MAKE_PINNED") != NULL;
    pinned.line = 0;
    pinned.of[0] = '\0';
    snprintf(pinned.path, sizeof pinned.path, "%s", path);
    pinned.file = fopen(source_path(path), pinned.writes ? "w" : "r");
    ck_assert_msg(pinned.file != NULL, "cannot open %s", path);
}

void pinned_of(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(pinned.of, sizeof pinned.of, format, arguments);
    va_end(arguments);
}

/* The line's value; its name must be this one. */
static const char *pinned_value(const char *name)
{
    static char line[4000];
    char wanted[300];
    int length =
        snprintf(wanted, sizeof wanted, "%s%s%s ", pinned.of, pinned.of[0] ? "." : "", name);
    pinned.line++;
    ck_assert_msg(fgets(line, sizeof line, pinned.file) != NULL, "%s ends before %s" ANEW,
                  pinned.path, wanted);
    line[strcspn(line, "\n")] = '\0';
    ck_assert_msg(strncmp(line, wanted, (size_t)length) == 0,
                  "%s:%d: '%s' where %s was asked for" ANEW, pinned.path, pinned.line, line,
                  wanted);
    return line + length;
}

static void write_line(const char *name, const char *value)
{
    fprintf(pinned.file, "%s%s%s %s\n", pinned.of, pinned.of[0] ? "." : "", name, value);
}

static bool same(double pinned_one, double value)
{
    double error = fabs(pinned_one - value);
    return error <= NEAR_NOTHING || error <= DIGITS * fabs(pinned_one);
}

void pinned_number(const char *name, double value)
{
    char text[40];
    snprintf(text, sizeof text, "%.10g", isnan(value) ? fabs(value) : value); /* never '-nan' */
    if (pinned.writes) {
        write_line(name, text);
        return;
    }
    const char *was = pinned_value(name);
    double number = NAN;
    bool finite = text_to_double(was, &number);
    bool alike = finite ? same(number, value) : strcmp(was, text) == 0;
    ck_assert_msg(alike, "%s:%d: %s.%s was %s, is %s" ANEW, pinned.path, pinned.line, pinned.of,
                  name, was, text);
}

void pinned_text(const char *name, const char *text)
{
    if (pinned.writes) {
        write_line(name, text);
        return;
    }
    const char *was = pinned_value(name);
    ck_assert_msg(strcmp(was, text) == 0, "%s:%d: %s.%s was\n'%s', is\n'%s'" ANEW, pinned.path,
                  pinned.line, pinned.of, name, was, text);
}

void pinned_end(void)
{
    char line[200];
    if (!pinned.writes) {
        ck_assert_msg(fgets(line, sizeof line, pinned.file) == NULL, "%s has more: %s" ANEW,
                      pinned.path, line);
    }
    ck_assert_int_eq(fclose(pinned.file), 0);
    pinned.file = NULL;
}
