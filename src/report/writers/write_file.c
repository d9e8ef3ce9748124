/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/report.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define PATH_SIZE 4096
#define LEFT_OVERS_MAX 100

static bool refuse_existing(const char *path, struct problem *problem)
{
    return problem_set(problem, "%s is there already: name another file, or say --replace", path);
}

/* A file of its own beside path; left-overs of programs that were killed are stepped over. */
static FILE *open_beside(const char *path, char temporary[PATH_SIZE], struct problem *problem)
{
    int descriptor = -1;
    for (int i = 0; i < LEFT_OVERS_MAX && descriptor < 0; i++) {
        if (snprintf(temporary, PATH_SIZE, "%s.part%d", path, i) >= PATH_SIZE) {
            problem_set(problem, "the path of the file is too long");
            return NULL;
        }
        descriptor = open(temporary, O_CREAT | O_EXCL | O_WRONLY | O_CLOEXEC, 0666);
        if (descriptor < 0 && errno != EEXIST) {
            break;
        }
    }
    FILE *stream = descriptor < 0 ? NULL : fdopen(descriptor, "w");
    if (stream == NULL) {
        problem_set(problem, "%s can't be written: %s", path, strerror(errno));
        if (descriptor >= 0) {
            close(descriptor);
            unlink(temporary);
        }
    }
    return stream;
}

/* To the disk before it gets its name, so that a power cut leaves the old file or the whole new
 * one. */
static bool finish(FILE *stream, const char *path, struct problem *problem)
{
    bool sound = fflush(stream) == 0 && !ferror(stream) && fsync(fileno(stream)) == 0;
    int reason = errno;
    if (fclose(stream) != 0 && sound) {
        sound = false;
        reason = errno;
    }
    return sound || problem_set(problem, "%s can't be written: %s", path, strerror(reason));
}

/* link() refuses to go over an existing file, so nothing that came meanwhile is lost. File systems
 * that have no links are looked at once more. */
static bool give_name(const char *temporary, const char *path, bool replace,
                      struct problem *problem)
{
    if (!replace) {
        if (link(temporary, path) == 0) {
            unlink(temporary);
            return true;
        }
        if (errno == EEXIST || access(path, F_OK) == 0) {
            return refuse_existing(path, problem);
        }
    }
    if (rename(temporary, path) != 0) {
        return problem_set(problem, "%s can't be written: %s", path, strerror(errno));
    }
    return true;
}

bool report_write_file(const char *path, bool replace, report_body *body, void *context,
                       struct problem *problem)
{
    char temporary[PATH_SIZE];
    struct stat status;
    bool there = lstat(path, &status) == 0;
    if (there && !replace) {
        return refuse_existing(path, problem);
    }
    if (there && !S_ISREG(status.st_mode) && !S_ISLNK(status.st_mode)) {
        return problem_set(problem, "%s is no file that could be replaced", path);
    }
    FILE *stream = open_beside(path, temporary, problem);
    if (stream == NULL) {
        return false;
    }
    bool done = body(stream, context, problem);
    if (!done) {
        fclose(stream);
    } else {
        done = finish(stream, path, problem) && give_name(temporary, path, replace, problem);
    }
    if (!done) {
        unlink(temporary);
    }
    return done;
}
