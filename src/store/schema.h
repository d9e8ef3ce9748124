/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_STORE_SCHEMA_H
#define HOLDLINE_STORE_SCHEMA_H

#include "base/problem.h"

#include <stdbool.h>
#include <stdint.h>

/* The schema as SQL text, its versions, and the columns that writing, loading and merging share.
 * docs/schema.md describes it for readers. */

#define STORE_APPLICATION_ID 0x484C444C /* 'HLDL' in the file's header */
#define STORE_VERSION 5                 /* user_version of the schema below */

/* The statements that make a store of STORE_VERSION, in order, and a NULL. The views are apart
 * because each migration drops them and makes them anew. */
extern const char *const store_tables_sql[];
extern const char *const store_views_sql[];

/* From version `from` to from + 1: statements and a NULL, then what SQL can't say (or NULL). */
struct store;
struct store_migration {
    int64_t from;
    const char *const *sql;
    bool (*then)(struct store *store, struct problem *problem);
};
extern const struct store_migration store_migrations[];
extern const int store_migration_count;

/* The tables that hold one session's records. Columns begin with the key; the first is session_id.
 */
enum store_table {
    TABLE_SESSION_RIDER,
    TABLE_SESSION_BIKE,
    TABLE_SESSION_BIKE_VALUE,
    TABLE_MATTERS,
    TABLE_PART_LIMIT,
    TABLE_PLACING,
    TABLE_CHANNEL,
    TABLE_SETUP,
    TABLE_SETUP_VALUE,
    TABLE_BUILD,
    TABLE_TIE_READING,
    TABLE_CAPTURE,
    TABLE_TARGET,
    TABLE_TARGET_HEIGHT,
    TABLE_BAND,
    TABLE_BAND_CHANNEL,
    TABLE_HOLD,
    TABLE_MARK,
    TABLE_RATING,
    TABLE_NOTE,
    TABLE_SENSOR_CHECK,
    TABLE_SENSOR_CHECK_ASKED,
    TABLE_SENSOR_CHECK_NUMBER,
    TABLE_COMMAND,
    STORE_TABLES,
};
struct store_columns {
    const char *table;
    const char *columns; /* comma-separated, key first */
    int key_count;
};
extern const struct store_columns store_columns[STORE_TABLES];

#endif
