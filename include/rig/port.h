/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PORT_H
#define HOLDLINE_RIG_PORT_H

#include "rig/link.h"

#include <sys/types.h>

/* A device that can be pulled out and comes back: what the links 'tty' and 'serial' have in common.
 * A pulled cable is a state: it is noticed by the hang-up, or by a device that says it is ready and
 * gives nothing; the descriptor is closed at once, so that the kernel can give the name free, and
 * the device is looked for again several times a second. */
struct port;

struct port_functions {
    /* Opens the device (again) and sets port->descriptor, which never blocks. */
    bool (*open)(struct port *port, struct problem *problem);
    /* As read(2): 0 = gone, -1 with errno (EAGAIN: nothing there). */
    ssize_t (*read)(struct port *port, char *bytes, size_t size);
    /* While it is open; also kept for the next opening. */
    bool (*set_speed)(struct port *port, double baud);
    void (*close)(struct port *port);   /* the device; only when it is open */
    void (*release)(struct port *port); /* the link itself */
};

struct port {
    struct link head;
    const struct port_functions *functions;
    int descriptor; /* -1 = down */
    int64_t next_try_us;
};

/* Sets the head up and opens the device; false leaves the link to the caller. */
bool port_start(struct port *port, const struct port_functions *functions, const char *name,
                struct problem *problem);

#endif
