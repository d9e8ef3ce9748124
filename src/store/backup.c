/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "database.h"

#include "base/own_file.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define PAGES_A_STEP 1024

static bool go_on(const struct store_watch *watch, double share)
{
    return watch == NULL || watch->progress == NULL || watch->progress(watch->context, share);
}

/* All pages, some at a time. The caller holds a read transaction, so they are of one moment. */
static int copy_pages(struct store *store, sqlite3 *copy, const struct store_watch *watch,
                      bool *stopped)
{
    sqlite3_backup *backup = sqlite3_backup_init(copy, "main", store->db, "main");
    int code = backup != NULL ? SQLITE_OK : sqlite3_errcode(copy);
    *stopped = !go_on(watch, 0.0);
    while (code == SQLITE_OK && !*stopped) {
        code = sqlite3_backup_step(backup, PAGES_A_STEP);
        int all = sqlite3_backup_pagecount(backup), left = sqlite3_backup_remaining(backup);
        *stopped = code == SQLITE_OK && !go_on(watch, all > 0 ? 1.0 - (double)left / all : 0.0);
    }
    int finish = sqlite3_backup_finish(backup);
    return code == SQLITE_DONE ? finish : code;
}

bool store_copy_to(struct store *store, const char *path, const struct store_watch *watch,
                   struct problem *problem)
{
    char part[STORE_PATH_SIZE + 8];
    sqlite3 *copy = NULL;
    bool done = false, stopped = false, own = false;
    if (access(path, F_OK) == 0) {
        return problem_set(problem, "%s is there already; it was left as it is", path);
    }
    if (snprintf(part, sizeof part, "%s.part", path) >= (int)sizeof part) {
        return problem_usage(problem, "the path of the copy is too long");
    }
    unlink(part); /* what an interrupted copy left */
    own = sqlite3_get_autocommit(store->db) != 0;
    if (own &&
        !store_execute(store, "BEGIN; SELECT count(*) FROM sqlite_master", "reading", problem)) {
        goto end;
    }
    int made = own_file_open(part, O_EXCL);
    if (made < 0) {
        problem_set(problem, "the copy %s can't be made: %s", path,
                    errno == ENOENT ? "its folder is not there" : strerror(errno));
        goto end;
    }
    close(made);
    int code = sqlite3_open_v2(
        part, &copy, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX, NULL);
    if (code == SQLITE_OK) {
        code = copy_pages(store, copy, watch, &stopped);
    }
    if (code == SQLITE_OK && !stopped) { /* the copy is one file, whatever the store is in */
        code = sqlite3_exec(copy, "PRAGMA journal_mode = DELETE", NULL, NULL, NULL);
    }
    if (stopped) {
        problem_set(problem, "stopped: no copy was made");
    } else if (code != SQLITE_OK) {
        problem_set(problem, "the copy %s can't be made: %s", path, sqlite3_errstr(code));
    }
    done = code == SQLITE_OK && !stopped;
end:
    if (own) {
        sqlite3_exec(store->db, "COMMIT", NULL, NULL, NULL);
    }
    sqlite3_close(copy);
    if (done && link(part, path) != 0) { /* unlike rename, never over a file */
        done = problem_set(problem, "the copy can't be named %s: %s", path, strerror(errno));
    }
    store_remove(part);
    return done;
}

void store_remove(const char *path)
{
    static const char *const beside[] = {"", "-wal", "-shm", "-journal"};
    char file[2 * STORE_PATH_SIZE];
    for (size_t i = 0; i < sizeof beside / sizeof beside[0]; i++) {
        snprintf(file, sizeof file, "%s%s", path, beside[i]);
        unlink(file);
    }
}

void store_note_backup(const struct store *store, const char *path)
{
    char list[STORE_PATH_SIZE + 16];
    char *real = realpath(path, NULL);
    snprintf(list, sizeof list, "%s.backups", store->path);
    int descriptor = own_file_open(list, O_APPEND);
    FILE *file = descriptor >= 0 ? fdopen(descriptor, "a") : NULL;
    if (file == NULL && descriptor >= 0) {
        close(descriptor);
    }
    if (file != NULL) {
        fprintf(file, "%s\n", real != NULL ? real : path);
        fclose(file);
    }
    free(real);
}

bool store_backup(struct store *store, const char *path, const struct store_watch *watch,
                  struct problem *problem)
{
    if (!store_copy_to(store, path, watch, problem)) {
        return false;
    }
    store_note_backup(store, path);
    return true;
}
