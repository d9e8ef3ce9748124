/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_STORE_SESSION_ROW_H
#define HOLDLINE_STORE_SESSION_ROW_H

#include "database.h"

/* The row of the session itself, what its comparison is made with, and the limits entered from the
 * makers' papers. */

/* Insert, or update where it is there already; refused where the session is another row's. */
bool session_row_write(struct store *store, const struct session_header *header,
                       struct problem *problem);
/* Only the limits of a session that is there: what was there goes. */
bool session_row_write_limits(struct store *store, int64_t session_id,
                              const struct bike_limits *limits, struct problem *problem);

bool session_row_read(struct store *store, int64_t id, struct session_record *record,
                      struct problem *problem);
/* A row of each table, into the record. */
bool session_row_read_matters(struct row *row, struct session_record *record,
                              struct problem *problem);
bool session_row_read_limit(struct row *row, struct session_record *record,
                            struct problem *problem);

#endif
