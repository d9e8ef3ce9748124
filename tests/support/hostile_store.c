/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/hostile_store.h"

#include "support/test_main.h"

#include "base/random.h"
#include "record/stored.h"

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static int pick(struct random_source *random, int count)
{
    return (int)(random_uniform(random) * count);
}

static void copy_file(const char *from, const char *to)
{
    char command[1200];
    snprintf(command, sizeof command, "rm -f '%s' '%s'-* && cp '%s' '%s'", to, to, from, to);
    ck_assert_int_eq(system(command), 0);
}

/* ---- SQL without any checks --------------------------------------------------------------------
 */

static void execute(const char *path, const char *sql)
{
    sqlite3 *db = NULL;
    char *message = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    sqlite3_db_config(db, SQLITE_DBCONFIG_DEFENSIVE, 0, NULL);
    sqlite3_exec(db,
                 "PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON;"
                 "PRAGMA writable_schema = ON",
                 NULL, NULL, NULL);
    int code = sqlite3_exec(db, sql, NULL, NULL, &message);
    ck_assert_msg(code == SQLITE_OK || code == SQLITE_CONSTRAINT, "%s: %s", sql, message);
    sqlite3_free(message);
    sqlite3_close(db);
}

void hostile_sql(const char *path, const char *sql)
{
    /* tables without types take any value; their text is put back afterwards */
    execute(path, "CREATE TABLE kept_schema AS SELECT name, sql FROM sqlite_schema"
                  " WHERE type = 'table' AND name NOT LIKE 'sqlite_%';"
                  "UPDATE sqlite_schema SET sql = replace(replace(replace(sql, ' STRICT, WITHOUT',"
                  " ' WITHOUT'), ' STRICT', ''), ' NOT NULL', '') WHERE type = 'table'"
                  " AND name <> 'kept_schema'");
    execute(path, sql);
    execute(path, "UPDATE sqlite_master SET sql = (SELECT k.sql FROM kept_schema k"
                  " WHERE k.name = sqlite_master.name) WHERE type = 'table'"
                  " AND name IN (SELECT name FROM kept_schema)");
    execute(path, "DROP TABLE kept_schema");
}

/* ---- one row -----------------------------------------------------------------------------------
 */

static const char *const hostile_values[] = {
    "-1",
    "0",
    "850",
    "2147483647",
    "2147483648",
    "4294967297",
    "9223372036854775807",
    "-9223372036854775808",
    "1e15",
    "1e308",
    "-1e308",
    "9e999",
    "-9e999",
    "5e-324",
    "NULL",
    "''",
    "'no such word'",
    "replace(hex(zeroblob(2500)), '00', 'x')",
    "x'00ff'",
    "CAST(x'41ff42' AS TEXT)",
    "char(27) || ']0;x' || char(7)",
    "char(27) || 'c' || char(155) || '2J'",
    "char(8238) || 'abc'",
    "'a' || char(0) || 'b'",
    "'00000000-0000-0000-0000-00000000000g'",
    "'9999-99-99T99:99:99Z'",
};
#define VALUES (int)(sizeof hostile_values / sizeof hostile_values[0])

/* A column of a table of records, but what the store keeps for itself. */
static const struct stored_field *pick_column(struct random_source *random, int *table)
{
    const struct stored_field *field = NULL;
    do {
        *table = pick(random, STORED_TABLES);
        const struct stored_table *of = stored_tables[*table];
        field = stored_column(of, pick(random, of->key_count + of->field_count));
    } while (field == NULL || field->type == STORED_KEPT);
    return field;
}

static void spoil_value(const char *path, struct random_source *random, struct hostile *made)
{
    int table = 0;
    const struct stored_field *field = pick_column(random, &table);
    const char *name = stored_tables[table]->name;
    /* rows are named by their columns: tables without a rowid have no other name */
    snprintf(made->what, sizeof made->what,
             "UPDATE %s SET %s = %s WHERE (SELECT count(*) FROM %s) > 0 AND %s IS (SELECT %s FROM "
             "%s LIMIT 1 OFFSET %d %% max(1, (SELECT count(*) FROM %s)))",
             name, field->key, hostile_values[pick(random, VALUES)], name, field->key, field->key,
             name, pick(random, 50), name);
    hostile_sql(path, made->what);
}

static void spoil_row(const char *path, struct random_source *random, struct hostile *made)
{
    const struct stored_table *table = stored_tables[1 + pick(random, STORED_TABLES - 1)];
    const char *key = table->key_count > 0 ? table->key[table->key_count - 1].key : "session_id";
    switch (pick(random, 3)) {
    case 0:
        snprintf(made->what, sizeof made->what,
                 "DELETE FROM %s WHERE %s IS (SELECT %s FROM %s LIMIT 1 OFFSET %d)", table->name,
                 key, key, table->name, pick(random, 4));
        break;
    case 1:
        snprintf(made->what, sizeof made->what,
                 "UPDATE %s SET %s = %d WHERE %s IS (SELECT %s FROM %s LIMIT 1 OFFSET %d)",
                 table->name, key, pick(random, 2000) - 10, key, key, table->name, pick(random, 4));
        break;
    default:
        snprintf(made->what, sizeof made->what, "UPDATE %s SET session_id = session_id + %d",
                 table->name, 1 + pick(random, 3));
        break;
    }
    hostile_sql(path, made->what);
}

