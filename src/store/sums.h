/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_STORE_SUMS_H
#define HOLDLINE_STORE_SUMS_H

#include "database.h"

#include "record/sound.h"

/* Checksums (record/stored_sum.h) beside what they are of: a row for each record, and for each
 * stretch of samples of a session. For the store's own room only. */

#define SUM_STRETCH 128 /* samples */
#define SUMS_SINCE 8    /* version of the store */

/* The tables, and a NULL; and what a store of before gets: the sums of what is in it now, where it
 * can be read. */
extern const char *const store_sum_tables_sql[];
bool store_sums_make(struct store *store, struct problem *problem);

bool sum_write_record(struct store *store, enum stored_table_id table, int64_t session_id,
                      int place, const void *record, struct problem *problem);
/* The sum of the stretch that the sample of this number is in. */
bool sum_write_stretch(struct store *store, int64_t session_id, int64_t number, uint64_t sum,
                       struct problem *problem);

/* Whether a session has any: one of before may have none, which then can't be looked at. */
bool sum_is_kept(struct store *store, int64_t session_id, bool *is, struct problem *problem);
/* Each record's that was read against its own: what differs, is there without one, or is gone. */
bool sum_compare_records(struct store *store, int64_t session_id, struct session_record *record,
                         const struct session_header *header, struct record_faults *faults,
                         struct problem *problem);
/* Of a command of the log: 1 the same, 0 another, -1 none. */
bool sum_compare_command(struct store *store, int64_t session_id,
                         const struct command_record *command, int *same, struct problem *problem);
/* The sum of a stretch as it is stored; *there: there is one. */
bool sum_read_stretch(struct store *store, int64_t session_id, int64_t stretch, uint32_t *sum,
                      bool *there, struct problem *problem);
/* A session's sums from one store into another, after its rows. */
bool sum_copy(struct store *from, int64_t from_id, struct store *into, int64_t into_id,
              struct problem *problem);

#endif
