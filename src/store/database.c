/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "database.h"

#include "base/clock.h"
#include "base/memory.h"
#include "base/text.h"

#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <string.h>

#define STEPS_BETWEEN_CALLS 100000 /* of SQLite: some milliseconds */
#define FILE_FAILURES 2            /* in a row: the file is given up and opened again */

/* What a person can do about each kind of failure. */
static const char *advice(sqlite3 *db, int code)
{
    switch (code & 0xff) {
    case SQLITE_FULL:
        return "there is no space left on its disk: make some";
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return "it is locked by another program: close that";
    case SQLITE_READONLY:
    case SQLITE_PERM:
        return "it, or its folder, may not be written by you: see the permissions";
    case SQLITE_CANTOPEN:
        return "it, or its folder, can't be opened or written: see the permissions";
    case SQLITE_CORRUPT:
        return "it is damaged: look with 'holdline store check'; go back to a backup, or "
               "save what can be saved with 'holdline store rescue FILE'";
    case SQLITE_NOTADB:
        return "it is not a Holdline store";
    case SQLITE_NOMEM:
        return "there is no memory left";
    case SQLITE_IOERR:
        return sqlite3_system_errno(db) != 0 ? strerror(sqlite3_system_errno(db))
                                             : "the disk doesn't read or write";
    default:
        return sqlite3_errmsg(db);
    }
}

bool store_failed(struct store *store, const char *doing, struct problem *problem)
{
    int code = sqlite3_extended_errcode(store->db);
    if (store->stopped) {
        return problem_set(problem, "stopped: %s was left as it was", store->path);
    }
    store->record_refused = (code & 0xff) == SQLITE_CONSTRAINT || (code & 0xff) == SQLITE_MISMATCH;
    if ((code & 0xff) == SQLITE_PROTOCOL) { /* after SQLite's own ten seconds of trying */
        store->file_failures = FILE_FAILURES;
    } else if ((code & 0xff) == SQLITE_IOERR ||
               ((code & 0xff) == SQLITE_BUSY && store->file_failures > 0)) { /* by its own lock */
        store->file_failures++;
    }
    return problem_set(problem, "%s %s: %s", doing, store->path, advice(store->db, code));
}

bool store_lost_its_file(const struct store *store)
{
    return store->file_failures >= FILE_FAILURES;
}

bool store_is_corrupt(const struct store *store)
{
    return !store->stopped && (sqlite3_errcode(store->db) & 0xff) == SQLITE_CORRUPT;
}

bool store_go_ahead(struct store *store, double share)
{
    const struct store_watch *watch = store->watch;
    store->stopped = store->stopped || (watch != NULL && watch->progress != NULL &&
                                        !watch->progress(watch->context, share));
    return !store->stopped;
}

static int keep_going(void *context)
{
    return !store_go_ahead(context, (double)NAN);
}

void store_watched(struct store *store, const struct store_watch *watch)
{
    store->watch = watch != NULL ? watch : store->usual;
    store->stopped = false;
    sqlite3_progress_handler(store->db, store->watch != NULL ? STEPS_BETWEEN_CALLS : 0, keep_going,
                             store);
}

static struct {
    sqlite3_mem_methods usual;
    pthread_once_t once;
} memory = {.once = PTHREAD_ONCE_INIT};

static void *take(int size)
{
    void *taken = memory.usual.xMalloc(size);
    if (taken == NULL) {
        memory_note_lack();
    }
    return taken;
}

static void *resize(void *old, int size)
{
    void *larger = memory.usual.xRealloc(old, size);
    if (larger == NULL) {
        memory_note_lack();
    }
    return larger;
}

static void watch_memory(void)
{
    sqlite3_mem_methods watched;
    if (sqlite3_config(SQLITE_CONFIG_GETMALLOC, &memory.usual) == SQLITE_OK) {
        watched = memory.usual;
        watched.xMalloc = take;
        watched.xRealloc = resize;
        sqlite3_config(SQLITE_CONFIG_MALLOC, &watched);
    }
}

void store_watch_memory(void)
{
    pthread_once(&memory.once, watch_memory);
}

/* A value that found no memory is NULL to SQLite, and the statement done. */
static bool is_whole(struct store *store, const char *sql, struct problem *problem)
{
    if (strstr(sql, "BEGIN") != NULL) {
        store->lacks = memory_lacks();
    }
    return !text_equal(sql, "COMMIT") || memory_sufficed(store->lacks, problem);
}

bool store_execute(struct store *store, const char *sql, const char *doing, struct problem *problem)
{
    if (!is_whole(store, sql, problem)) {
        return problem_prefix(problem, "%s %s", doing, store->path);
    }
    if (sqlite3_exec(store->db, sql, NULL, NULL, NULL) != SQLITE_OK) {
        return store_failed(store, doing, problem);
    }
    return true;
}

bool store_moment_begin(struct store *store, struct problem *problem)
{
    struct row row;
    char mode[16] = "";
    bool failed = false;
    if (sqlite3_get_autocommit(store->db) == 0) {
        return problem_set(problem, "%s is being read already", store->path);
    }
    if (!row_prepare(store, "PRAGMA journal_mode", &row, problem)) {
        return false;
    }
    if (row_next(&row, &failed, problem)) {
        row_take_text(&row, mode, sizeof mode);
        row_end(&row);
    }
    return !failed &&
           (!text_equal(mode, "wal") || store_execute(store, "BEGIN", "reading", problem));
}

void store_moment_end(struct store *store)
{
    if (sqlite3_get_autocommit(store->db) == 0) {
        sqlite3_exec(store->db, "COMMIT", NULL, NULL, NULL);
    }
}