static void spoil_sample(const char *path, struct random_source *random, struct hostile *made)
{
    static const char *const columns[] = {"rig_us", "delay_us", "quality", "v1", "v2"};
    static const char *const extents[] = {"first_n", "last_n", "sample_count"};
    int n = 1 + pick(random, 800);
    switch (pick(random, 4)) {
    case 0:
        snprintf(made->what, sizeof made->what, "DELETE FROM sample WHERE n BETWEEN %d AND %d", n,
                 n + pick(random, 300));
        break;
    case 1:
        snprintf(made->what, sizeof made->what, "UPDATE session SET %s = %s",
                 extents[pick(random, 3)], hostile_values[pick(random, 12)]);
        break;
    case 2:
        snprintf(made->what, sizeof made->what, "UPDATE sample SET n = n + %s WHERE n >= %d",
                 pick(random, 2) == 0 ? "1000000000000" : "7", n);
        break;
    default:
        snprintf(made->what, sizeof made->what,
                 "UPDATE sample SET %s = %s WHERE n BETWEEN %d AND %d", columns[pick(random, 5)],
                 hostile_values[pick(random, VALUES)], n, n + pick(random, 20));
        break;
    }
    hostile_sql(path, made->what);
}

/* ---- the schema --------------------------------------------------------------------------------
 */

static void spoil_schema(const char *path, struct random_source *random, struct hostile *made)
{
    static const char *const statements[] = {
        "CREATE TRIGGER spy AFTER INSERT ON %s BEGIN DELETE FROM note; END",
        "CREATE TRIGGER spy AFTER UPDATE ON %s BEGIN SELECT 1; END",
        ("DROP TABLE %s; CREATE VIEW %s AS WITH RECURSIVE c(n) AS (SELECT 1 UNION ALL SELECT n + 1"
         " FROM c) SELECT n AS session_id FROM c"),
        "CREATE VIEW more AS SELECT * FROM %s",
        "CREATE INDEX more ON %s (length(1))",
        "ALTER TABLE %s ADD COLUMN more TEXT",
        "DROP TABLE %s",
        "UPDATE sqlite_schema SET sql = replace(sql, 'TEXT', 'BLOB') WHERE name = '%s'",
        "UPDATE sqlite_schema SET rootpage = 2 WHERE name = '%s'",
        "UPDATE sqlite_schema SET sql = 'CREATE TABLE ' || name || ' (' WHERE name = '%s'",
        ("DROP VIEW session_sheet; CREATE VIEW session_sheet AS WITH RECURSIVE c(n) AS (SELECT 1"
         " UNION ALL SELECT n + 1 FROM c) SELECT n AS session FROM c WHERE n < 0 OR '%s' = ''"),
    };
    const char *name = stored_tables[1 + pick(random, STORED_TABLES - 1)]->name;
    char sql[sizeof made->what];
    int kind = pick(random, (int)(sizeof statements / sizeof statements[0]));
    size_t used = 0;
    for (const char *c = statements[kind]; *c != '\0' && used + 40 < sizeof sql; c++) {
        if (c[0] == '%' && c[1] == 's') {
            used += (size_t)snprintf(sql + used, sizeof sql - used, "%s", name);
            c++;
        } else {
            sql[used++] = *c;
        }
    }
    sql[used] = '\0';
    memcpy(made->what, sql, used + 1);
    execute(path, made->what);
}

/* ---- the file's bytes --------------------------------------------------------------------------
 */

static void spoil_bytes(const char *path, struct random_source *random, struct hostile *made)
{
    struct stat file;
    ck_assert_int_eq(stat(path, &file), 0);
    if (pick(random, 8) == 0) {
        long size = (long)(random_uniform(random) * (double)file.st_size);
        snprintf(made->what, sizeof made->what, "cut to %ld bytes", size);
        ck_assert_int_eq(truncate(path, size), 0);
        return;
    }
    FILE *stream = fopen(path, "r+b");
    ck_assert_ptr_nonnull(stream);
    int count = pick(random, 2) == 0 ? 1 : 1 + pick(random, 200);
    snprintf(made->what, sizeof made->what, "%d bytes changed", count);
    for (int i = 0; i < count; i++) {
        long at = (long)(random_uniform(random) * (double)file.st_size);
        fseek(stream, at, SEEK_SET);
        int byte = fgetc(stream);
        fseek(stream, at, SEEK_SET);
        fputc(pick(random, 2) == 0 ? byte ^ 1 << pick(random, 8) : pick(random, 256), stream);
    }
    fclose(stream);
}

void hostile_store_make(const char *from, const char *to, enum hostile_kind kind, unsigned seed,
                        struct hostile *made)
{
    static void (*const spoil[HOSTILE_KINDS])(const char *path, struct random_source *random,
                                              struct hostile *made) = {
        [HOSTILE_VALUE] = spoil_value,   [HOSTILE_ROW] = spoil_row,
        [HOSTILE_SAMPLE] = spoil_sample, [HOSTILE_SCHEMA] = spoil_schema,
        [HOSTILE_BYTES] = spoil_bytes,
    };
    struct random_source random;
    random_seed(&random, seed * (uint64_t)HOSTILE_KINDS + (uint64_t)kind);
    *made = (struct hostile){.kind = kind};
    copy_file(from, to);
    spoil[kind](to, &random, made);
}
