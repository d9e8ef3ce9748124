/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/ride_file.h"

#include "base/fnv.h"
#include "ride_csv.h"
#include "ride_gpx.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define BUFFER_BYTES 65536
#define HEAD_BYTES 64

struct ride_reader {
    bool is_known; /* which of the two */
    size_t head_used;
    char head[HEAD_BYTES]; /* until it is */
    struct ride_csv *csv;
    struct ride_gpx *gpx;
};

struct ride_reader *ride_reader_create(struct problem *problem)
{
    struct ride_reader *reader = calloc(1, sizeof *reader);
    if (reader == NULL) {
        problem_set(problem, "no memory for a ride");
    }
    return reader;
}

void ride_reader_free(struct ride_reader *reader)
{
    if (reader != NULL) {
        ride_csv_free(reader->csv);
        ride_gpx_free(reader->gpx);
        free(reader);
    }
}

/* XML begins with '<', maybe behind a byte order mark; UTF-16's is one of its own. */
static bool begins_xml(const char *bytes, size_t length)
{
    static const char *const marks[] = {"\xEF\xBB\xBF", "\xFF\xFE", "\xFE\xFF"};
    size_t at = 0;
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++) {
        size_t mark = strlen(marks[i]);
        at = length >= mark && memcmp(bytes, marks[i], mark) == 0 ? mark : at;
    }
    while (at < length && strchr(" \t\r\n", bytes[at]) != NULL) {
        at++;
    }
    return at < length && bytes[at] == '<';
}

static bool feed_known(struct ride_reader *reader, const char *bytes, size_t length,
                       struct problem *problem)
{
    return length == 0 ||
           (reader->gpx != NULL ? ride_gpx_feed(reader->gpx, bytes, length, problem)
                                : ride_csv_feed(reader->csv, bytes, length, problem));
}

/* Looks at the first bytes, and gives them to the reader that they are for. */
static bool choose(struct ride_reader *reader, struct problem *problem)
{
    bool is_xml = begins_xml(reader->head, reader->head_used);
    reader->gpx = is_xml ? ride_gpx_create() : NULL;
    reader->csv = is_xml ? NULL : ride_csv_create();
    if (reader->gpx == NULL && reader->csv == NULL) {
        return problem_set(problem, "no memory for a ride");
    }
    reader->is_known = true;
    return feed_known(reader, reader->head, reader->head_used, problem);
}

bool ride_reader_feed(struct ride_reader *reader, const char *bytes, size_t length,
                      struct problem *problem)
{
    size_t taken = 0;
    if (!reader->is_known) {
        size_t room = sizeof reader->head - reader->head_used;
        taken = length < room ? length : room;
        memcpy(reader->head + reader->head_used, bytes, taken);
        reader->head_used += taken;
        if (reader->head_used < sizeof reader->head) {
            return true;
        }
        if (!choose(reader, problem)) {
            return false;
        }
    }
    return feed_known(reader, bytes + taken, length - taken, problem);
}

struct ride *ride_reader_finish(struct ride_reader *reader, struct problem *problem)
{
    if (!reader->is_known && reader->head_used == 0) {
        problem_set(problem, "there is nothing in it");
        return NULL;
    }
    if (!reader->is_known && !choose(reader, problem)) {
        return NULL;
    }
    return reader->gpx != NULL ? ride_gpx_finish(reader->gpx, problem)
                               : ride_csv_finish(reader->csv, problem);
}

/* A file while it is read. */
struct reading {
    int descriptor;
    double bytes, done;
    const struct ride_watch *watch;
    uint64_t sum;
};

static bool goes_on(const struct reading *reading, struct problem *problem)
{
    const struct ride_watch *watch = reading->watch;
    if (watch != NULL && !watch->goes_on(watch->context, reading->done / reading->bytes)) {
        return problem_set(problem, "stopped: nothing of it was taken");
    }
    return true;
}

static struct ride *read_all(struct reading *reading, struct problem *problem)
{
    struct ride *ride = NULL;
    struct ride_reader *reader = ride_reader_create(problem);
    char *buffer = malloc(BUFFER_BYTES);
    if (buffer == NULL) {
        problem_set(problem, "no memory for a ride");
    }
    bool going = reader != NULL && buffer != NULL;
    while (going) {
        ssize_t taken = read(reading->descriptor, buffer, BUFFER_BYTES);
        if (taken < 0 && errno == EINTR) {
            continue;
        }
        if (taken < 0) {
            problem_set(problem, "it cannot be read: %s", strerror(errno));
            break;
        }
        if (taken == 0) {
            ride = ride_reader_finish(reader, problem);
            break;
        }
        reading->sum = fnv_add(reading->sum, buffer, (size_t)taken);
        reading->done += (double)taken;
        going =
            ride_reader_feed(reader, buffer, (size_t)taken, problem) && goes_on(reading, problem);
    }
    free(buffer);
    ride_reader_free(reader);
    return ride;
}

struct ride *ride_file_read(const char *path, const struct ride_watch *watch, uint64_t *sum,
                            struct problem *problem)
{
    struct stat file;
    struct ride *ride = NULL;
    int descriptor = open(path, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    if (descriptor < 0) {
        problem_set(problem, "'%s' cannot be opened: %s", path, strerror(errno));
        return NULL;
    }
    if (fstat(descriptor, &file) != 0 || !S_ISREG(file.st_mode)) {
        problem_set(problem, "'%s' is no file: a ride is read from CSV or GPX", path);
    } else {
        struct reading reading = {.descriptor = descriptor,
                                  .bytes = (double)file.st_size,
                                  .watch = watch,
                                  .sum = FNV_START};
        ride = read_all(&reading, problem);
        if (ride == NULL) {
            problem_prefix(problem, "'%s'", path);
        } else if (sum != NULL) {
            *sum = reading.sum;
        }
    }
    close(descriptor);
    return ride;
}
