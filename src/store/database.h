/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_STORE_DATABASE_H
#define HOLDLINE_STORE_DATABASE_H

#include "schema.h"

#include "store/care.h"
#include "store/store.h"

#include <sqlite3.h>

/* For the store's own room only: what its files share. Errors of SQLite become sentences here. */

/* Where the samples of the session being recorded go. */
struct recording {
    int64_t session_id; /* 0 = none yet */
    int64_t first_n;    /* sample.n of the session's sample 1 */
    int64_t last_n;     /* first_n - 1 before the first */
    int64_t sample_count;
    uint64_t sum;      /* of the stretch that the last sample is in (sums.h) */
    int channel_count; /* of the latest placing; CHANNELS_MAX until one is known */
};

#define STATEMENTS_MAX 192
#define STORE_PATH_SIZE 4096

struct store {
    sqlite3 *db;
    enum store_mode mode;
    bool in_memory;
    char path[STORE_PATH_SIZE];
    struct store_lock *lock;
    int statement_count;
    struct {
        const void *key; /* the SQL's address, or the table's */
        int kind;
        sqlite3_stmt *statement;
    } statement[STATEMENTS_MAX];
    struct recording now, committed;
    long lacks;                      /* of memory, before what is not committed yet */
    bool record_refused;             /* the last failure was the record's own fault */
    int file_failures;               /* of its file or its locks since the last commit */
    bool tolerant;                   /* what is foreign in the schema is told and passed over */
    bool passed_over[STORED_TABLES]; /* tables that are not read */
    const struct store_watch *usual; /* watches where no other does */
    const struct store_watch *watch;
    bool stopped; /* by it */
    struct sample *samples;
    size_t sample_capacity;
    struct {
        store_finding *told; /* NULL: what is damaged can't be read */
        void *context;
        int64_t count;
        char latest[400];
    } damage;
};

/* SQLite's lacks of memory are noted from here on (base/memory.h); before its first use. */
void store_watch_memory(void);
/* Sets the sentence for the last failure of SQLite: 'what: PATH ...'. Returns false. */
bool store_failed(struct store *store, const char *doing, struct problem *problem);
/* The last failure was the file's: a page of it makes no sense. */
bool store_is_corrupt(const struct store *store);
/* From here on what the connection does tells watch how it goes; when that says stop, the statement
 * fails, and so do all that follow, until watched by another. NULL: by none. */
void store_watched(struct store *store, const struct store_watch *watch);
/* Tells it: what is said last before the end of a piece of work. */
bool store_go_ahead(struct store *store, double share);
/* All that is stored of a session, as whoever reads it does: records, log and samples. False and
 * the problem where something can't be read, or where the watch says stop. */
bool store_read_all(struct store *store, int64_t id, struct session_record *record,
                    struct problem *problem);
/* Runs SQL that gives no rows. */
bool store_execute(struct store *store, const char *sql, const char *doing,
                   struct problem *problem);
/* The first column of the first row; 0 where there is none or it is NULL. sql may have one
 * parameter. */
bool store_number(struct store *store, const char *sql, int64_t parameter, int64_t *value,
                  struct problem *problem);

/* A row being written or read, column after column in the order of the SQL. */
struct row {
    struct store *store;
    sqlite3_stmt *statement;
    int column;
};

/* sql must be a string that lives as long as the store: its address is the key of the cache. */
bool row_prepare(struct store *store, const char *sql, struct row *row, struct problem *problem);
/* The SQL of a table's statement; kind tells one from another, from 1 on. */
typedef void table_statement(const struct stored_table *table, char *sql, size_t size);
bool row_prepare_table(struct store *store, enum stored_table_id id, table_statement *statement,
                       int kind, struct row *row, struct problem *problem);

/* Insert, or update where the key is there; all rows of a session in order; rows of one owner gone
 * (src/store/statements.c). */
bool row_upsert(struct store *store, enum stored_table_id table, struct row *row,
                struct problem *problem);
bool row_select(struct store *store, enum stored_table_id table, struct row *row,
                struct problem *problem);
bool row_clear(struct store *store, enum stored_table_id table, struct row *row,
               struct problem *problem);
