/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/clock.h"
#include "base/text.h"
#include "measure/rules.h"
#include "rig/decoder.h"
#include "rig/link.h"
#include "rig/link_parameters.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <math.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* A recorded stream: a file, or standard input. It is handed out line by line, each with an arrival
 * time of the stream's own pace: from the times in the stream where it carries some, else from the
 * rate that was stated or that it announces. So what is made of it does not depend on the speed at
 * which it is read. The times are found by a decoder of the link's own; no one else sees its
 * samples. */

#define LONGEST_WAIT_US 2e6 /* a stop in the recording is not sat through */
#define BUFFER_BYTES 65536

struct stream_link {
    struct link head;
    int descriptor;
    bool live;    /* comes through a pipe: as it comes, without a pace of its own */
    double speed; /* INFINITY: as fast as it is read */
    struct decoder *pace;
    bool has_rig_time, has_last;
    int64_t last_rig_time_us;
    int64_t step_us;     /* the last good step between samples */
    double pace_us;      /* arrival of the line at hand, from the stream's first sample */
    double due_us;       /* the same on the host's clock, with long stops cut short */
    int64_t start_us;    /* host time of the first line */
    bool started, timed; /* timed: the line at hand has its arrival */
    bool at_end;
    size_t from, until;
    char bytes[BUFFER_BYTES];
};

static double step_without_time_us(const struct stream_link *link)
{
    double rate_hz = link->head.stated_rate_hz;
    if (rate_hz <= 0) {
        rate_hz = decoder_info(link->pace)->rate_hz;
    }
    return 1e6 / (rate_hz > 0 ? rate_hz : RATE_UNKNOWN_HZ);
}

static void advance(struct stream_link *link, double step_us)
{
    link->pace_us += step_us;
    link->due_us += fmin(step_us, LONGEST_WAIT_US);
}

/* A sample of the line at hand moves the pace on. */
static void pace_sample(void *context, const struct raw_sample *raw)
{
    struct stream_link *link = context;
    if (!raw->has_rig_time && !link->live && link->head.stated_rate_hz <= 0 &&
        decoder_info(link->pace)->rate_hz <= 0) {
        link->head.stated_rate_hz = RATE_UNKNOWN_HZ;
        link->head.rate_is_assumed = true;
    }
    if (!link->has_last) {
        link->has_last = true;
        link->step_us = llround(step_without_time_us(link));
    } else if (!raw->has_rig_time) {
        advance(link, step_without_time_us(link));
    } else {
        int64_t step_us = raw->rig_time_us - link->last_rig_time_us;
        if (!link->has_rig_time || step_us < 0) { /* the rig restarted, or its counter came round */
            step_us = link->step_us;
        } else if (step_us > 0) {
            link->step_us = step_us;
        }
        advance(link, (double)step_us);
    }
    if (raw->has_rig_time) {
        link->has_rig_time = true;
        link->last_rig_time_us = raw->rig_time_us;
    }
}

/* Bytes up to and with the next line end; 0 = there is none yet. */
static size_t line_length(const struct stream_link *link)
{
    for (size_t at = link->from; at < link->until; at++) {
        if (link->bytes[at] == '\n' || link->bytes[at] == '\r') {
            bool both =
                link->bytes[at] == '\r' && at + 1 < link->until && link->bytes[at + 1] == '\n';
            return at + 1 + both - link->from;
        }
    }
    return 0;
}

/* Waits until the descriptor can be read or the wake descriptor ends the wait: 1, 0, or -1 with
 * errno. */
static int wait_readable(const struct stream_link *link, int timeout_ms)
{
    struct pollfd polled[2] = {
        {.fd = link->descriptor, .events = POLLIN},
        {.fd = link->head.wake_fd, .events = POLLIN},
    };
    int ready = poll(polled, 2, timeout_ms);
    if (ready < 0) {
        return errno == EINTR ? 0 : -1;
    }
    return polled[0].revents != 0;
}

/* More bytes behind those there are. */
static enum link_result fill(struct stream_link *link, int timeout_ms, struct problem *problem)
{
    if (link->from > 0) {
        memmove(link->bytes, link->bytes + link->from, link->until - link->from);
        link->until -= link->from;
        link->from = 0;
    }
    int ready = wait_readable(link, timeout_ms);
    if (ready == 0) {
        return LINK_QUIET;
    }
    ssize_t count = ready < 0 ? -1
                              : read(link->descriptor, link->bytes + link->until,
                                     sizeof link->bytes - link->until);
    if (count < 0) {
        if (errno == EAGAIN || errno == EINTR) {
            return LINK_QUIET;
        }
        problem_set(problem, "'%s' cannot be read: %s", link->head.name, strerror(errno));
        return LINK_FAILED;
    }
    link->at_end = count == 0;
    link->until += (size_t)count;
    return LINK_BYTES;
}