bool store_number(struct store *store, const char *sql, int64_t parameter, int64_t *value,
                  struct problem *problem)
{
    struct row row;
    bool failed = false;
    *value = 0;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    if (sqlite3_bind_parameter_count(row.statement) == 1) {
        row_put_integer(&row, parameter);
    }
    if (row_next(&row, &failed, problem)) {
        *value = row_take_integer(&row);
        row_end(&row);
    }
    return !failed;
}

/* Prepared once and kept: the key is the address of what it is made from, and a kind. */
static sqlite3_stmt *cached(struct store *store, const void *key, int kind)
{
    for (int i = 0; i < store->statement_count; i++) {
        if (store->statement[i].key == key && store->statement[i].kind == kind) {
            return store->statement[i].statement;
        }
    }
    return NULL;
}

static bool prepare(struct store *store, const void *key, int kind, const char *sql,
                    struct row *row, struct problem *problem)
{
    row->store = store;
    row->column = 0;
    row->statement = NULL;
    if (store->statement_count == STATEMENTS_MAX) {
        return problem_set(problem, "the store keeps too many statements");
    }
    if (sqlite3_prepare_v3(store->db, sql, -1, SQLITE_PREPARE_PERSISTENT, &row->statement, NULL) !=
        SQLITE_OK) {
        return store_failed(store, "using the store", problem);
    }
    store->statement[store->statement_count].key = key;
    store->statement[store->statement_count].kind = kind;
    store->statement[store->statement_count].statement = row->statement;
    store->statement_count++;
    return true;
}

static bool take_cached(struct store *store, const void *key, int kind, struct row *row)
{
    row->store = store;
    row->column = 0;
    row->statement = cached(store, key, kind);
    return row->statement != NULL;
}

bool row_prepare(struct store *store, const char *sql, struct row *row, struct problem *problem)
{
    return take_cached(store, sql, 0, row) || prepare(store, sql, 0, sql, row, problem);
}

bool row_prepare_table(struct store *store, enum stored_table_id id, table_statement *statement,
                       int kind, struct row *row, struct problem *problem)
{
    const struct stored_table *table = stored_tables[id];
    char sql[2048];
    if (take_cached(store, table, kind, row)) {
        return true;
    }
    statement(table, sql, sizeof sql);
    return prepare(store, table, kind, sql, row, problem);
}

void row_put_integer(struct row *row, int64_t value)
{
    sqlite3_bind_int64(row->statement, ++row->column, value);
}

void row_put_real(struct row *row, double value)
{
    row->column++;
    if (isfinite(value)) {
        sqlite3_bind_double(row->statement, row->column, value);
    } else {
        sqlite3_bind_null(row->statement, row->column);
    }
}

void row_put_text(struct row *row, const char *text)
{
    sqlite3_bind_text(row->statement, ++row->column, text, -1, SQLITE_TRANSIENT);
}

void row_put_uuid(struct row *row, const struct uuid *uuid)
{
    char text[UUID_TEXT_SIZE];
    uuid_text(text, uuid);
    row_put_text(row, text);
}

void row_put_place(struct row *row, int index)
{
    row->column++;
    if (index >= 0) {
        sqlite3_bind_int(row->statement, row->column, index + 1);
    } else {
        sqlite3_bind_null(row->statement, row->column);
    }
}

void row_put_nonzero(struct row *row, int64_t value)
{
    row->column++;
    if (value != 0) {
        sqlite3_bind_int64(row->statement, row->column, value);
    } else {
        sqlite3_bind_null(row->statement, row->column);
    }
}

void row_end(struct row *row)
{
    sqlite3_reset(row->statement);
    sqlite3_clear_bindings(row->statement);
}

bool row_write(struct row *row, struct problem *problem)
{
    int code = sqlite3_step(row->statement);
    bool done = code == SQLITE_DONE || code == SQLITE_ROW;
    if (!done) {
        store_failed(row->store, "writing into", problem);
    }
    row_end(row);
    row->column = 0;
    return done;
}

bool row_next(struct row *row, bool *failed, struct problem *problem)
{
    row->column = 0;
    *failed = false;
    switch (sqlite3_step(row->statement)) {
    case SQLITE_ROW:
        return true;
    case SQLITE_DONE:
        break;
    default:
        *failed = true;
        store_failed(row->store, "reading", problem);
        break;
    }
    row_end(row);
    return false;
}

int64_t row_take_integer(struct row *row)
{
    return sqlite3_column_int64(row->statement, row->column++);
}

double row_take_real(struct row *row, double if_null)
{
    int column = row->column++;
    if (sqlite3_column_type(row->statement, column) == SQLITE_NULL) {
        return if_null;
    }
    return sqlite3_column_double(row->statement, column);
}

void row_take_text(struct row *row, char *text, size_t size)
{
    const unsigned char *value = sqlite3_column_text(row->statement, row->column++);
    text_copy(text, size, value != NULL ? (const char *)value : "");
}

void row_take_uuid(struct row *row, struct uuid *uuid)
{
    const unsigned char *value = sqlite3_column_text(row->statement, row->column++);
    if (value == NULL || !uuid_parse((const char *)value, uuid)) {
        memset(uuid, 0, sizeof *uuid);
    }
}

int row_take_place(struct row *row)
{
    int column = row->column++;
    if (sqlite3_column_type(row->statement, column) == SQLITE_NULL) {
        return -1;
    }
    int64_t place = sqlite3_column_int64(row->statement, column);
    bool good = sqlite3_column_type(row->statement, column) == SQLITE_INTEGER && place >= 1 &&
                place <= INT32_MAX;
    return good ? (int)place - 1 : -2;
}

void row_skip(struct row *row)
{
    row->column++;
}
