/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "sums.h"

#include "base/clock.h"
#include "bike/fields.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/statvfs.h>
#include <unistd.h>

static bool pragma_number(sqlite3 *db, const char *sql, int64_t *value)
{
    sqlite3_stmt *statement = NULL;
    bool done = sqlite3_prepare_v2(db, sql, -1, &statement, NULL) == SQLITE_OK &&
                sqlite3_step(statement) == SQLITE_ROW;
    *value = done ? sqlite3_column_int64(statement, 0) : 0;
    sqlite3_finalize(statement);
    return done;
}

bool store_identity_check(sqlite3 *db, const char *path, int64_t *version, bool *fresh,
                          struct problem *problem)
{
    int64_t application = 0, objects = 0;
    if (!pragma_number(db, "PRAGMA application_id", &application) ||
        !pragma_number(db, "PRAGMA user_version", version) ||
        !pragma_number(db, "SELECT count(*) FROM sqlite_master", &objects)) {
        switch (sqlite3_errcode(db)) {
        case SQLITE_NOTADB:
            return problem_set(problem, "%s is not a Holdline store; it was left as it is", path);
        case SQLITE_BUSY:
            return problem_set(problem, "%s is locked by another program: close that", path);
        case SQLITE_CORRUPT:
            return problem_set(problem, "%s is damaged: go back to a backup of it", path);
        case SQLITE_READONLY:
        case SQLITE_CANTOPEN:
            return store_say_unreadable(path, problem);
        default:
            return problem_set(problem, "%s can't be read as a store: %s", path,
                               sqlite3_errmsg(db));
        }
    }
    *fresh = application == 0 && *version == 0 && objects == 0;
    if (*fresh) {
        return true;
    }
    if (application != STORE_APPLICATION_ID) {
        return problem_set(problem,
                           "%s is a database of another program, not a Holdline store; it was left "
                           "as it is",
                           path);
    }
    if (*version > STORE_VERSION) {
        return problem_set(problem,
                           "%s was written by a newer Holdline (store version %lld; this one reads "
                           "up to %d): install that one; the store was left as it is",
                           path, (long long)*version, STORE_VERSION);
    }
    return true;
}

static bool execute_all(struct store *store, const char *const *sql, const char *doing,
                        struct problem *problem)
{
    for (; *sql != NULL; sql++) {
        if (!store_execute(store, *sql, doing, problem)) {
            return false;
        }
    }
    return true;
}

static bool stamp(struct store *store, int64_t version, struct problem *problem)
{
    char sql[128];
    snprintf(sql, sizeof sql, "PRAGMA application_id = %d; PRAGMA user_version = %lld",
             STORE_APPLICATION_ID, (long long)version);
    return store_execute(store, sql, "making", problem);
}

/* The table of measures says what the keys of setups and bikes mean: as this program knows them. */
static bool write_measures(struct store *store, struct problem *problem)
{
    static const char sql[] =
        "INSERT INTO bike_measure (key, words, unit, scope) VALUES (?, ?, ?, ?)"
        " ON CONFLICT (key) DO UPDATE SET words = excluded.words, unit = excluded.unit,"
        " scope = excluded.scope";
    for (int i = 0; i < BIKE_KEYS; i++) {
        struct row row;
        if (!row_prepare(store, sql, &row, problem)) {
            return false;
        }
        row_put_text(&row, bike_fields[i].key);
        row_put_text(&row, bike_fields[i].words);
        row_put_text(&row, bike_fields[i].unit);
        row_put_text(&row, bike_fields[i].scope == BIKE_SCOPE_FRAME ? "frame" : "part");
        if (!row_write(&row, problem)) {
            return false;
        }
    }
    return true;
}

/* A program that knows more measures than the one that made the store adds them. */
bool store_measures_complete(struct store *store, struct problem *problem)
{
    int64_t known = 0;
    return store_number(store, "SELECT count(*) FROM bike_measure", 0, &known, problem) &&
           (known >= BIKE_KEYS || write_measures(store, problem));
}

static bool make_table(struct store *store, enum stored_table_id id, struct problem *problem)
{
    char sql[STORE_TABLE_SQL_SIZE];
    store_table_sql(id, sql, sizeof sql);
    return store_execute(store, sql, "making", problem);
}

static bool make_tables(struct store *store, struct problem *problem)
{
    bool done = execute_all(store, store_first_tables_sql, "making", problem);
    for (int id = 0; done && id < STORED_TABLES; id++) {
        done = make_table(store, (enum stored_table_id)id, problem);
    }
    return done && execute_all(store, store_last_tables_sql, "making", problem) &&
           execute_all(store, store_sum_tables_sql, "making", problem) &&
           execute_all(store, store_result_tables_sql, "making", problem) &&
           execute_all(store, store_result_drag_sql, "making", problem);
}

bool store_create_schema(struct store *store, struct problem *problem)
{
    if (!store_execute(store, "BEGIN IMMEDIATE", "making", problem)) {
        return false;
    }
    if (make_tables(store, problem) && execute_all(store, store_views_sql, "making", problem) &&
        stamp(store, STORE_VERSION, problem) && write_measures(store, problem) &&
        store_execute(store, "COMMIT", "making", problem)) {
        return true;
    }
    store_rollback(store);
    return false;
}

