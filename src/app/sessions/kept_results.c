/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/kept_results.h"

#include "base/fnv.h"
#include "base/own_file.h"
#include "base/text.h"
#include "base/uuid.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define ENDING ".results"

/* Stands before holds and targets; those are written as they are in memory, for this program only.
 */
struct kept_heading {
    char mark[8];
    uint64_t key; /* of the program, the store's file and the session */
    int64_t holds, targets;
    uint64_t sum; /* of what follows */
};
static const char mark[8] = "HLKEPT1";

static bool add_file(uint64_t *hash, const char *path)
{
    struct stat status;
    if (stat(path, &status) != 0) {
        return false;
    }
    const int64_t numbers[] = {(int64_t)status.st_dev,          (int64_t)status.st_ino,
                               (int64_t)status.st_size,         (int64_t)status.st_mtim.tv_sec,
                               (int64_t)status.st_mtim.tv_nsec, (int64_t)status.st_ctim.tv_sec,
                               (int64_t)status.st_ctim.tv_nsec};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        *hash = fnv_add_whole(*hash, (uint64_t)numbers[i]);
    }
    return true;
}

/* False where the file may be changing: nothing is kept of it then. */
static bool key_of(const char *store_path, const struct session_record *record, uint64_t *key)
{
    char log[PATH_MAX];
    *key = FNV_START;
    if (snprintf(log, sizeof log, "%s-wal", store_path) >= (int)sizeof log ||
        access(log, F_OK) == 0 || !add_file(key, store_path) || !add_file(key, "/proc/self/exe")) {
        return false;
    }
    *key = fnv_add(*key, &record->uuid, sizeof record->uuid);
    return true;
}

/* The folder; false where there is none to be had. */
static bool folder_of(char *path, size_t size, bool make)
{
    const char *cache = getenv("XDG_CACHE_HOME"), *home = getenv("HOME");
    size_t used = 0;
    path[0] = '\0';
    if (cache != NULL && cache[0] == '/') {
        text_append(path, size, &used, "%s", cache);
    } else if (home != NULL && home[0] == '/') {
        text_append(path, size, &used, "%s/.cache", home);
    } else {
        return false;
    }
    if (make && mkdir(path, 0700) != 0 && errno != EEXIST) {
        return false;
    }
    text_append(path, size, &used, "/holdline");
    return used + 100 < size && (!make || mkdir(path, 0700) == 0 || errno == EEXIST);
}

static bool path_of(char *path, size_t size, const struct session_record *record, bool make)
{
    char folder[PATH_MAX], uuid[UUID_TEXT_SIZE];
    uuid_text(uuid, &record->uuid);
    return folder_of(folder, sizeof folder, make) &&
           snprintf(path, size, "%s/%s" ENDING, folder, uuid) < (int)size;
}

/* Written by this user, and by nobody else. */
static FILE *open_own(const char *path)
{
    struct stat status;
    int descriptor = open(path, O_RDONLY | O_NOFOLLOW | O_CLOEXEC | O_NONBLOCK);
    bool own = descriptor >= 0 && fstat(descriptor, &status) == 0 && S_ISREG(status.st_mode) &&
               status.st_uid == geteuid() && (status.st_mode & 022) == 0;
    FILE *file = own ? fdopen(descriptor, "rb") : NULL;
    if (file == NULL && descriptor >= 0) {
        close(descriptor);
    }
    return file;
}

static uint64_t sum_of(const struct session_record *record, const struct analysis *analysis)
{
    uint64_t sum =
        fnv_add(FNV_START, analysis->hold, (size_t)record->hold_count * sizeof analysis->hold[0]);
    return fnv_add(sum, analysis->target,
                   (size_t)record->target_count * sizeof analysis->target[0]);
}

bool kept_results_read(const char *store_path, const struct session_record *record,
                       struct analysis *analysis)
{
    char path[PATH_MAX];
    struct kept_heading heading;
    uint64_t key;
    if (!key_of(store_path, record, &key) || !path_of(path, sizeof path, record, false)) {
        return false;
    }
    FILE *file = open_own(path);
    bool done = file != NULL && fread(&heading, sizeof heading, 1, file) == 1 &&
                memcmp(heading.mark, mark, sizeof mark) == 0 && heading.key == key &&
                heading.holds == record->hold_count && heading.targets == record->target_count;
    size_t holds = (size_t)record->hold_count, targets = (size_t)record->target_count;
    done = done && fread(analysis->hold, sizeof analysis->hold[0], holds, file) == holds &&
           fread(analysis->target, sizeof analysis->target[0], targets, file) == targets &&
           sum_of(record, analysis) == heading.sum;
    if (file != NULL) {
        fclose(file);
    }
    return done;
}

void kept_results_write(const char *store_path, const struct session_record *record,
                        const struct analysis *analysis)
{
    char path[PATH_MAX], beside[PATH_MAX];
    struct kept_heading heading = {.holds = record->hold_count, .targets = record->target_count};
    if (!key_of(store_path, record, &heading.key) || !path_of(path, sizeof path, record, true) ||
        snprintf(beside, sizeof beside, "%s.%ld", path, (long)getpid()) >= (int)sizeof beside) {
        return;
    }
    memcpy(heading.mark, mark, sizeof mark);
    heading.sum = sum_of(record, analysis);
    int descriptor = own_file_open(beside, O_EXCL);
    FILE *file = descriptor >= 0 ? fdopen(descriptor, "wb") : NULL;
    if (file == NULL) {
        if (descriptor >= 0) {
            close(descriptor);
            unlink(beside);
        }
        return;
    }
    size_t holds = (size_t)record->hold_count, targets = (size_t)record->target_count;
    bool done = fwrite(&heading, sizeof heading, 1, file) == 1 &&
                fwrite(analysis->hold, sizeof analysis->hold[0], holds, file) == holds &&
                fwrite(analysis->target, sizeof analysis->target[0], targets, file) == targets;
    done = fclose(file) == 0 && done;
    if (!done || rename(beside, path) != 0) {
        unlink(beside);
    }
}

void kept_results_forget(void)
{
    char folder[PATH_MAX];
    DIR *all = folder_of(folder, sizeof folder, false) ? opendir(folder) : NULL;
    const struct dirent *entry;
    while (all != NULL && (entry = readdir(all)) != NULL) {
        if (strstr(entry->d_name, ENDING) != NULL) {
            unlinkat(dirfd(all), entry->d_name, 0);
        }
    }
    if (all != NULL) {
        closedir(all);
    }
}
