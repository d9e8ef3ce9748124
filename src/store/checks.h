/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_STORE_CHECKS_H
#define HOLDLINE_STORE_CHECKS_H

#include "database.h"

/* Writing and loading checks of the sensors; for the store's own room only. */
bool checks_write(struct store *store, int index, const struct check_record *check,
                  struct problem *problem);

/* Rows of their tables, behind session_id. */
bool checks_read(struct row *row, struct session_record *record, struct problem *problem);
bool checks_read_asked(struct row *row, struct session_record *record, struct problem *problem);
bool checks_read_number(struct row *row, struct session_record *record, struct problem *problem);

#endif
