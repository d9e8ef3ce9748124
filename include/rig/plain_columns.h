/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_COLUMNS_H
#define HOLDLINE_RIG_PLAIN_COLUMNS_H

#include "rig/plain_layout.h"

/* What stands in the columns of a few lines of one shape, and which of them are ranges and time. */

struct plain_column {
    char name[PLAIN_NAME_SIZE]; /* from the heading or the label before the number, with its unit;
                                   cleaned */
    size_t name_length;         /* without the unit */
    char unit[12];              /* "" unknown; lower case */
    char text[24];              /* the first text in a column without numbers */
    int numbers, calendars, texts;
    bool is_bare;    /* never text around a number */
    bool opens_list; /* '[' stands between its name and the number */
    bool has_fraction;
    bool rises;                      /* each value above the one before */
    int64_t first_milli, last_milli; /* values times 1000 */
    int64_t least_step_milli, largest_step_milli;
    int64_t value_milli[HELD_LINES_MAX]; /* of the first numbers */
    int64_t first_calendar_us, last_calendar_us;
    int calendar_changes; /* between lines */
};

struct plain_columns {
    struct plain_shape shape;
    int lines;
    int trailed; /* of them: words stand behind the last number */
    struct plain_column column[PLAIN_COLUMNS_MAX];
};

void plain_columns_begin(struct plain_columns *columns, struct plain_shape shape);
void plain_columns_name(struct plain_columns *columns, struct span heading);
void plain_columns_add(struct plain_columns *columns, struct span line);
/* A column of nothing but a unit of length ('"unit":"cm"') is the unit of those without one. */
void plain_columns_unit_beside(struct plain_columns *columns);
/* 'Sensor 1 412 Sensor 2 296': a number that stands still behind a word, before a number without a
 * name of its own, belongs to that one's name. */
void plain_columns_join_numbers(struct plain_columns *columns);
/* One more value of a column. */
void plain_column_add(struct plain_column *column, const struct token *token);
/* A name with its unit: 'distance [cm]', 'distance_cm'; of "" and of figures nothing is kept. */
void plain_column_name(struct plain_column *column, struct span text);
/* Punctuation around a name goes: '{"distance":', '# time', 'd ='. Brackets with a unit stay. */
struct span plain_strip(struct span text);

bool plain_holds_numbers(const struct plain_column *column);  /* mostly */
bool plain_holds_times(const struct plain_column *column);    /* mostly dates or times of the day */
struct span plain_name_of(const struct plain_column *column); /* without the unit */

/* Fills in layout what the columns are used for (src/rig/plain_choice.c). */
bool plain_columns_choose(const struct plain_columns *columns,
                          const struct decoder_options *options, struct plain_layout *layout,
                          struct rig_info *info, struct problem *problem);

bool plain_is_comment(struct span line); /* '#', '%' or '//' at its start */
/* Columns that a line of words names under a shape; 0 when numbers are in it. */
int plain_heading_columns(struct span line, struct plain_shape shape);

#endif
