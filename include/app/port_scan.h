/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_PORT_SCAN_H
#define HOLDLINE_APP_PORT_SCAN_H

#include "base/problem.h"
#include "rig/decoder.h"
#include "rig/link.h"
#include "rig/speed_search.h"
#include "rig/wire_look.h"

#include <limits.h>

/* What is heard on several ports at once: for 'holdline rigs' and for the rig 'auto'. */
struct scanned_port {
    char spec[PATH_MAX + 16]; /* how the port is opened */
    struct problem problem;   /* why it could not be, or what went wrong */
    struct link *link;        /* NULL: it could not be opened, or was taken away */
    struct decoder *decoder;
    struct decoder_options options; /* what was said of its stream, else what is known of it */
    bool is_known;                  /* it was met before (app/boards.h) */
    struct speed_search search;
    char bytes[4096]; /* the last that came */
    size_t length;
    uint64_t samples;
    int64_t first_us, last_us; /* host times of the first and the last sample */
};

/* Opens port->spec, set by the caller with port->options, and begins to listen. */
void port_scan_open(struct scanned_port *port);

struct port_search;
/* Listens to all for at most most_s; ends before once each that is open has been heard for
 * enough_s, or when the search does (NULL: it does not). */
void port_scan_listen(struct scanned_port *ports, int count, double most_s, double enough_s,
                      const struct port_search *search);

/* Is it a rig: enough lines that make sense, and more of them than others? */
bool port_scan_is_rig(const struct scanned_port *port);
/* The last bytes that came; where there are none at this speed, the last that were no text. */
const char *port_scan_bytes(const struct scanned_port *port, size_t *length);
/* What they are, and how they might be read. */
void port_scan_look(const struct scanned_port *port, struct wire_finding *finding);
/* Samples a second as they came; 0 while unknown. */
double port_scan_rate_hz(const struct scanned_port *port);
uint64_t port_scan_rejected(const struct scanned_port *port);

/* Keeps its speed and options, so that it is known at once next time; false with a sentence. */
bool port_scan_keep(const struct scanned_port *port, struct problem *problem);

/* Closes what is open. */
void port_scan_close(struct scanned_port *port);

/* Who waits for a pick may end it, and gets what no rig was heard on but might be read. */
struct port_search {
    bool (*ends)(void *context); /* NULL: it lasts as long as it lasts */
    void *context;
    bool has_offer; /* on one port, and no other: */
    char spec[PATH_MAX + 16];
    double baud;
    struct wire_finding finding; /* with a proposal */
};

/* The one of these ports on which a rig is heard within most_s, still open; NULL with a sentence
 * that says what was heard on each. options: what was said of the stream; what is known of the
 * port's is added where nothing was. search may be NULL. */
struct link *port_scan_pick(const char *const *specs, int count, double most_s,
                            struct decoder_options *options, struct port_search *search,
                            struct problem *problem);

#endif
