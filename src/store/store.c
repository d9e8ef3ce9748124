/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "sums.h"

#include "base/own_file.h"
#include "base/text.h"
#include "base/words.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define PASSED_OVER_MOST 1000 /* sessions one after the other that can't be read */
#define OPENING_TRIES 40
#define BETWEEN_OPENINGS_US 50000

bool store_default_path(char *path, size_t size, struct problem *problem)
{
    const char *given = getenv("HOLDLINE_STORE");
    const char *data = getenv("XDG_DATA_HOME");
    const char *home = getenv("HOME");
    int length;
    if (given != NULL && given[0] != '\0') {
        length = snprintf(path, size, "%s", given);
    } else if (data != NULL && data[0] == '/') {
        length = snprintf(path, size, "%s/holdline/holdline.db", data);
    } else if (home != NULL && home[0] == '/') {
        length = snprintf(path, size, "%s/.local/share/holdline/holdline.db", home);
    } else {
        return problem_set(problem, "there is no home folder to keep the store in: give one with "
                                    "--store FILE or HOLDLINE_STORE");
    }
    if (length < 0 || (size_t)length >= size) {
        return problem_set(problem, "the path of the store is too long");
    }
    return true;
}

void store_option_words(char *text, size_t size, const char *path)
{
    char usual[STORE_PATH_SIZE], quoted[STORE_PATH_SIZE + 16];
    bool is_usual = store_default_path(usual, sizeof usual, NULL) && text_equal(path, usual);
    words_quote_for_shell(quoted, sizeof quoted, path);
    snprintf(text, size, "%s%s", is_usual ? "" : " --store ", is_usual ? "" : quoted);
}

/* Makes the folders of the default path; another path's folder must be there (it may be a slip). */
static bool make_folders(const char *path, struct problem *problem)
{
    char usual[STORE_PATH_SIZE];
    if (!store_default_path(usual, sizeof usual, NULL) || !text_equal(path, usual)) {
        return true;
    }
    for (char *slash = strchr(usual + 1, '/'); slash != NULL; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        if (mkdir(usual, 0700) != 0 && errno != EEXIST) {
            return problem_set(problem, "the folder %s can't be made: %s", usual, strerror(errno));
        }
        *slash = '/';
    }
    return true;
}

/* What is at the path before anything is done to it. */
static bool look_at(const char *path, enum store_mode mode, bool *exists, struct problem *problem)
{
    struct stat file;
    *exists = stat(path, &file) == 0;
    if (!*exists && errno != ENOENT) {
        return problem_set(problem, "%s can't be opened: %s", path, strerror(errno));
    }
    if (!*exists && lstat(path, &file) == 0) {
        return problem_set(problem, "%s is a link to what is not there: nothing is made through it",
                           path);
    }
    if (*exists && !S_ISREG(file.st_mode)) {
        return problem_set(problem, "%s is %s, not a store", path,
                           S_ISDIR(file.st_mode) ? "a folder" : "no plain file");
    }
    if (!*exists && mode != STORE_RECORD) {
        return problem_set(problem, "there is no store at %s: a session makes it", path);
    }
    return true;
}

/* The file of a new store, and whatever is beside an earlier one, is its owner's alone; a store
 * that belongs to somebody else stays as it is. */
static bool make_own(struct store *store, bool exists, struct problem *problem)
{
    static const char *const beside[] = {"", "-wal", "-shm", "-journal"};
    char path[STORE_PATH_SIZE + 16];
    if (!exists) {
        int descriptor = own_file_open(store->path, O_EXCL);
        if (descriptor < 0 && errno != EEXIST) {
            return problem_set(problem, "%s can't be made: %s", store->path, strerror(errno));
        }
        if (descriptor >= 0) {
            close(descriptor); /* before any connection has it */
        }
    }
    char *real = realpath(store->path, NULL);
    for (size_t i = 0; real != NULL && i < sizeof beside / sizeof beside[0]; i++) {
        snprintf(path, sizeof path, "%s%s", real, beside[i]);
        own_file_close_to_others(path);
    }
    free(real);
    return true;
}

