/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef _GNU_SOURCE
#define _GNU_SOURCE /* fopencookie */ /* NOLINT(bugprone-reserved-identifier,cert-dcl37-c) */
#endif

#include "base/memory.h"
#include "base/own_file.h"
#include "report/report.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define PATH_SIZE 4096
#define LEFT_OVERS_MAX 100
#define WRITE_SIZE 65536

static bool refuse_existing(const char *path, struct problem *problem)
{
    problem_set(problem, "%s is there already: name another file, or say --replace", path);
    if (problem != NULL) {
        problem->kind = PROBLEM_THERE;
    }
    return false;
}

/* Does the file begin as a database does (SQLite 3 file format, 1.3)? A store is no report, and
 * what was measured is nowhere else. */
static bool is_database(const char *path)
{
    static const char beginning[16] = "SQLite format 3";
    char bytes[sizeof beginning];
    int descriptor = open(path, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    bool is = descriptor >= 0 && read(descriptor, bytes, sizeof bytes) == (ssize_t)sizeof bytes &&
              memcmp(bytes, beginning, sizeof beginning) == 0;
    if (descriptor >= 0) {
        close(descriptor);
    }
    return is;
}

/* What is being written: a stream over a descriptor that asks before each write. */
struct output {
    const struct report_file *file;
    char temporary[PATH_SIZE];
    int descriptor;
    FILE *stream;
    int error; /* errno of the first write that failed */
};

static bool goes_on(const struct output *output)
{
    const struct report_file *file = output->file;
    return file->go_on == NULL || file->go_on(file->go_on_context);
}

static ssize_t write_bytes(void *cookie, const char *bytes, size_t size)
{
    struct output *output = cookie;
    size_t written = 0;
    while (written < size) {
        if (!goes_on(output)) {
            return 0;
        }
        ssize_t step = write(output->descriptor, bytes + written, size - written);
        if (step < 0 && errno != EINTR) {
            output->error = output->error != 0 ? output->error : errno;
            return 0; /* which is the stream's error */
        }
        written += step > 0 ? (size_t)step : 0;
    }
    return (ssize_t)written;
}

/* A file of its own beside path; left-overs of programs that were killed are stepped over. */
static bool open_beside(struct output *output, struct problem *problem)
{
    const char *path = output->file->path;
    const cookie_io_functions_t functions = {.write = write_bytes};
    for (int i = 0; i < LEFT_OVERS_MAX && output->descriptor < 0; i++) {
        if (snprintf(output->temporary, PATH_SIZE, "%s.part%d", path, i) >= PATH_SIZE) {
            return problem_set(problem, "the path of the file is too long");
        }
        output->descriptor = own_file_open(output->temporary, O_EXCL);
        if (output->descriptor < 0 && errno != EEXIST) {
            break;
        }
    }
    output->stream = output->descriptor < 0 ? NULL : fopencookie(output, "w", functions);
    if (output->stream == NULL) {
        problem_set(problem, "%s can't be written: %s", path,
                    errno == ENOENT ? "its folder is not there" : strerror(errno));
        if (output->descriptor >= 0) {
            close(output->descriptor);
            unlink(output->temporary);
        }
        return false;
    }
    setvbuf(output->stream, NULL, _IOFBF, WRITE_SIZE);
    return true;
}

/* To the disk before it gets its name, so that a power cut leaves the old file or the whole new
 * one. */
static bool finish(struct output *output, struct problem *problem)
{
    bool sound = fflush(output->stream) == 0 && !ferror(output->stream) && goes_on(output);
    if (sound && fsync(output->descriptor) != 0) {
        sound = false;
        output->error = errno;
    }
    return sound || problem_set(problem, "%s can't be written: %s", output->file->path,
                                strerror(output->error));
}

/* link() refuses to go over an existing file, so nothing that came meanwhile is lost. File systems
 * that have no links are looked at once more. */
static bool give_name(struct output *output, struct problem *problem)
{
    const char *path = output->file->path;
    if (!output->file->replace) {
        if (link(output->temporary, path) == 0) {
            unlink(output->temporary);
            return true;
        }
        if (errno == EEXIST || access(path, F_OK) == 0) {
            return refuse_existing(path, problem);
        }
    }
    if (rename(output->temporary, path) != 0) {
        return problem_set(problem, "%s can't be written: %s", path, strerror(errno));
    }
    return true;
}

/* The name, too, to the disk. A folder that can't be synced (some file systems have no such thing)
 * has the file all the same. */
static void sync_folder(const char *path)
{
    char folder[PATH_SIZE];
    const char *slash = strrchr(path, '/');
    snprintf(folder, sizeof folder, "%.*s",
             slash == NULL   ? 1
             : slash == path ? 1
                             : (int)(slash - path),
             slash == NULL ? "." : path);
    int descriptor = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (descriptor >= 0) {
        fsync(descriptor);
        close(descriptor);
    }
}

bool report_write_file(const struct report_file *file, report_body *body, void *context,
                       struct problem *problem)
{
    struct output output = {.file = file, .descriptor = -1};
    /* since the program began: what is written may have been worked out before */
    const long lacks = 0;
    struct stat status;
    bool there = lstat(file->path, &status) == 0;
    if (there && !file->replace) {
        return refuse_existing(file->path, problem);
    }
    if (there && !S_ISREG(status.st_mode) && !S_ISLNK(status.st_mode)) {
        return problem_set(problem, "%s is no file that could be replaced", file->path);
    }
    if (there && is_database(file->path)) {
        return problem_set(problem,
                           "%s is a store, or another database, and is not written over: "
                           "name another file",
                           file->path);
    }
    if (!open_beside(&output, problem)) {
        return false;
    }
    bool done = body(output.stream, context, problem) && finish(&output, problem);
    fclose(output.stream);
    if (close(output.descriptor) != 0 && done) {
        done = problem_set(problem, "%s can't be written: %s", file->path, strerror(errno));
    }
    if (done && !memory_sufficed(lacks, problem)) {
        done = problem_prefix(problem, "%s was not written", file->path);
    }
    done = done && goes_on(&output) && give_name(&output, problem);
    if (done) {
        sync_folder(file->path);
    } else {
        unlink(output.temporary);
    }
    return done || (!goes_on(&output) && problem_set(problem, "%s: stopped", file->path));
}
