/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_STORE_SCHEMA_H
#define HOLDLINE_STORE_SCHEMA_H

#include "base/problem.h"
#include "record/stored.h"

#include <stdbool.h>
#include <stdint.h>

/* The schema as SQL text and its versions. The tables of a session's records are made from
 * record/stored.h; docs/schema.md describes all for readers. */

#define STORE_APPLICATION_ID 0x484C444C /* 'HLDL' in the file's header */
#define STORE_VERSION 10                /* user_version of the schema below */

/* The statements of the tables that are no records' (before and behind those of the records), of
 * the indexes and the views, and a NULL. The views are apart because each migration drops them and
 * makes them anew. */
extern const char *const store_first_tables_sql[];
extern const char *const store_last_tables_sql[];
extern const char *const store_views_sql[];

/* The statement that makes a table of records. */
#define STORE_TABLE_SQL_SIZE 4096
void store_table_sql(enum stored_table_id table, char *sql, size_t size);
/* As it was made in an earlier version; "" where there was none. */
void store_table_sql_of(enum stored_table_id table, int64_t version, char *sql, size_t size);
/* What was worked out (results.c), from this version on. */
#define RESULTS_SINCE 9
extern const char *const store_result_drag_sql[]; /* results_drag.c */
extern const char *const store_result_tables_sql[];
/* The statement that adds a column to a store of before; "" where the table has it. */
void store_column_sql(enum stored_table_id table, const char *key, char *sql, size_t size);

/* From version `from` to from + 1, in one or more rows: a table, or (with a key) a column of it
 * that is new; or statements and a NULL. Then what SQL can't say (or NULL). */
struct store;
struct store_migration {
    int64_t from;
    enum stored_table_id table;
    const char *column;     /* NULL: the table itself is new */
    const char *const *sql; /* instead of those */
    bool (*then)(struct store *store, struct problem *problem);
};
extern const struct store_migration store_migrations[];
extern const int store_migration_count;

#endif
