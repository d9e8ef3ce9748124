/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_RIDE_CSV_H
#define HOLDLINE_RIG_RIDE_CSV_H

#include "base/problem.h"
#include "measure/ride.h"

/* A ride from a table (rig/ride_file.h), bytes as they come. */
struct ride_csv;
struct ride_csv *ride_csv_create(void);
bool ride_csv_feed(struct ride_csv *csv, const char *bytes, size_t length, struct problem *problem);
struct ride *ride_csv_finish(struct ride_csv *csv, struct problem *problem);
void ride_csv_free(struct ride_csv *csv);

#endif
