/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_LABELS_H
#define HOLDLINE_RIG_PLAIN_LABELS_H

#include "rig/plain_tokens.h"

/* The labels before the numbers of a line that has several ('head: 412 chest: 370'): a number goes
 * by its label where that stands in another place than in the first lines. */

#define PLAIN_LABELS_MAX 16 /* columns that are told by their labels */

struct plain_labels {
    int columns;                                  /* 0: the lines have no labels */
    char text[PLAIN_LABELS_MAX][PLAIN_NAME_SIZE]; /* "": none, or another's too */
};

struct plain_columns;
struct plain_layout;
/* Of columns that no heading named. */
void plain_labels_learn(struct plain_labels *labels, const struct plain_columns *columns);
/* The column of a number in this column's place with this text before it: the place's own where the
 * text is no other column's label. */
int plain_labels_column(const struct plain_labels *labels, int place, struct span before);
/* Is the line the heading with its names in another order? Then place gets, for each of the columns
 * from here on, the one that it was under the heading. Of fields between delimiters. */
bool plain_labels_turned(const struct plain_layout *layout, struct span line, uint8_t place[]);

#endif
