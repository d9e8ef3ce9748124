/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/clock.h"
#include "base/text.h"
#include "rig/link.h"
#include "rig/link_parameters.h"
#include "rig/virtual_rig.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>

/* The virtual rig as a link. At speed=max its lines are handed out one a read, so that a line told
 * to it acts from the very next sample on; else a thread plays the rig on the master's side of a
 * pseudo-terminal, and the link reads the slave's side like any terminal: the way of a byte is the
 * real one. */

#define IN_A_ROW 64 /* samples behind time that are made up at once */

struct virtual_link {
    struct link head;
    struct virtual_rig *rig; /* under lock once the thread runs */
    double rate_hz, speed;
    uint64_t samples_most; /* seconds=: then it ends; UINT64_MAX = never */
    uint64_t samples;
    bool finished;
    /* through a pseudo-terminal: */
    struct link *slave;
    int master;
    bool thread_runs;
    pthread_t thread;
    pthread_mutex_t lock;
    pthread_cond_t changed;
    bool stopping;
};

static enum link_result read_direct(struct link *head, char *bytes, size_t size, size_t *length,
                                    int timeout_ms, int64_t *arrival_us, struct problem *problem)
{
    (void)timeout_ms;
    struct virtual_link *link = (struct virtual_link *)head;
    *length = 0;
    *arrival_us = 0;
    if (size < VIRTUAL_RIG_BYTES) {
        problem_set(problem, "the virtual rig wants room for %d bytes", VIRTUAL_RIG_BYTES);
        return LINK_FAILED;
    }
    while (*length == 0) { /* a lost line is nothing to read */
        if (link->samples == link->samples_most) {
            return LINK_END;
        }
        int64_t rig_time_us = 0;
        *length = virtual_rig_next(link->rig, bytes, size, &rig_time_us);
        *arrival_us = rig_time_us;
        link->samples++;
    }
    return LINK_BYTES;
}

/* Writes what the pseudo-terminal takes; what it does not take at all is lost, as with a real rig,
 * but a line that was begun is written to its end. Returns the bytes still to write. */
static size_t write_line_or_rest(int master, char *line, size_t length, bool begun)
{
    ssize_t written = write(master, line, length);
    if (written < 0) {
        return begun && errno == EAGAIN ? length : 0;
    }
    memmove(line, line + written, length - (size_t)written);
    return length - (size_t)written;
}

/* Waits for the next sample's time, or at least a millisecond; called with the lock held. */
static void wait_until(struct virtual_link *link, int64_t due_us)
{
    int64_t until_us = clock_monotonic_us() + 1000;
    if (due_us > until_us) {
        until_us = due_us;
    }
    struct timespec until = {.tv_sec = until_us / 1000000,
                             .tv_nsec = (long)(until_us % 1000000 * 1000)};
    pthread_cond_timedwait(&link->changed, &link->lock, &until);
}

static void *play(void *context)
{
    struct virtual_link *link = context;
    char line[VIRTUAL_RIG_BYTES];
    size_t length = 0;
    bool begun = false;
    int in_a_row = 0;
    int64_t start_us = clock_monotonic_us();
    pthread_mutex_lock(&link->lock);
    while (!link->stopping) {
        double at_s = (double)link->samples / link->rate_hz / link->speed;
        int64_t due_us = start_us + llround(at_s * 1e6);
        if (begun) {
            length = write_line_or_rest(link->master, line, length, true);
            begun = length > 0;
        }
        if (due_us > clock_monotonic_us() || in_a_row == IN_A_ROW) {
            in_a_row = 0;
            wait_until(link, due_us);
            continue;
        }
        if (link->samples == link->samples_most) {
            link->finished = true;
            break;
        }
        int64_t rig_time_us = 0;
        char lost[VIRTUAL_RIG_BYTES];
        size_t made = virtual_rig_next(link->rig, begun ? lost : line, sizeof line, &rig_time_us);
        link->samples++;
        in_a_row++;
        if (!begun && made > 0) {
            length = write_line_or_rest(link->master, line, made, false);
            begun = length > 0 && length < made;
        }
    }
    pthread_mutex_unlock(&link->lock);
    return NULL;
}

static enum link_result read_slave(struct link *head, char *bytes, size_t size, size_t *length,
                                   int timeout_ms, int64_t *arrival_us, struct problem *problem)
{
    struct virtual_link *link = (struct virtual_link *)head;
    pthread_mutex_lock(&link->lock);
    bool finished = link->finished;
    pthread_mutex_unlock(&link->lock);
    link->slave->wake_fd = head->wake_fd;
    enum link_result result =
        link_read(link->slave, bytes, size, length, finished ? 0 : timeout_ms, arrival_us, problem);
    head->times_down = link->slave->times_down;
    return result == LINK_QUIET && finished ? LINK_END : result;
}

