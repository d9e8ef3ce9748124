/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "database.h"

#include "base/own_file.h"
#include "base/text.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#define TRIES 5
#define BETWEEN_TRIES_US 10000

/* The lock is on a file beside the store: opening and closing the store's own file would drop
 * SQLite's locks on it. The file goes when the lock is given back, so whoever gets it makes sure
 * that it is still the one at the path. */
struct store_lock {
    int descriptor;
    char path[STORE_PATH_SIZE + 8];
};

static bool still_there(int descriptor, const char *path)
{
    struct stat held, there;
    return fstat(descriptor, &held) == 0 && stat(path, &there) == 0 &&
           held.st_dev == there.st_dev && held.st_ino == there.st_ino;
}

static bool refuse_taken(int descriptor, const char *path, struct problem *problem)
{
    char holder[32] = "";
    ssize_t length = pread(descriptor, holder, sizeof holder - 1, 0);
    holder[length > 0 ? length : 0] = '\0';
    holder[strspn(holder, "0123456789")] = '\0';
    return problem_set(problem,
                       "%s: another session is being recorded there%s%s%s: end that, or take "
                       "--store FILE",
                       path, holder[0] != '\0' ? " (process " : "", holder,
                       holder[0] != '\0' ? ")" : "");
}

/* Whoever asks whether a store is free holds its lock for a moment. */
static bool lock_soon(int descriptor)
{
    bool done = flock(descriptor, LOCK_EX | LOCK_NB) == 0;
    for (int i = 0; !done && errno == EWOULDBLOCK && i < TRIES; i++) {
        usleep(BETWEEN_TRIES_US);
        done = flock(descriptor, LOCK_EX | LOCK_NB) == 0;
    }
    return done;
}

/* The store's own path with all links followed, so that two names of one file share a lock. */
static void lock_path(const char *path, char *result, size_t size)
{
    char *real = realpath(path, NULL);
    snprintf(result, size, "%s.lock", real != NULL ? real : path);
    free(real);
}

struct store_lock *store_lock_take(const char *path, bool *held, struct problem *problem)
{
    struct store_lock *lock = calloc(1, sizeof *lock);
    if (held != NULL) {
        *held = false;
    }
    if (lock == NULL) {
        problem_set(problem, "there is no memory left");
        return NULL;
    }
    lock_path(path, lock->path, sizeof lock->path);
    for (;;) {
        lock->descriptor = own_file_open(lock->path, O_RDWR);
        if (lock->descriptor < 0) {
            if (errno == EACCES || errno == EROFS) {
                problem_set(problem,
                            "%s: its folder may not be written by you: see its permissions", path);
            } else if (errno == ENOENT) {
                problem_set(problem, "%s: its folder is not there: make it, or name another store",
                            path);
            } else if (errno == ELOOP || errno == EPERM) {
                problem_set(problem,
                            "%s can't be locked: %s is no plain file of your own; look what "
                            "put it there, and move it away",
                            path, lock->path);
            } else {
                problem_set(problem, "%s can't be locked for writing: %s (%s)", path,
                            strerror(errno), lock->path);
            }
            break;
        }
        if (!lock_soon(lock->descriptor)) {
            if (errno == EWOULDBLOCK) {
                if (held != NULL) {
                    *held = true;
                }
                refuse_taken(lock->descriptor, path, problem);
            } else {
                problem_set(problem, "%s can't be locked: %s", path, strerror(errno));
            }
            close(lock->descriptor);
            break;
        }
        if (still_there(lock->descriptor, lock->path)) {
            char holder[32];
            int length = snprintf(holder, sizeof holder, "%ld\n", (long)getpid());
            if (ftruncate(lock->descriptor, 0) == 0 && length > 0) {
                /* only for the sentence another program shows: it may fail on a full disk */
                ssize_t written = pwrite(lock->descriptor, holder, (size_t)length, 0);
                (void)written;
            }
            return lock;
        }
        close(lock->descriptor); /* given back between open and lock: take the new one */
    }
    free(lock);
    return NULL;
}

void store_lock_release(struct store_lock *lock)
{
    if (lock == NULL) {
        return;
    }
    unlink(lock->path); /* while it is held: nobody else can have it */
    close(lock->descriptor);
    free(lock);
}

bool store_is_free(const char *path, struct problem *problem)
{
    char file[STORE_PATH_SIZE + 8];
    lock_path(path, file, sizeof file);
    int descriptor = open(file, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (descriptor < 0) {
        return true;
    }
    bool is_free = flock(descriptor, LOCK_SH | LOCK_NB) == 0 || errno != EWOULDBLOCK;
    if (!is_free) {
        refuse_taken(descriptor, path, problem);
    }
    close(descriptor);
    return is_free;
}
