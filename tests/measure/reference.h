/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MEASURE_REFERENCE_H
#define HOLDLINE_TESTS_MEASURE_REFERENCE_H

#include "support/test_main.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Reference data under tests/measure/data, and the line that says how many digits were reached. */
#define REFERENCE_MAX 6000
#define REFERENCE_COLUMNS 16

struct reference_table {
    size_t rows, columns;
    char head[REFERENCE_COLUMNS][40];
    char text[2][80];                               /* scratch for reading */
    double value[REFERENCE_MAX][REFERENCE_COLUMNS]; /* NAN where a cell is no number */
};

static inline FILE *reference_open(const char *name)
{
    char relative[200];
    snprintf(relative, sizeof relative, "tests/measure/data/%s", name);
    FILE *file = fopen(source_path(relative), "r");
    ck_assert_msg(file != NULL, "cannot read %s", relative);
    return file;
}

/* The next line that is not a note, without its end; false at the end of the file. */
static inline int reference_line(FILE *file, char *line, size_t size)
{
    while (fgets(line, (int)size, file)) {
        line[strcspn(line, "\r\n")] = '\0';
        if (line[0] != '#' && line[0] != '\0') {
            return 1;
        }
    }
    return 0;
}

/* One number a line. */
static inline size_t reference_numbers(const char *name, double *values, size_t capacity)
{
    char line[400];
    size_t count = 0;
    FILE *file = reference_open(name);
    while (reference_line(file, line, sizeof line)) {
        ck_assert_uint_lt(count, capacity);
        ck_assert(text_to_double(line, &values[count]));
        count++;
    }
    fclose(file);
    return count;
}

/* A table of numbers; the caller frees it. */
static inline struct reference_table *reference_table(const char *name)
{
    char line[1000];
    struct reference_table *table = calloc(1, sizeof *table);
    ck_assert_ptr_nonnull(table);
    FILE *file = reference_open(name);
    ck_assert(reference_line(file, line, sizeof line));
    for (char *cell = strtok(line, ","); cell; cell = strtok(NULL, ",")) {
        snprintf(table->head[table->columns++], sizeof table->head[0], "%s", cell);
    }
    while (reference_line(file, line, sizeof line)) {
        size_t column = 0;
        ck_assert_uint_lt(table->rows, REFERENCE_MAX);
        for (char *cell = strtok(line, ","); cell; cell = strtok(NULL, ",")) {
            double value;
            table->value[table->rows][column++] = text_to_double(cell, &value) ? value : NAN;
        }
        table->rows++;
    }
    fclose(file);
    return table;
}

static inline size_t reference_column(const struct reference_table *table, const char *name)
{
    for (size_t i = 0; i < table->columns; i++) {
        if (strcmp(table->head[i], name) == 0) {
            return i;
        }
    }
    ck_abort_msg("no column %s", name);
    return 0;
}

/* The value of case,quantity in an expected file; *tolerance: its suggested relative one. */
static inline double reference_expected(const char *file_name, const char *which,
                                        const char *quantity, double *tolerance)
{
    char line[400], wanted[200];
    double value = NAN;
    *tolerance = 0.0;
    snprintf(wanted, sizeof wanted, "%s,%s,", which, quantity);
    FILE *file = reference_open(file_name);
    while (isnan(value) && reference_line(file, line, sizeof line)) {
        if (strncmp(line, wanted, strlen(wanted)) != 0) {
            continue;
        }
        char *cell = strtok(line + strlen(wanted), ",");
        ck_assert(text_to_double(cell, &value));
        cell = strtok(NULL, ",");
        if (cell && !text_to_double(cell, tolerance)) {
            *tolerance = 0.0; /* 'abs X' */
        }
    }
    fclose(file);
    ck_assert_msg(!isnan(value), "%s has no %s %s", file_name, which, quantity);
    return value;
}

/* Significant digits on which got and want agree, 16 at most. */
static inline double reference_digits(double got, double want)
{
    double error = fabs(got - want) / (want != 0.0 ? fabs(want) : 1.0);
    if (!isfinite(error)) {
        return 0.0;
    }
    return error < 1e-16 ? 16.0 : fmax(0.0, -log10(error));
}

/* One line with the digits reached; fails below wanted digits. */
#define reference_check(what, got, want, wanted)                                                   \
    do {                                                                                           \
        double got_ = (got), want_ = (want), wanted_ = (wanted);                                   \
        double digits_ = reference_digits(got_, want_);                                            \
        printf("  reference: %s: %.1f digits (%.1f wanted)\n", (what), digits_, wanted_);          \
        fflush(stdout);                                                                            \
        ck_assert_msg(digits_ >= wanted_, "%s: got %.17g, want %.17g", (what), got_, want_);       \
    } while (0)

/* For printed values: right to half a unit of the last printed place (with room for its rounding).
 */
#define reference_printed(what, got, want, half_unit)                                              \
    do {                                                                                           \
        double got_ = (got), want_ = (want);                                                       \
        printf("  reference: %s: %.10g, printed %.10g (%.1f digits)\n", (what), got_, want_,       \
               reference_digits(got_, want_));                                                     \
        fflush(stdout);                                                                            \
        ck_assert_msg(fabs(got_ - want_) <= (half_unit)*1.000001, "%s: got %.17g, printed %.17g",  \
                      (what), got_, want_);                                                        \
    } while (0)

#endif
