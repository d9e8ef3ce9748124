/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_STORE_FIELDS_H
#define HOLDLINE_STORE_FIELDS_H

#include "database.h"

/* One field of a record, by its table: into a row and out of one. For the store's own room only. */

/* Where it is in the struct; index: of an owned row, else 0. */
void *field_at(const struct stored_field *field, void *base, int index);
/* Puts its value as the row's next column. */
void field_put(struct row *row, const struct stored_field *field, const void *base, int index);
/* Takes the row's next column. FIELD_UNKNOWN: a key that this program doesn't know, or a number
 * out of its range. FIELD_REFUSED: with a sentence. */
enum field_taken { FIELD_TAKEN, FIELD_UNKNOWN, FIELD_REFUSED };
enum field_taken field_take(struct row *row, const struct stored_field *field, void *base,
                            int index, struct problem *problem);

/* The same of a key's column, whose value is an index. */
void field_put_key(struct row *row, const struct stored_field *field, int index);
int field_take_key(struct row *row, const struct stored_field *field); /* or -1 */

#endif
