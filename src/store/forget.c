/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "database.h"

#include "base/text.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define CALLED_SIZE (NAME_SIZE + 16)

static bool find_rider(struct store *store, const char *code, int64_t *id, struct problem *problem)
{
    struct row row;
    bool failed = false;
    *id = 0;
    if (!row_prepare(store, "SELECT id FROM rider WHERE code = ?", &row, problem)) {
        return false;
    }
    row_put_text(&row, code);
    if (row_next(&row, &failed, problem)) {
        *id = row_take_integer(&row);
        row_end(&row);
    } else if (!failed) {
        problem_set(problem, "there is no rider '%s' in %s: 'holdline list' shows the codes", code,
                    store->path);
    }
    return *id != 0;
}

/* id: what the statement's '?' is. */
static bool delete_for(struct store *store, const char *sql, int64_t id, int64_t *count,
                       struct problem *problem)
{
    struct row row;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_integer(&row, id);
    if (!row_write(&row, problem)) {
        return false;
    }
    *count = sqlite3_changes(store->db);
    return true;
}

static bool delete_rider(struct store *store, int64_t rider_id, struct store_forgotten *forgotten,
                         struct problem *problem)
{
    static const char samples[] =
        "DELETE FROM sample WHERE n IN (SELECT x.n FROM session s"
        " CROSS JOIN sample x ON x.n BETWEEN s.first_n AND s.last_n WHERE s.rider_id = ?)";
    /* bikes that only this rider's sessions have; sessions take all they own with them */
    static const char sessions[] = "DELETE FROM session WHERE rider_id = ?";
    static const char bikes[] = "DELETE FROM bike WHERE rider_id = ?";
    static const char rider[] = "DELETE FROM rider WHERE id = ?";
    int64_t session_count = 0, bike_count = 0, rider_count = 0;
    bool done = store_execute(store, "BEGIN IMMEDIATE", "writing into", problem);
    done = done && delete_for(store, samples, rider_id, &forgotten->samples, problem) &&
           delete_for(store, sessions, rider_id, &session_count, problem) &&
           delete_for(store, bikes, rider_id, &bike_count, problem) &&
           delete_for(store, rider, rider_id, &rider_count, problem) &&
           store_execute(store, "COMMIT", "writing into", problem);
    if (!done) {
        store_rollback(store);
    }
    forgotten->sessions = (int)session_count;
    forgotten->bikes = (int)bike_count;
    return done;
}

/* One session, and the bike and the rider that no other session has. */
static bool delete_session(struct store *store, int64_t session_id,
                           struct store_forgotten *forgotten, struct problem *problem)
{
    static const char samples[] =
        "DELETE FROM sample WHERE n IN (SELECT x.n FROM session s"
        " CROSS JOIN sample x ON x.n BETWEEN s.first_n AND s.last_n WHERE s.id = ?)";
    static const char session[] = "DELETE FROM session WHERE id = ?";
    static const char bikes[] =
        "DELETE FROM bike WHERE NOT EXISTS (SELECT 1 FROM session WHERE bike_id = bike.id)";
    static const char riders[] =
        "DELETE FROM rider WHERE NOT EXISTS (SELECT 1 FROM session WHERE rider_id = rider.id)"
        " AND NOT EXISTS (SELECT 1 FROM bike WHERE rider_id = rider.id)";
    int64_t session_count = 0;
    bool done = store_execute(store, "BEGIN IMMEDIATE", "writing into", problem);
    done = done && delete_for(store, samples, session_id, &forgotten->samples, problem) &&
           delete_for(store, session, session_id, &session_count, problem) &&
           store_execute(store, bikes, "writing into", problem);
    forgotten->bikes = done ? sqlite3_changes(store->db) : 0;
    done = done && store_execute(store, riders, "writing into", problem) &&
           store_execute(store, "COMMIT", "writing into", problem);
    if (!done) {
        store_rollback(store);
    }
    forgotten->sessions = (int)session_count;
    return done;
}

/* What is forgotten: how it goes, how a copy is asked for it, and what it is called. */
struct forgetting {
    bool (*remove)(struct store *store, int64_t id, struct store_forgotten *forgotten,
                   struct problem *problem);
    int64_t id;
    const char *in_copy, *key;
    char called[CALLED_SIZE];
};

/* The log goes into the file and becomes empty; not where a reader still needs it. */
static bool empty_log(struct store *store)
{
    int left = -1, moved = -1;
    int code =
        sqlite3_wal_checkpoint_v2(store->db, NULL, SQLITE_CHECKPOINT_TRUNCATE, &left, &moved);
    return code == SQLITE_OK;
}

bool store_compact(struct store *store, const struct store_watch *watch, struct problem *problem)
{
    int64_t missing_mb = 0;
    if (store->in_memory) {
        return true;
    }
    if (!empty_log(store)) {
        return problem_set(problem, "another program is reading %s: close that one first",
                           store->path);
    }
    if (!store_has_room(store, &missing_mb)) {
        return problem_set(problem, "there is no room to write %s anew: make %lld MB free first",
                           store->path, (long long)missing_mb);
    }
    store_watched(store, watch);
    bool done = store_execute(store, "VACUUM", "writing anew", problem);
    store_watched(store, NULL);
    if (!done) {
        return false;
    }
    return empty_log(store) ||
           problem_set(problem, "another program has begun to read %s: close that one first",
                       store->path);
}

