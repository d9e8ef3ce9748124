/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_KEYS_H
#define HOLDLINE_RIG_PLAIN_KEYS_H

#include "rig/plain_columns.h"

/* Streams of one value a line, each line of another sensor, told apart by a key: the label before
 * the number ('Head: 400 mm'), a word or number in another column ('1,400',
 * '{"id":"head","mm":400}'). So that two sensors on alternating lines never become one channel at
 * their mean. */

/* One line of such a stream, taken apart. */
struct keyed_line {
    char key[CHANNEL_NAME_SIZE]; /* "" = it has none */
    struct token value;          /* TOKEN_EMPTY: it has none */
};
/* A line under a shape. status and time go to take, with their columns' numbers, for each column
 * that layout has a use for; NULL: not wanted. */
typedef void keyed_column(void *context, int column, const struct token *token);
void plain_keys_read(const struct plain_keys *keys, struct plain_shape shape, struct span line,
                     struct keyed_line *read, keyed_column *take, void *context);

/* Lines of one shape, prepared and dressed. */
struct plain_lines {
    int count;
    struct span line[HELD_LINES_MAX];
};
/* Are they of this kind? Fills in where key and value stand, and pivot: the keys as columns, for
 * the choice among them. columns: the same lines' columns as they stand, and layout's time and
 * status found already. */
bool plain_keys_find(struct plain_keys *keys, const struct plain_lines *lines,
                     const struct plain_columns *columns, const struct plain_layout *layout,
                     struct plain_columns *pivot);

/* Do labels before the first number differ from line to line, as keys do? count: lines. Enough:
 * each that is told apart has come twice, of six lines and more. */
bool plain_labels_differ(const struct plain_lines *lines, struct plain_shape shape, bool *enough);

/* May one of the columns be a key? enough: as above. */
bool plain_keys_are_possible(const struct plain_lines *lines, const struct plain_columns *columns,
                             bool *enough);

/* Index of a key; -1 = not one of those known. */
int plain_key_index(const struct plain_keys *keys, const char *key);

#endif