static bool configure(struct store *store, struct problem *problem)
{
    bool writes = store->mode != STORE_READ;
    sqlite3_busy_timeout(store->db, 2000);
    store_guard(store->db);
    store_watched(store, NULL);
    if (!writes) {
        sqlite3_db_config(store->db, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, NULL);
    }
    /* secure_delete always: what is overwritten or moved must not be left in a page's free space */
    return store_execute(store,
                         writes ? "PRAGMA cell_size_check = ON; PRAGMA mmap_size = 0;"
                                  "PRAGMA foreign_keys = ON; PRAGMA secure_delete = ON"
                                : "PRAGMA cell_size_check = ON; PRAGMA mmap_size = 0;"
                                  "PRAGMA temp_store = MEMORY; PRAGMA query_only = ON",
                         "opening", problem);
}

/* The write-ahead log, every commit synced. The reply says what it got. */
static bool use_log(struct store *store, struct problem *problem)
{
    struct row row;
    char got[16] = "";
    bool failed = false;
    if (store->in_memory) {
        return true;
    }
    if (!row_prepare(store, "PRAGMA journal_mode = WAL", &row, problem)) {
        return false;
    }
    if (row_next(&row, &failed, problem)) {
        row_take_text(&row, got, sizeof got);
        row_end(&row);
    }
    if (failed) {
        return false;
    }
    if (!text_equal(got, "wal")) {
        return problem_set(problem, "%s can't keep a write-ahead log (it stays in mode '%s')",
                           store->path, got);
    }
    return store_execute(store, "PRAGMA synchronous = FULL", "opening", problem);
}

void store_keep_few_pages(struct store *store)
{
    sqlite3_exec(store->db, "PRAGMA cache_size = -768", NULL, NULL, NULL); /* KiB, of 2000 */
}

/* A look with a connection that can't write, so that a file that is not ours stays as it is. */
static bool identify(struct store *store, bool *fresh, int64_t *version, struct problem *problem)
{
    sqlite3 *db = NULL;
    bool done = false;
    if (sqlite3_open_v2(store->path, &db, SQLITE_OPEN_READONLY | SQLITE_OPEN_NOMUTEX, NULL) !=
        SQLITE_OK) {
        problem_set(problem, "%s can't be opened: %s", store->path,
                    db != NULL ? sqlite3_errmsg(db) : "there is no memory left");
    } else {
        sqlite3_busy_timeout(db, 2000);
        store_guard(db);
        sqlite3_db_config(db, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, NULL);
        done = store_identity_check(db, store->path, version, fresh, problem);
    }
    if (!done && db != NULL && store_needs_recovery(db)) {
        done = store_identity_without_journal(store->path, version, fresh, problem);
    }
    sqlite3_close(db);
    return done;
}

static bool open_to_read(struct store *store, bool *left_open, struct problem *problem)
{
    *left_open = false;
    if (sqlite3_open_v2(store->path, &store->db, SQLITE_OPEN_READONLY | SQLITE_OPEN_NOMUTEX,
                        NULL) != SQLITE_OK) {
        return store_failed(store, "opening", problem);
    }
    int64_t version = 0;
    bool fresh = false;
    if (configure(store, problem) &&
        store_identity_check(store->db, store->path, &version, &fresh, problem)) {
        return true;
    }
    *left_open = store_needs_recovery(store->db);
    return false;
}

/* As it is, or put in order first; waits for another program that is about to. */
static bool open_recovered(struct store *store, struct problem *problem)
{
    bool left_open = false, held = false;
    for (int i = 0; i < OPENING_TRIES; i++) {
        if (open_to_read(store, &left_open, problem)) {
            return true;
        }
        if (!left_open) {
            return false;
        }
        sqlite3_close(store->db);
        store->db = NULL;
        if (!store_recover_to_read(store->path, &held, problem)) {
            if (!held) {
                return false;
            }
            usleep(BETWEEN_OPENINGS_US);
        }
    }
    return false;
}

