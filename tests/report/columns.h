/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_REPORT_COLUMNS_H
#define HOLDLINE_TESTS_REPORT_COLUMNS_H

#include "example_report.h"

#include "support/csv_reader.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

/* What the tests of tables share: each column's heading stands over its own value, in a session in
 * which no two of them are the same, made by hand, and the columns in their order. */

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

typedef bool csv_report(FILE *stream, const struct report_input *input, struct problem *problem);

static inline struct csv_file read_back(csv_report *report)
{
    struct caught caught;
    struct csv_file file;
    ck_assert(report(catch_begin(&caught), &input, NULL));
    catch_end(&caught);
    ck_assert_msg(csv_read(caught.text, caught.length, &file), "%s", file.error);
    free(caught.text);
    return file;
}

struct pin {
    const char *heading, *cell;
};

/* The columns from first on are these, in this order, and this is what row says under them; returns
 * the column after them. */
static inline size_t check_pins(const struct csv_file *file, size_t row, size_t first,
                                const struct pin *pins, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        ck_assert_uint_lt(first + i, file->columns);
        ck_assert_str_eq(csv_cell(file, 0, first + i), pins[i].heading);
        ck_assert_msg(strcmp(csv_cell(file, row, first + i), pins[i].cell) == 0,
                      "under '%s' stands '%s', not '%s'", pins[i].heading,
                      csv_cell(file, row, first + i), pins[i].cell);
    }
    return first + count;
}

/* A value that is yes or no: its column says yes when it alone is set. */
struct yes {
    const char *heading;
    bool *value;
};

static inline void check_yes(csv_report *report, size_t row, const struct yes *yes, size_t count)
{
    for (size_t set = 0; set < count; set++) {
        for (size_t i = 0; i < count; i++) {
            *yes[i].value = i == set;
        }
        struct csv_file file = read_back(report);
        for (size_t i = 0; i < count; i++) {
            ck_assert_msg(strcmp(csv_under(&file, row, yes[i].heading), i == set ? "yes" : "no") ==
                              0,
                          "'%s' is '%s' where '%s' alone is set", yes[i].heading,
                          csv_under(&file, row, yes[i].heading), yes[set].heading);
        }
        csv_free(&file);
    }
}

#endif
