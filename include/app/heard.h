/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_HEARD_H
#define HOLDLINE_APP_HEARD_H

#include "base/problem.h"
#include "rig/decoder.h"
#include "rig/link.h"

#include <limits.h>

/* What is heard on several ports at once: for 'holdline rigs' and for the rig 'auto'. */
struct heard {
    char spec[PATH_MAX + 16]; /* how the port is opened */
    struct problem problem;   /* why it could not be, or what went wrong */
    struct link *link;        /* NULL: it could not be opened, or was taken away */
    struct decoder *decoder;
    uint64_t samples;
    int64_t first_us, last_us; /* host times of the first and the last sample */
};

/* Opens port->spec, set by the caller, and begins to listen. */
void heard_open(struct heard *port);

/* Listens to all for at most most_s; ends before once each that is open has been heard for
 * enough_s. */
void heard_listen(struct heard *ports, int count, double most_s, double enough_s);

/* Is it a rig: enough lines that make sense, and more of them than others? */
bool heard_is_rig(const struct heard *port);
/* Samples a second as they came; 0 while unknown. */
double heard_rate_hz(const struct heard *port);
uint64_t heard_rejected(const struct heard *port);

/* Closes what is open. */
void heard_close(struct heard *port);

/* The one of these ports on which a rig is heard within most_s, still open; NULL with a sentence
 * that says what was heard on each. */
struct link *heard_pick(const char *const *specs, int count, double most_s,
                        struct problem *problem);

#endif
