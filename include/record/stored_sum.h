/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RECORD_STORED_SUM_H
#define HOLDLINE_RECORD_STORED_SUM_H

#include "record/stored.h"

/* Checksums of what is stored, so that a value that was changed into another possible one is seen.
 * Against accidents, not against whoever would make them fit. FNV-1a (Fowler, Noll, Vo; as in RFC
 * 9923) of 64 bits for records, a multiplying mix of the same width for samples, folded to 32. */

/* Of a record with the rows it owns: each field that has a value, by its key; one that is not
 * known, or 0, adds nothing, so that a field that came later changes no sum. */
uint32_t stored_sum(enum stored_table_id table, const void *record);

/* Of one sample behind others; begins with 0. */
uint64_t stored_sum_sample(uint64_t sum, const struct sample *sample);
uint32_t stored_sum_fold(uint64_t sum);

/* How many rows a record owns in a table, and whether one is stored (a sparse table's without a
 * number is not). */
int stored_owned_count(const struct stored_table *table, const void *owner);
bool stored_owned_is_kept(const struct stored_table *table, const void *owner, int index);

#endif