bool store_has_room(const struct store *store, int64_t *missing_mb)
{
    struct stat file;
    struct statvfs disk;
    if (stat(store->path, &file) != 0 || statvfs(store->path, &disk) != 0) {
        return true; /* the work itself will tell */
    }
    double missing = 2.0 * (double)file.st_size - (double)disk.f_bavail * (double)disk.f_frsize;
    *missing_mb = (int64_t)(missing / 1e6) + 1;
    return missing <= 0;
}

static bool backup_before(struct store *store, int64_t version, struct problem *problem)
{
    char path[STORE_PATH_SIZE + 64], when[CLOCK_TEXT_SIZE];
    int64_t missing_mb = 0;
    if (store->in_memory) {
        return true;
    }
    if (!store_has_room(store, &missing_mb)) {
        return problem_set(
            problem,
            "%s must be brought to a newer version, and its disk has no room for the "
            "backup that comes first: make %lld MB free",
            store->path, (long long)missing_mb);
    }
    int64_t now_ms = clock_wall_ms();
    clock_wall_text(when, now_ms + clock_local_ahead_ms(now_ms));
    snprintf(path, sizeof path, "%s.version-%lld-%.10s", store->path, (long long)version, when);
    for (int i = 2; access(path, F_OK) == 0 && i < 1000; i++) {
        snprintf(path, sizeof path, "%s.version-%lld-%.10s-%d", store->path, (long long)version,
                 when, i);
    }
    if (!store_copy_to(store, path, store->watch, problem)) {
        return problem_prefix(problem, "before %s is brought to a newer version", store->path);
    }
    store_note_backup(store, path);
    return true;
}

static bool drop_views(struct store *store, struct problem *problem)
{
    for (;;) {
        sqlite3_stmt *statement = NULL;
        char sql[256] = "";
        if (sqlite3_prepare_v2(store->db,
                               "SELECT name FROM sqlite_master WHERE type = 'view' LIMIT 1", -1,
                               &statement, NULL) == SQLITE_OK &&
            sqlite3_step(statement) == SQLITE_ROW) {
            sqlite3_snprintf(sizeof sql, sql, "DROP VIEW \"%w\"",
                             sqlite3_column_text(statement, 0));
        }
        sqlite3_finalize(statement);
        if (sql[0] == '\0') {
            return true;
        }
        if (!store_execute(store, sql, "bringing up", problem)) {
            return false;
        }
    }
}

/* A column that is there came with its table, which a later step than its own made. */
static bool add_column(struct store *store, const struct store_migration *step,
                       struct problem *problem)
{
    static const char asked[] = "SELECT 1 FROM pragma_table_info(?) WHERE name = ?";
    char sql[STORE_TABLE_SQL_SIZE];
    struct row row;
    bool failed = false;
    if (!row_prepare(store, asked, &row, problem)) {
        return false;
    }
    row_put_text(&row, stored_tables[step->table]->name);
    row_put_text(&row, step->column);
    if (row_next(&row, &failed, problem)) {
        row_end(&row);
        return true;
    }
    store_column_sql(step->table, step->column, sql, sizeof sql);
    return !failed && store_execute(store, sql, "bringing up", problem);
}

static bool take_step(struct store *store, const struct store_migration *step,
                      struct problem *problem)
{
    bool done = step->sql != NULL      ? execute_all(store, step->sql, "bringing up", problem)
                : step->column != NULL ? add_column(store, step, problem)
                                       : make_table(store, step->table, problem);
    return done && (step->then == NULL || step->then(store, problem));
}

bool store_migrate(struct store *store, const struct store_migration *steps, int step_count,
                   int64_t from_version, struct problem *problem)
{
    int64_t version = from_version;
    /* foreign keys can't be switched within a transaction; they are checked before the commit */
    if (!backup_before(store, version, problem) ||
        !store_execute(store, "PRAGMA foreign_keys = OFF; BEGIN IMMEDIATE", "bringing up",
                       problem)) {
        return false;
    }
    bool done = drop_views(store, problem);
    for (int i = 0; done && i < step_count; i++) {
        if (steps[i].from >= from_version) {
            done = take_step(store, &steps[i], problem);
            version = steps[i].from + 1;
        }
    }
    int64_t broken = 0;
    done =
        done && execute_all(store, store_views_sql, "bringing up", problem) &&
        stamp(store, version, problem) && store_measures_complete(store, problem) &&
        store_number(store, "SELECT count(*) FROM pragma_foreign_key_check", 0, &broken, problem);
    if (done && broken > 0) {
        done = problem_set(problem,
                           "%s could not be brought to version %lld: %lld rows point "
                           "nowhere; it was left as it is",
                           store->path, (long long)version, (long long)broken);
    }
    done = done && store_execute(store, "COMMIT", "bringing up", problem);
    if (!done) {
        store_rollback(store);
    }
    sqlite3_exec(store->db, "PRAGMA foreign_keys = ON", NULL, NULL, NULL);
    return done;
}