/* Sleeps until the line at hand is due, at most timeout_ms. */
static bool wait_due(struct stream_link *link, int timeout_ms)
{
    if (isinf(link->speed)) {
        return true;
    }
    int64_t now_us = clock_monotonic_us();
    if (!link->started) {
        link->started = true;
        link->start_us = now_us;
    }
    int64_t wait_us = link->start_us + llround(link->due_us / link->speed) - now_us;
    if (wait_us <= 0) {
        return true;
    }
    struct pollfd wake = {.fd = link->head.wake_fd, .events = POLLIN};
    int64_t wait_ms = (wait_us + 999) / 1000;
    bool enough = timeout_ms < 0 || wait_ms <= timeout_ms;
    int woken = poll(&wake, 1, enough ? (int)wait_ms : timeout_ms);
    return enough && woken == 0;
}

static enum link_result stream_read(struct link *head, char *bytes, size_t size, size_t *length,
                                    int timeout_ms, int64_t *arrival_us, struct problem *problem)
{
    struct stream_link *link = (struct stream_link *)head;
    *length = 0;
    *arrival_us = llround(link->pace_us);
    size_t line = line_length(link);
    const int wait_ms = timeout_ms;
    while (line == 0 && !link->at_end && link->until - link->from < sizeof link->bytes) {
        enum link_result result = fill(link, timeout_ms, problem);
        if (result != LINK_BYTES) {
            return result;
        }
        line = line_length(link);
        timeout_ms = 0;
    }
    if (line == 0) { /* the last line has no end, or a line is longer than any line */
        line = link->until - link->from;
    }
    if (line == 0) {
        return LINK_END;
    }
    if (line > size) {
        line = size;
    }
    if (!link->timed) {
        decoder_feed(link->pace, link->bytes + link->from, line, pace_sample, link, NULL);
        link->timed = true;
    }
    if (!wait_due(link, wait_ms)) {
        return LINK_QUIET;
    }
    memcpy(bytes, link->bytes + link->from, line);
    link->from += line;
    link->timed = false;
    *length = line;
    bool knows_its_pace = link->has_rig_time || link->head.stated_rate_hz > 0 || !link->live;
    *arrival_us = knows_its_pace ? llround(link->pace_us) : clock_monotonic_us();
    return LINK_BYTES;
}

static void stream_close(struct link *head)
{
    struct stream_link *link = (struct stream_link *)head;
    if (link->descriptor > STDERR_FILENO) {
        close(link->descriptor);
    }
    decoder_destroy(link->pace);
    free(link);
}

/* Takes the descriptor over (but standard input stays open). */
static struct link *stream_open(int descriptor, const char *name, double speed,
                                const char *parameters, struct problem *problem)
{
    static const struct link_functions functions = {
        .read = stream_read, .write_line = NULL, .close = stream_close};
    static const char *const known[] = {"speed", "rate"};
    double rate_hz = 0;
    struct stream_link *link = NULL;
    const struct decoder_options options = {.times_only = true};
    struct stat status;
    if (!link_parameters_check(parameters, known, 2, problem) ||
        !link_parameter_speed(parameters, &speed, problem) ||
        !link_parameter_number(parameters, "rate", RATE_LEAST_HZ, RATE_MOST_HZ, &rate_hz,
                               problem)) {
        goto failed;
    }
    link = calloc(1, sizeof *link);
    if (link == NULL || (link->pace = decoder_create(&options, problem)) == NULL) {
        problem_set(problem, "no memory for a link");
        goto failed;
    }
    link->head = (struct link){.functions = &functions,
                               .can_wait = true,
                               .stated_rate_hz = rate_hz,
                               .time_is_arrival = false,
                               .wake_fd = -1};
    text_clean(link->head.name, sizeof link->head.name, name);
    link->descriptor = descriptor;
    link->live = fstat(descriptor, &status) == 0 && !S_ISREG(status.st_mode);
    link->speed = link->live ? INFINITY : speed;
    return &link->head;
failed:
    free(link);
    if (descriptor > STDERR_FILENO) {
        close(descriptor);
    }
    return NULL;
}

static struct link *open_file(const char *target, const char *parameters, struct problem *problem)
{
    struct stat status;
    if (target[0] == '\0') {
        problem_usage(problem, "file: wants the path of a recorded stream, as file:winter.rig");
        return NULL;
    }
    /* a pipe with a name is not waited for: who writes into it may come late, or never */
    int descriptor = open(target, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    if (descriptor < 0 || fstat(descriptor, &status) != 0) {
        problem_set(problem, "'%s' cannot be opened: %s", target, strerror(errno));
        return NULL;
    }
    if (S_ISDIR(status.st_mode) || S_ISCHR(status.st_mode)) {
        problem_set(problem,
                    S_ISDIR(status.st_mode) ? "'%s' is a folder: a recorded stream is a file"
                                            : "'%s' is a device, no file: leave 'file:' away",
                    target);
        close(descriptor);
        return NULL;
    }
    return stream_open(descriptor, target, 1, parameters, problem);
}

static struct link *open_stdin(const char *target, const char *parameters, struct problem *problem)
{
    (void)target;
    if (isatty(STDIN_FILENO)) {
        problem_usage(problem, "'-' reads a stream from standard input, and that is the keyboard: "
                               "send a file or a pipe into it");
        return NULL;
    }
    return stream_open(STDIN_FILENO, "standard input", INFINITY, parameters, problem);
}

const struct link_kind link_kind_file = {.scheme = "file", .open = open_file};
const struct link_kind link_kind_stdin = {.scheme = "stdin", .open = open_stdin};
