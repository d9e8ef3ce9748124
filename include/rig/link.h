/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_LINK_H
#define HOLDLINE_RIG_LINK_H

#include "base/problem.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Where bytes come from. A link knows two things that matter downstream: whether the reader may
 * wait (can_wait: file, standard input, scripted virtual rig: nothing is lost at any speed), and
 * where time comes from. Everything else about it is its own. A kind of link is a table of
 * functions (struct link_kind); the list of kinds is in src/app/rigs/links.c, so that libserialport
 * is linked only there. */

enum link_result {
    LINK_BYTES,  /* bytes were read */
    LINK_QUIET,  /* nothing within the time given */
    LINK_DOWN,   /* the cable is out; the link tries again by itself at each read */
    LINK_UP,     /* it has just been taken up again: resynchronise the decoder */
    LINK_END,    /* end of a file */
    LINK_FAILED, /* for good; problem says why */
};

struct link;

struct link_kind {
    const char *scheme; /* 'serial', 'tty', 'file', 'stdin', 'virtual' */
    /* Opens target (the part after 'scheme:', before '?') with its parameters ('a=1&b=2', maybe
     * ""). */
    struct link *(*open)(const char *target, const char *parameters, struct problem *problem);
};

struct link_functions {
    /* Waits at most timeout_ms for bytes; *arrival_us is the monotonic host time just after the
     * read, or for a stream that is not live the stream's own pace. A wake pipe's descriptor may
     * end the wait. */
    enum link_result (*read)(struct link *link, char *bytes, size_t size, size_t *length,
                             int timeout_ms, int64_t *arrival_us, struct problem *problem);
    /* A line to the rig; only the virtual rig acts on it. NULL: taken as written. */
    bool (*write_line)(struct link *link, const char *line, struct problem *problem);
    /* Another speed of the line, from now on; false where it cannot have it. NULL: it has none. */
    bool (*set_speed)(struct link *link, double baud);
    void (*close)(struct link *link); /* frees it */
};

/* The head of every kind's own struct. */
struct link {
    const struct link_functions *functions;
    bool can_wait;
    double stated_rate_hz; /* rate= of a stream that carries no time of its own; 0 = none */
    bool rate_is_assumed;  /* nothing says the rate: stated_rate_hz is a guess, to be told */
    bool time_is_arrival;  /* arrival times mean something (a live link) */
    int wake_fd;           /* -1, or a descriptor that ends a wait when it becomes readable */
    double baud;           /* the line's speed; 0 = it has none */
    double usual_baud;     /* what it was opened with */
    bool speed_is_open;    /* nobody said the speed: others may be tried (rig/speed_search.h) */
    char name[256];        /* as the person wrote it, cleaned */
    uint64_t times_down;
};

enum link_result link_read(struct link *link, char *bytes, size_t size, size_t *length,
                           int timeout_ms, int64_t *arrival_us, struct problem *problem);
bool link_write_line(struct link *link, const char *line, struct problem *problem);
bool link_set_speed(struct link *link, double baud);
void link_close(struct link *link);

/* Value of a parameter ('speed' in 'speed=4&rate=50') into value; false when it is not there. */
bool link_parameter(const char *parameters, const char *name, char *value, size_t size);

extern const struct link_kind link_kind_file, link_kind_stdin; /* src/rig/links/link_file.c */
extern const struct link_kind link_kind_tty;     /* link_tty.c: any terminal device, pty */
extern const struct link_kind link_kind_serial;  /* link_serial.c: the one with libserialport */
extern const struct link_kind link_kind_virtual; /* link_virtual.c */

#endif
