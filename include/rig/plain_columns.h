/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_COLUMNS_H
#define HOLDLINE_RIG_PLAIN_COLUMNS_H

#include "rig/plain_layout.h"

/* What stands in the columns of a few lines of one shape, and which of them are ranges and time. */

#define PLAIN_NAME_SIZE 48

struct plain_column {
    char name[PLAIN_NAME_SIZE]; /* from the heading or the label before the number, with its unit;
                                   cleaned */
    size_t name_length;         /* without the unit */
    char unit[12];              /* "" unknown; lower case */
    char text[24];              /* the first text in a column without numbers */
    int numbers, calendars, texts;
    bool is_bare; /* never text around a number */
    bool has_fraction;
    bool rises;                      /* each value above the one before */
    int64_t first_milli, last_milli; /* values times 1000 */
    int64_t least_step_milli, largest_step_milli;
    int64_t first_calendar_us, last_calendar_us;
};

struct plain_columns {
    struct plain_shape shape;
    int lines;
    struct plain_column column[PLAIN_COLUMNS_MAX];
};

void plain_columns_begin(struct plain_columns *columns, struct plain_shape shape);
void plain_columns_name(struct plain_columns *columns, struct span heading);
void plain_columns_add(struct plain_columns *columns, struct span line);

bool plain_holds_numbers(const struct plain_column *column);  /* mostly */
bool plain_holds_times(const struct plain_column *column);    /* mostly dates or times of the day */
struct span plain_name_of(const struct plain_column *column); /* without the unit */

/* Fills in layout what the columns are used for (src/rig/plain_choice.c). */
bool plain_columns_choose(const struct plain_columns *columns,
                          const struct decoder_options *options, struct plain_layout *layout,
                          struct problem *problem);

bool plain_is_comment(struct span line); /* '#', '%' or '//' at its start */
/* Columns that a line of words names under a shape; 0 when numbers are in it. */
int plain_heading_columns(struct span line, struct plain_shape shape);

#endif
