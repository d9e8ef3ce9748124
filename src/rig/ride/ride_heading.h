/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_RIDE_HEADING_H
#define HOLDLINE_RIG_RIDE_HEADING_H

#include "base/problem.h"
#include "measure/ride.h"
#include "rig/span.h"

/* What the first line of a table says of its columns. */
#define RIDE_COLUMNS_MAX 128

struct ride_column {
    int channel;       /* of enum ride_channel; -1: not ours */
    double factor;     /* makes the channel's unit of the column's */
    bool unit_is_free; /* pressure without a unit: hPa and Pa are told apart by their size */
};

struct ride_heading {
    char delimiter; /* ',', ';' or a tab */
    bool comma_too; /* a comma may be a decimal point */
    int columns;
    struct ride_column column[RIDE_COLUMNS_MAX];
    bool has[RIDE_CHANNELS];
    char label[RIDE_CHANNELS][48]; /* as the file has it, cleaned */
};

/* False with a sentence: no heading, a unit that is not known, a column that comes twice, none of
 * what a ride needs. */
bool ride_heading_read(struct ride_heading *heading, struct span line, struct problem *problem);

/* The next cell of a line: *text without its quotation marks, in scratch where it had some inside.
 * False at the end. */
bool ride_cell_next(struct span *rest, char delimiter, char *scratch, size_t size,
                    struct span *cell);

#endif
