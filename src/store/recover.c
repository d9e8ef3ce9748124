/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "database.h"

#include "base/text.h"

#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* A store is sealed into one file when it is closed, so that it can be read from a disk that may
 * not be written, and carried as one file. A program killed while it seals or unseals leaves a
 * journal that only a connection that may write can roll back; nothing is lost by that. */

bool store_needs_recovery(sqlite3 *db)
{
    int code = sqlite3_errcode(db) & 0xff;
    return code == SQLITE_READONLY || code == SQLITE_CANTOPEN;
}

/* The path as a URI of SQLite's, in which nothing but the path counts. */
static bool immutable_uri(const char *path, char *uri, size_t size)
{
    size_t used = 0;
    text_append(uri, size, &used, "file:");
    for (const char *c = path; *c != '\0' && used + 20 < size; c++) {
        bool plain = strchr("%?#", *c) == NULL && (unsigned char)*c >= ' ';
        text_append(uri, size, &used, plain ? "%c" : "%%%02x", (unsigned char)*c);
    }
    text_append(uri, size, &used, "?immutable=1");
    return used + 20 < size;
}

bool store_identity_without_journal(const char *path, int64_t *version, bool *fresh,
                                    struct problem *problem)
{
    char uri[3 * STORE_PATH_SIZE + 32];
    sqlite3 *db = NULL;
    bool done = false;
    if (!immutable_uri(path, uri, sizeof uri) ||
        sqlite3_open_v2(uri, &db, SQLITE_OPEN_READONLY | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_URI,
                        NULL) != SQLITE_OK) {
        problem_set(problem, "%s can't be opened: %s", path,
                    db != NULL ? sqlite3_errmsg(db) : "there is no memory left");
    } else {
        store_guard(db);
        done = store_identity_check(db, path, version, fresh, problem);
    }
    sqlite3_close(db);
    return done;
}

static bool is_beside(const char *path, const char *ending, char *found, size_t size)
{
    snprintf(found, size, "%s%s", path, ending);
    return access(found, F_OK) == 0;
}

bool store_lacks_its_log(const char *path)
{
    /* at 18 and 19 the database file format has 2 where a write-ahead log is in use (SQLite,
     * Database File Format, 1.3.3); a sealed store has 1 */
    unsigned char heading[20] = {0};
    char log[STORE_PATH_SIZE + 16];
    struct stat status;
    int descriptor = open(path, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    bool read_whole =
        descriptor >= 0 && read(descriptor, heading, sizeof heading) == (ssize_t)sizeof heading;
    if (descriptor >= 0) {
        close(descriptor); /* no lock of SQLite's is held by this process now */
    }
    snprintf(log, sizeof log, "%s-wal", path);
    return read_whole && heading[18] == 2 && heading[19] == 2 &&
           (stat(log, &status) != 0 || status.st_size == 0) && store_is_free(path, NULL);
}

bool store_say_unreadable(const char *path, struct problem *problem)
{
    char beside[STORE_PATH_SIZE + 16];
    bool both = is_beside(path, "-journal", beside, sizeof beside) ||
                is_beside(path, "-wal", beside, sizeof beside);
    if (access(path, R_OK) != 0) {
        return problem_set(problem, "%s may not be read by you: see its permissions", path);
    }
    return problem_set(problem,
                       "%s was not closed by the program that wrote it, and here, where you may "
                       "not write, it can't be put in order: copy it%s%s into a folder of your "
                       "own and take --store with the copy",
                       path, both ? " and " : "", both ? beside : "");
}

/* The first reading of a connection that may write rolls back what was left. */
static bool roll_back(const char *path, struct problem *problem)
{
    sqlite3 *db = NULL;
    int code = sqlite3_open_v2(path, &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, NULL);
    if (code == SQLITE_OK) {
        sqlite3_busy_timeout(db, 2000);
        store_guard(db);
        code = sqlite3_exec(db, "SELECT count(*) FROM sqlite_schema", NULL, NULL, NULL);
    }
    sqlite3_close(db);
    return code == SQLITE_OK || store_say_unreadable(path, problem);
}

static bool may_write_folder(const char *path)
{
    char folder[STORE_PATH_SIZE];
    const char *slash = strrchr(path, '/');
    snprintf(folder, sizeof folder, "%.*s", slash != NULL ? (int)(slash - path) + 1 : 1,
             slash != NULL ? path : ".");
    return access(folder, W_OK) == 0;
}

bool store_recover_to_read(const char *path, bool *held, struct problem *problem)
{
    int64_t version = 0;
    bool fresh = false;
    *held = false;
    if (!store_identity_without_journal(path, &version, &fresh, problem)) {
        return false;
    }
    if (access(path, W_OK) != 0 || !may_write_folder(path)) {
        return store_say_unreadable(path, problem);
    }
    struct store_lock *lock = store_lock_take(path, held, problem);
    bool done = lock != NULL && roll_back(path, problem);
    store_lock_release(lock);
    return done;
}