/* The session's own row, without what the store keeps: id is the last parameter. */
bool row_update_session(struct store *store, struct row *row, struct problem *problem);
bool row_select_session(struct store *store, struct row *row, struct problem *problem);
/* The same behind first_n, last_n and sample_count; and what of it makes two sessions the same. */
bool row_insert_session(struct store *store, struct row *row, struct problem *problem);
bool row_select_session_extent(struct store *store, struct row *row, struct problem *problem);
bool row_select_session_same(struct store *store, struct row *row, struct problem *problem);

void row_put_integer(struct row *row, int64_t value);
void row_put_real(struct row *row, double value);     /* not finite: NULL */
void row_put_text(struct row *row, const char *text); /* NULL: NULL */
void row_put_uuid(struct row *row, const struct uuid *uuid);
void row_put_place(struct row *row, int index);       /* 0, 1, ... as 1, 2, ...; -1 as NULL */
void row_put_nonzero(struct row *row, int64_t value); /* 0 as NULL */

/* Runs a statement that gives no rows, and makes it ready for the next. */
bool row_write(struct row *row, struct problem *problem);
/* The next row. False at the end (then *failed is false) or on an error, with the statement reset.
 */
bool row_next(struct row *row, bool *failed, struct problem *problem);
void row_end(struct row *row);

int64_t row_take_integer(struct row *row);
double row_take_real(struct row *row, double if_null);
void row_take_text(struct row *row, char *text, size_t size);
void row_take_uuid(struct row *row, struct uuid *uuid);
int row_take_place(struct row *row); /* index; -1 for NULL, -2 for what is none */
void row_skip(struct row *row);

/* The rows that a record owns, in one table or in all; those that were there go. place: the
 * owner's, of no matter where a session has one at most (src/store/write.c). */
bool store_write_owned(struct store *store, enum stored_table_id table, int64_t session_id,
                       int place, const void *owner, struct problem *problem);
bool store_write_all_owned(struct store *store, enum stored_table_id owner, int place,
                           const void *base, struct problem *problem);

/* The session lock (flock on PATH.lock): one writer of a store at a time. held (or NULL): another
 * program has it. */
struct store_lock *store_lock_take(const char *path, bool *held, struct problem *problem);
void store_lock_release(struct store_lock *lock);

/* Identity and version (src/store/identity.c). */
bool store_identity_check(sqlite3 *db, const char *path, int64_t *version, bool *fresh,
                          struct problem *problem);
/* A reading failed because of a journal that was left behind; what the file alone says of itself
 * then; and the journal rolled back under the lock (src/store/recover.c). held: another program
 * has the lock. */
bool store_needs_recovery(sqlite3 *db);
bool store_identity_without_journal(const char *path, int64_t *version, bool *fresh,
                                    struct problem *problem);
bool store_recover_to_read(const char *path, bool *held, struct problem *problem);
/* What to do where that can't be, for a file that is not to be written here. */
bool store_say_unreadable(const char *path, struct problem *problem);
/* The file's schema is the one this program makes for the version, object by object (names and
 * texts); else the first that is not is named. */
bool store_schema_is_own(struct store *store, int64_t version, struct problem *problem);
/* Limits to what a file can make a connection do: no trigger, no extension, no function that the
 * schema should not call, nothing very long or deep. */
void store_guard(sqlite3 *db);
bool store_create_schema(struct store *store, struct problem *problem);
/* The measures this program knows and the store doesn't are added. */
bool store_measures_complete(struct store *store, struct problem *problem);
/* Tells the store's watch. */
bool store_migrate(struct store *store, const struct store_migration *steps, int step_count,
                   int64_t from_version, struct problem *problem);
/* False where the file's pages or rows are not sound, before anything is written into it: all
 * tables, and the samples unless the file is large. Values that are wrong but well formed are not
 * seen: they carry no checksum. */
bool store_look_over(struct store *store, struct problem *problem);
/* A copy of the open store at path (which must not be there yet), in one file; under another name
 * until it is whole. */
bool store_copy_to(struct store *store, const char *path, const struct store_watch *watch,
                   struct problem *problem);
/* The disk can take the file twice over (a copy or a new file, and its log); else what must be made
 * free. */
bool store_has_room(const struct store *store, int64_t *missing_mb);
/* Adds a path to the list of backups beside the store; a list that can't be written is no failure.
 */
void store_note_backup(const struct store *store, const char *path);

/* Puts the session's rider and bike among those the store knows (src/store/people.c). keep_known:
 * what is known of them already is not changed. */
bool store_link_people(struct store *store, int64_t session_id, bool keep_known,
                       struct problem *problem);

#endif
