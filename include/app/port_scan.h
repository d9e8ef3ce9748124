/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_PORT_SCAN_H
#define HOLDLINE_APP_PORT_SCAN_H

#include "base/problem.h"
#include "rig/decoder.h"
#include "rig/link.h"

#include <limits.h>

/* What is heard on several ports at once: for 'holdline rigs' and for the rig 'auto'. */
struct scanned_port {
    char spec[PATH_MAX + 16]; /* how the port is opened */
    struct problem problem;   /* why it could not be, or what went wrong */
    struct link *link;        /* NULL: it could not be opened, or was taken away */
    struct decoder *decoder;
    uint64_t samples;
    int64_t first_us, last_us; /* host times of the first and the last sample */
};

/* Opens port->spec, set by the caller, and begins to listen. */
void port_scan_open(struct scanned_port *port);

/* Listens to all for at most most_s; ends before once each that is open has been heard for
 * enough_s. */
void port_scan_listen(struct scanned_port *ports, int count, double most_s, double enough_s);

/* Is it a rig: enough lines that make sense, and more of them than others? */
bool port_scan_is_rig(const struct scanned_port *port);
/* Samples a second as they came; 0 while unknown. */
double port_scan_rate_hz(const struct scanned_port *port);
uint64_t port_scan_rejected(const struct scanned_port *port);

/* Closes what is open. */
void port_scan_close(struct scanned_port *port);

/* The one of these ports on which a rig is heard within most_s, still open; NULL with a sentence
 * that says what was heard on each. */
struct link *port_scan_pick(const char *const *specs, int count, double most_s,
                            struct problem *problem);

#endif
