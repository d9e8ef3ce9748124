/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_CHOOSER_H
#define HOLDLINE_RIG_PLAIN_CHOOSER_H

#include "rig/plain_columns.h"

/* What a choice among columns is made with, and how it is kept. */
struct chooser {
    const struct plain_columns *columns;
    const struct decoder_options *options;
    struct plain_layout *layout;
    struct rig_info *info;
    struct problem *problem;
};

/* The column that a person means by a number from 1 or a heading's name; -1 when there is none. */
int plain_column_find(const struct plain_columns *columns, struct span wanted);

/* The column becomes the next channel, called as said, else as the column. */
bool plain_use_column(const struct chooser *chooser, int index, struct span channel);
/* False with "column 'x' <trouble>; the stream has ...". */
bool plain_no_such_column(const struct chooser *chooser, struct span wanted, const char *trouble);
/* Notes something of a column, for who reads the stream. */
void plain_note(const struct chooser *chooser, enum wire_note_kind kind, int index,
                int64_t value_milli);
struct span plain_unit_of(const struct plain_column *column); /* "" unknown */
/* The columns there are, for a sentence. */
void plain_list_columns(const struct plain_columns *columns, char *list, size_t size);

#endif