static bool open_for_reading(struct store *store, struct problem *problem)
{
    int64_t version = 0;
    bool fresh = false;
    if (!open_recovered(store, problem) ||
        !store_identity_check(store->db, store->path, &version, &fresh, problem)) {
        return false;
    }
    if (fresh) {
        return problem_set(problem, "%s is empty, not a store yet: a session makes it",
                           store->path);
    }
    if (version < STORE_VERSION) {
        return problem_set(problem,
                           "%s is of an earlier version (%lld; this program reads %d): "
                           "'holdline store check' brings it up, after a backup",
                           store->path, (long long)version, STORE_VERSION);
    }
    return store_schema_is_own(store, version, problem);
}

/* Behind the lock, with the file open: another program may have made it meanwhile. */
static bool put_in_order(struct store *store, const struct store_watch *watch,
                         struct problem *problem)
{
    int64_t version = 0;
    bool fresh = true;
    if (!configure(store, problem) ||
        !store_identity_check(store->db, store->path, &version, &fresh, problem)) {
        return false;
    }
    if (fresh && store->mode != STORE_RECORD && !store->in_memory) {
        return problem_set(problem, "%s is empty, not a store yet: a session makes it",
                           store->path);
    }
    if ((!fresh && !(store_schema_is_own(store, version, problem) &&
                     (store->mode == STORE_WRITE_AGAIN || store_look_over(store, problem)))) ||
        !use_log(store, problem)) {
        return false;
    }
    if (fresh) {
        return store_create_schema(store, problem);
    }
    store_watched(store, watch); /* what was done before may have ended it */
    return version < STORE_VERSION
               ? store_migrate(store, store_migrations, store_migration_count, version, problem)
               : store_measures_complete(store, problem);
}

static bool open_for_writing(struct store *store, bool exists, const struct store_watch *watch,
                             struct problem *problem)
{
    int64_t version = 0;
    bool fresh = true;
    if (!store->in_memory) {
        if (!make_folders(store->path, problem) ||
            (exists && !identify(store, &fresh, &version, problem))) {
            return false;
        }
        store->lock = store_lock_take(store->path, NULL, problem);
        if (store->lock == NULL || !make_own(store, exists, problem)) {
            return false;
        }
    }
    if (sqlite3_open_v2(store->path, &store->db,
                        SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX |
                            (store->mode == STORE_RECORD ? SQLITE_OPEN_CREATE : 0),
                        NULL) != SQLITE_OK) {
        return store_failed(store, "opening", problem);
    }
    if (sqlite3_db_readonly(store->db, "main") == 1) {
        return problem_set(problem, "%s may not be written by you: see its permissions",
                           store->path);
    }
    store_watched(store, watch);
    bool done = put_in_order(store, watch, problem);
    store_watched(store, NULL);
    return done;
}

struct store *store_open(const char *path, enum store_mode mode, struct problem *problem)
{
    return store_open_watched(path, mode, NULL, problem);
}

static struct store *new_store(const char *path, enum store_mode mode,
                               const struct store_watch *watch, struct problem *problem)
{
    store_watch_memory();
    struct store *store = calloc(1, sizeof *store);
    if (store == NULL) {
        problem_set(problem, "there is no memory left");
        return NULL;
    }
    store->mode = mode;
    store->in_memory = text_equal(path, ":memory:");
    store->usual = mode == STORE_READ ? watch : NULL;
    if (strlen(path) >= sizeof store->path || path[0] == '\0') {
        problem_usage(problem, "the path of the store is %s",
                      path[0] == '\0' ? "empty" : "too long");
        store_close(store);
        return NULL;
    }
    text_copy(store->path, sizeof store->path, path);
    return store;
}

struct store *store_open_watched(const char *path, enum store_mode mode,
                                 const struct store_watch *watch, struct problem *problem)
{
    struct store *store = new_store(path, mode, watch, problem);
    bool exists = false;
    if (store == NULL) {
        return NULL;
    }
    if ((store->in_memory || look_at(path, mode, &exists, problem)) &&
        (mode == STORE_READ && !store->in_memory
             ? open_for_reading(store, problem)
             : open_for_writing(store, exists, watch, problem))) {
        return store;
    }
    store_close(store);
    return NULL;
}

