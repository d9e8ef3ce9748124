/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_STORE_SESSION_ROW_H
#define HOLDLINE_STORE_SESSION_ROW_H

#include "database.h"

/* The row of the session itself, and the rows it owns: what its comparison is made with, the limits
 * entered from the makers' papers. */

/* Insert, or update where it is there already; refused where the session is another row's. */
bool session_row_write(struct store *store, const struct session_header *header,
                       struct problem *problem);
/* The stretch of its samples (last_n is first_n - 1 where it has none). */
bool session_extent(struct store *store, int64_t id, int64_t *first_n, int64_t *last_n,
                    struct problem *problem);
/* And how far its samples go into the record. */
bool session_row_read(struct store *store, int64_t id, struct session_header *header,
                      struct session_record *record, struct problem *problem);

#endif