/* Whether a copy has it: 1, 0, or -1 where it can't be read. */
static int copy_has(const char *path, const struct forgetting *what)
{
    sqlite3 *db = NULL;
    sqlite3_stmt *statement = NULL;
    int has = -1;
    bool open =
        sqlite3_open_v2(path, &db, SQLITE_OPEN_READONLY | SQLITE_OPEN_NOMUTEX, NULL) == SQLITE_OK;
    if (open) {
        store_guard(db);
    }
    if (open && sqlite3_prepare_v2(db, what->in_copy, -1, &statement, NULL) == SQLITE_OK &&
        sqlite3_bind_text(statement, 1, what->key, -1, SQLITE_TRANSIENT) == SQLITE_OK) {
        int code_of_step = sqlite3_step(statement);
        has = code_of_step == SQLITE_ROW ? 1 : code_of_step == SQLITE_DONE ? 0 : -1;
    }
    sqlite3_finalize(statement);
    sqlite3_close(db);
    return has;
}

static void name_copy(const char *path, const struct forgetting *what, store_finding *told,
                      void *context)
{
    char sentence[STORE_PATH_SIZE + CALLED_SIZE + 64];
    if (access(path, F_OK) != 0) {
        return;
    }
    switch (copy_has(path, what)) {
    case 1:
        snprintf(sentence, sizeof sentence, "%s still holds %s", path, what->called);
        break;
    case 0:
        return;
    default:
        snprintf(sentence, sizeof sentence, "%s can't be read: it may still hold %s", path,
                 what->called);
        break;
    }
    told(context, sentence);
}

/* The copies that were made, by the list beside the store. */
static void name_backups(struct store *store, const struct forgetting *what, store_finding *told,
                         void *context)
{
    char path[STORE_PATH_SIZE + 16];
    snprintf(path, sizeof path, "%s.backups", store->path);
    FILE *list = fopen(path, "r");
    while (list != NULL && fgets(path, sizeof path, list) != NULL) {
        path[strcspn(path, "\n")] = '\0';
        name_copy(path, what, told, context);
    }
    if (list != NULL) {
        fclose(list);
    }
}

/* Readings that were saved beside the store carry no rider's code: each is named. */
static void name_saved(struct store *store, store_finding *told, void *context)
{
    char folder[STORE_PATH_SIZE], start[STORE_PATH_SIZE + 16];
    const char *slash = strrchr(store->path, '/');
    snprintf(folder, sizeof folder, "%.*s", slash != NULL ? (int)(slash - store->path) + 1 : 2,
             slash != NULL ? store->path : "./");
    snprintf(start, sizeof start, "%s.unsaved-", slash != NULL ? slash + 1 : store->path);
    DIR *listing = opendir(folder);
    for (struct dirent *entry = listing != NULL ? readdir(listing) : NULL; entry != NULL;
         entry = readdir(listing)) {
        if (text_starts_with(entry->d_name, start)) {
            char sentence[STORE_PATH_SIZE + 512];
            snprintf(sentence, sizeof sentence,
                     "%s%s holds readings that could not be stored: they may belong to it", folder,
                     entry->d_name);
            told(context, sentence);
        }
    }
    if (listing != NULL) {
        closedir(listing);
    }
}

static bool tell_only(void *context, double share)
{
    const struct store_watch *watch = context;
    watch->progress(watch->context, share);
    return true;
}

/* What could keep the file from being written anew is looked at before anything is removed:
 * secure_delete blanks the rows, but a page that was split long ago may still hold an old copy of
 * one, and the log too. */
static bool forget(struct store *store, const struct forgetting *what, store_finding *told,
                   void *context, const struct store_watch *watch,
                   struct store_forgotten *forgotten, struct problem *problem)
{
    struct store_watch to_the_end = {tell_only, (void *)(uintptr_t)watch};
    if (!store_compact(store, watch, problem)) {
        return false;
    }
    store_watched(store, watch);
    bool done = what->remove(store, what->id, forgotten, problem);
    store_watched(store, NULL);
    if (!done) {
        return false;
    }
    if (!store->in_memory) {
        name_backups(store, what, told, context);
        name_saved(store, told, context);
    }
    if (!store_compact(store, watch != NULL ? &to_the_end : NULL, problem)) {
        return problem_prefix(problem,
                              "%s was removed, but scraps may be left until "
                              "'holdline store compact' has been done",
                              what->called);
    }
    return true;
}

bool store_forget(struct store *store, const char *code, store_finding *told, void *context,
                  const struct store_watch *watch, struct store_forgotten *forgotten,
                  struct problem *problem)
{
    struct forgetting what = {
        .remove = delete_rider, .in_copy = "SELECT 1 FROM rider WHERE code = ?", .key = code};
    *forgotten = (struct store_forgotten){0};
    snprintf(what.called, sizeof what.called, "rider %.*s", NAME_SIZE, code);
    return find_rider(store, code, &what.id, problem) &&
           forget(store, &what, told, context, watch, forgotten, problem);
}

bool store_forget_session(struct store *store, const char *words, store_finding *told,
                          void *context, const struct store_watch *watch,
                          struct store_forgotten *forgotten, struct problem *problem)
{
    char uuid[UUID_TEXT_SIZE] = "";
    struct row row;
    bool failed = false;
    struct forgetting what = {
        .remove = delete_session, .in_copy = "SELECT 1 FROM session WHERE uuid = ?", .key = uuid};
    *forgotten = (struct store_forgotten){0};
    if (!store_find_session(store, words, &what.id, problem) ||
        !row_prepare(store, "SELECT uuid FROM session WHERE id = ?", &row, problem)) {
        return false;
    }
    row_put_integer(&row, what.id);
    if (!row_next(&row, &failed, problem)) {
        return failed ? false : problem_set(problem, "the session is not there any more");
    }
    row_take_text(&row, uuid, sizeof uuid);
    row_end(&row);
    snprintf(what.called, sizeof what.called, "session %lld", (long long)what.id);
    return forget(store, &what, told, context, watch, forgotten, problem);
}
