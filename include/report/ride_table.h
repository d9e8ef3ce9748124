/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_RIDE_TABLE_H
#define HOLDLINE_REPORT_RIDE_TABLE_H

#include "analysis/ride_summary.h"
#include "report/paper.h"
#include "report/table.h"

/* Long rides as a table, the same for a session and for a rider's weeks: a row for each part of
 * the body, with its quarters beside each other. */
struct table *ride_table_create(void);
/* The rows of one more ride; name: what it is called in its first row. */
void ride_table_add(struct table *table, const char *name, const struct ride_summary *ride);
/* The table, and below it what its columns are; nothing without rows. Frees the table. False only
 * without memory. */
bool ride_table_end(struct paper *paper, struct table *table, struct problem *problem);

#endif