static bool write_line(struct link *head, const char *line, struct problem *problem)
{
    struct virtual_link *link = (struct virtual_link *)head;
    if (!link->thread_runs) {
        return virtual_rig_tell(link->rig, line, problem);
    }
    pthread_mutex_lock(&link->lock);
    bool told = virtual_rig_tell(link->rig, line, problem);
    pthread_mutex_unlock(&link->lock);
    return told;
}

static void virtual_close(struct link *head)
{
    struct virtual_link *link = (struct virtual_link *)head;
    if (link->thread_runs) {
        pthread_mutex_lock(&link->lock);
        link->stopping = true;
        pthread_cond_signal(&link->changed);
        pthread_mutex_unlock(&link->lock);
        pthread_join(link->thread, NULL);
        pthread_cond_destroy(&link->changed);
        pthread_mutex_destroy(&link->lock);
    }
    if (link->slave != NULL) {
        link_close(link->slave);
    }
    if (link->master >= 0) {
        close(link->master);
    }
    virtual_rig_destroy(link->rig);
    free(link);
}

/* Opens the pseudo-terminal and lets the rig run on it. */
static bool start_playing(struct virtual_link *link, struct problem *problem)
{
    char path[64];
    unsigned number = 0;
    link->master = posix_openpt(O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
    if (link->master < 0 || grantpt(link->master) != 0 || unlockpt(link->master) != 0 ||
        ioctl(link->master, TIOCGPTN, &number) != 0) {
        return problem_set(problem,
                           "the virtual rig finds no pseudo-terminal (%s): is /dev/pts mounted? "
                           "speed=max does without",
                           strerror(errno));
    }
    size_t used = 0;
    text_append(path, sizeof path, &used, "/dev/pts/%u", number);
    /* Opened, and so made raw, before the first byte is written to it. */
    link->slave = link_kind_tty.open(path, "", problem);
    if (link->slave == NULL) {
        return problem_prefix(problem, "the virtual rig's pseudo-terminal");
    }
    pthread_condattr_t monotonic;
    pthread_condattr_init(&monotonic);
    pthread_condattr_setclock(&monotonic, CLOCK_MONOTONIC);
    pthread_cond_init(&link->changed, &monotonic);
    pthread_condattr_destroy(&monotonic);
    pthread_mutex_init(&link->lock, NULL);
    int error = pthread_create(&link->thread, NULL, play, link);
    if (error != 0) {
        pthread_cond_destroy(&link->changed);
        pthread_mutex_destroy(&link->lock);
        return problem_set(problem, "the virtual rig's thread cannot be started: %s",
                           strerror(error));
    }
    link->thread_runs = true;
    return true;
}

static struct link *open_virtual(const char *target, const char *parameters,
                                 struct problem *problem)
{
    static const struct link_functions direct = {
        .read = read_direct, .write_line = write_line, .close = virtual_close};
    static const struct link_functions through_terminal = {
        .read = read_slave, .write_line = write_line, .close = virtual_close};
    struct virtual_rig_settings settings;
    double speed = 1;
    double seconds = INFINITY;
    if (!virtual_rig_settings_read(target, parameters, &settings, problem) ||
        !link_parameter_speed(parameters, &speed, problem) ||
        !link_parameter_number(parameters, "seconds", 0, 1e6, &seconds, problem)) {
        return NULL;
    }
    struct virtual_link *link = calloc(1, sizeof *link);
    if (link == NULL || (link->rig = virtual_rig_create(&settings)) == NULL) {
        free(link);
        problem_set(problem, "no memory for the virtual rig");
        return NULL;
    }
    bool is_direct = isinf(speed);
    link->head = (struct link){.functions = is_direct ? &direct : &through_terminal,
                               .can_wait = is_direct,
                               .time_is_arrival = !is_direct,
                               .wake_fd = -1};
    char name[64];
    size_t used = 0;
    text_append(name, sizeof name, &used, "virtual:%s", target[0] == '\0' ? "winter" : target);
    text_clean(link->head.name, sizeof link->head.name, name);
    link->master = -1;
    link->rate_hz = settings.rate_hz;
    link->speed = speed;
    link->samples_most =
        isinf(seconds) ? UINT64_MAX : (uint64_t)llround(seconds * settings.rate_hz);
    if (!is_direct && !start_playing(link, problem)) {
        virtual_close(&link->head);
        return NULL;
    }
    return &link->head;
}

const struct link_kind link_kind_virtual = {.scheme = "virtual", .open = open_virtual};