struct store *store_open_damaged(const char *path, store_finding *told, void *context,
                                 const struct store_watch *watch, struct problem *problem)
{
    struct store *store = new_store(path, STORE_READ, watch, problem);
    bool exists = false;
    if (store == NULL) {
        return NULL;
    }
    store_on_damage(store, told, context);
    store->tolerant = true;
    if (!store->in_memory && look_at(path, STORE_READ, &exists, problem) &&
        open_for_reading(store, problem)) {
        return store;
    }
    store_close(store);
    return NULL;
}

bool store_next_session(struct store *store, int64_t *id, struct problem *problem)
{
    static const char sql[] = "SELECT id FROM session NOT INDEXED WHERE id > ? ORDER BY id LIMIT 1";
    int64_t after = *id;
    for (int tries = 0; tries < PASSED_OVER_MOST; tries++) {
        if (store_number(store, sql, after, id, problem)) {
            return *id > after;
        }
        if (!store_is_corrupt(store)) {
            break;
        }
        after++; /* behind the page that can't be read there may be others */
    }
    *id = 0;
    return false;
}

static void finalise_statements(struct store *store)
{
    for (int i = 0; i < store->statement_count; i++) {
        sqlite3_finalize(store->statement[i].statement);
    }
    store->statement_count = 0;
}

void store_close(struct store *store)
{
    if (store == NULL) {
        return;
    }
    if (store->db != NULL) {
        store_rollback(store);
        finalise_statements(store);
        if (store->mode != STORE_READ && !store->in_memory) {
            /* the seal: everything in one file; where a reader is still there the log stays */
            sqlite3_busy_timeout(store->db, 250);
            sqlite3_wal_checkpoint_v2(store->db, NULL, SQLITE_CHECKPOINT_TRUNCATE, NULL, NULL);
            sqlite3_exec(store->db, "PRAGMA journal_mode = DELETE", NULL, NULL, NULL);
        }
        sqlite3_close(store->db);
    }
    store_lock_release(store->lock);
    free(store->samples);
    free(store);
}

bool store_was_moved(struct store *store)
{
    int moved = 0;
    return !store->in_memory &&
           sqlite3_file_control(store->db, "main", SQLITE_FCNTL_HAS_MOVED, &moved) == SQLITE_OK &&
           moved != 0;
}

bool store_put_back(struct store *store, struct problem *problem)
{
    return store_copy_to(store, store->path, NULL, problem);
}

bool store_begin(struct store *store, struct problem *problem)
{
    store->record_refused = false;
    if (store_was_moved(store)) {
        return problem_set(problem, "%s was moved or deleted while the session runs: put it back",
                           store->path);
    }
    store->now = store->committed;
    return store_execute(store, "BEGIN IMMEDIATE", "writing into", problem);
}

/* What plain SQL and the list need of the stream. */
static bool write_extent(struct store *store, struct problem *problem)
{
    static const char sql[] = "UPDATE session SET first_n = ?, last_n = ?, sample_count = ?"
                              " WHERE id = ?";
    struct row row;
    if (store->now.last_n == store->committed.last_n &&
        store->now.session_id == store->committed.session_id) {
        return true;
    }
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_integer(&row, store->now.first_n);
    row_put_integer(&row, store->now.last_n);
    row_put_integer(&row, store->now.sample_count);
    row_put_integer(&row, store->now.session_id);
    int64_t number = store->now.last_n - store->now.first_n + 1;
    return row_write(&row, problem) &&
           (number % SUM_STRETCH == 0 || /* none, or written already */
            sum_write_stretch(store, store->now.session_id, number, store->now.sum, problem));
}

bool store_commit(struct store *store, struct problem *problem)
{
    if (!write_extent(store, problem) || !store_execute(store, "COMMIT", "writing into", problem)) {
        store_rollback(store);
        return false;
    }
    store->committed = store->now;
    store->file_failures = 0;
    return true;
}

void store_rollback(struct store *store)
{
    if (sqlite3_get_autocommit(store->db) == 0) { /* a full disk may have rolled back by itself */
        sqlite3_exec(store->db, "ROLLBACK", NULL, NULL, NULL);
    }
    store->now = store->committed;
}

bool store_refused_record(const struct store *store)
{
    return store->record_refused;
}

int64_t store_recording_id(const struct store *store)
{
    return store->committed.session_id;
}
