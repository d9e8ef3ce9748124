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
/* Takes the row's next column, checked against its field: its type in the file, its range, its
 * word. FIELD_UNKNOWN: a key that this program doesn't know. FIELD_CLEANED: taken, but for
 * characters that no text of this program's has, or for what was too long. FIELD_DAMAGED: the
 * member is as it was; why says why, behind the column's name. */
enum field_taken { FIELD_TAKEN, FIELD_CLEANED, FIELD_UNKNOWN, FIELD_DAMAGED };
#define FIELD_WHY_SIZE 100
enum field_taken field_take(struct row *row, const struct stored_field *field, void *base,
                            int index, int64_t last_sample, char why[FIELD_WHY_SIZE]);

/* The same of a key's column, whose value is an index. */
void field_put_key(struct row *row, const struct stored_field *field, int index);
int field_take_key(struct row *row, const struct stored_field *field); /* or -1 */

#endif
