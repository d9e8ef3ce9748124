/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/port_scan.h"

#include "app/boards.h"
#include "app/link_kinds.h"
#include "base/clock.h"
#include "base/text.h"
#include "rig/decoder_options.h"
#include "say/wire.h"

#include <stdlib.h>
#include <string.h>

#define READ_BYTES 4096
#define TURN_MS 20
#define RIG_SAMPLES 5
#define PICK_ENOUGH_S 0.4

void port_scan_open(struct scanned_port *port)
{
    struct board board;
    port->problem = (struct problem){.kind = PROBLEM_NONE};
    port->is_known = boards_recall(port->spec, &board);
    if (port->is_known && !decoder_options_said(&port->options)) {
        port->options = board.options;
    }
    port->decoder = decoder_create(&port->options, &port->problem);
    port->link = port->decoder == NULL ? NULL : link_kinds_open(port->spec, &port->problem);
    if (port->link != NULL && port->is_known && board.baud > 0 && port->link->speed_is_open) {
        link_set_speed(port->link, board.baud);
    }
    speed_search_start(&port->search, port->link != NULL ? port->link->baud : 0);
}

static void count_sample(void *context, const struct raw_sample *raw)
{
    (void)raw;
    struct scanned_port *port = context;
    port->samples++;
    if (port->samples == 1) {
        port->first_us = port->last_us;
    }
}

/* To the next speed that the port can have; true when there is one. */
static bool change_speed(struct scanned_port *port, double baud)
{
    for (int i = 0; i < SPEEDS_MAX && baud > 0; i++) {
        if (link_set_speed(port->link, baud)) {
            decoder_forget(port->decoder);
            port->length = 0;
            return true;
        }
        baud = speed_search_next(&port->search, clock_monotonic_us());
    }
    return false;
}

/* The last bytes are kept; where they are no text the next speed is tried. True when they are of no
 * use. */
static bool search_speed(struct scanned_port *port, const char *bytes, size_t length)
{
    if (port->length + length > sizeof port->bytes) {
        port->length = 0;
    }
    memcpy(port->bytes + port->length, bytes, length);
    port->length += length;
    if (port->samples > 0 || !speed_search_wanted(port->link, &port->options)) {
        return false;
    }
    double baud = speed_search_take(&port->search, bytes, length, clock_monotonic_us());
    return change_speed(port, baud);
}

static void listen_once(struct scanned_port *port)
{
    char bytes[READ_BYTES];
    size_t length = 0;
    int64_t arrival_us = 0;
    switch (
        link_read(port->link, bytes, sizeof bytes, &length, TURN_MS, &arrival_us, &port->problem)) {
    case LINK_BYTES:
        port->last_us = clock_monotonic_us();
        if (search_speed(port, bytes, length)) {
            break;
        }
        decoder_feed(port->decoder, bytes, length, count_sample, port, &port->problem);
        break;
    case LINK_UP:
        decoder_resynchronise(port->decoder);
        break;
    case LINK_END:
    case LINK_FAILED:
        link_close(port->link);
        port->link = NULL;
        break;
    case LINK_QUIET:
        if (port->samples == 0 && speed_search_wanted(port->link, &port->options)) {
            change_speed(port, speed_search_quiet(&port->search, clock_monotonic_us()));
        }
        break;
    case LINK_DOWN:
        break;
    }
}

static bool search_ends(const struct port_search *search)
{
    return search != NULL && search->ends != NULL && search->ends(search->context);
}

void port_scan_listen(struct scanned_port *ports, int count, double most_s, double enough_s,
                      const struct port_search *search)
{
    int64_t until_us = clock_monotonic_us() + (int64_t)(most_s * 1e6);
    bool waiting = true;
    while (waiting && clock_monotonic_us() < until_us && !search_ends(search)) {
        waiting = false;
        for (int i = 0; i < count; i++) {
            if (ports[i].link == NULL) {
                continue;
            }
            listen_once(&ports[i]);
            double heard_s = (double)(ports[i].last_us - ports[i].first_us) / 1e6;
            waiting = waiting || !port_scan_is_rig(&ports[i]) || heard_s < enough_s;
        }
    }
}

uint64_t port_scan_rejected(const struct scanned_port *port)
{
    uint64_t rejected = 0;
    for (int i = 0; i < REJECT_REASONS && port->decoder != NULL; i++) {
        rejected += decoder_counts(port->decoder)->rejected[i];
    }
    return rejected;
}

bool port_scan_is_rig(const struct scanned_port *port)
{
    return port->samples >= RIG_SAMPLES && port->samples > port_scan_rejected(port);
}

const char *port_scan_bytes(const struct scanned_port *port, size_t *length)
{
    bool strange = port->length < port->search.sample_length;
    *length = strange ? port->search.sample_length : port->length;
    return strange ? port->search.sample : port->bytes;
}

void port_scan_look(const struct scanned_port *port, struct wire_finding *finding)
{
    size_t length;
    const char *bytes = port_scan_bytes(port, &length);
    wire_look(bytes, length, &port->options, finding);
}

double port_scan_rate_hz(const struct scanned_port *port)
{
    int64_t span_us = port->last_us - port->first_us;
    return port->samples > 1 && span_us > 0 ? (double)(port->samples - 1) * 1e6 / (double)span_us
                                            : 0;
}

void port_scan_close(struct scanned_port *port)
{
    if (port->link != NULL) {
        link_close(port->link);
    }
    decoder_destroy(port->decoder);
    port->link = NULL;
    port->decoder = NULL;
}

bool port_scan_keep(const struct scanned_port *port, struct problem *problem)
{
    struct board board = {.baud = port->link != NULL ? port->link->baud : 0,
                          .options = port->options};
    return boards_keep(port->spec, &board, problem);
}

/* Something is heard that is no rig. */
static bool is_strange(const struct scanned_port *port)
{
    return !port_scan_is_rig(port) && port->decoder != NULL &&
           port->length + port->search.sample_length > 0;
}

static void append_port(char *list, size_t size, size_t *used, const struct scanned_port *port)
{
    char cause[300];
    const char *what = port_scan_is_rig(port)               ? "a rig"
                       : port->problem.kind != PROBLEM_NONE ? port->problem.sentence
                                                            : "silent";
    if (is_strange(port)) {
        struct wire_finding finding;
        port_scan_look(port, &finding);
        say_wire_cause(cause, sizeof cause, &finding, port->link != NULL ? port->link->baud : 0,
                       port->search.none_fits);
        what = cause;
    }
    text_append(list, size, used, "%s%s: %s", *used > 0 ? "; " : "", port->spec, what);
}

/* None or several: what was heard where, in one sentence. */
static void tell_why(const struct scanned_port *ports, int count, int rigs, struct problem *problem)
{
    char list[480] = "";
    size_t used = 0;
    for (int i = 0; i < count; i++) {
        if (rigs <= 1 || port_scan_is_rig(&ports[i])) {
            append_port(list, sizeof list, &used, &ports[i]);
        }
    }
    if (rigs > 1) {
        problem_set(problem, "several rigs are heard; say which one is meant (%s)", list);
    } else if (count == 0) {
        problem_set(problem, "no rig is heard: this computer has no serial port. Plug the sensors "
                             "in, or try 'virtual:winter'");
    } else {
        problem_set(problem, "no rig is heard (%s)", list);
    }
}

/* How the one port might be read that sends what is no rig's, as it stands. */
static void look_for_offer(const struct scanned_port *ports, int count, struct port_search *search)
{
    int offers = 0;
    for (int i = 0; i < count; i++) {
        struct wire_finding finding = {.has_proposal = false};
        if (is_strange(&ports[i]) && ports[i].link != NULL) {
            port_scan_look(&ports[i], &finding);
        }
        if (finding.has_proposal) {
            offers++;
            text_copy(search->spec, sizeof search->spec, ports[i].spec);
            search->baud = ports[i].link->baud;
            search->finding = finding;
        }
    }
    search->has_offer = offers == 1;
}

struct link *port_scan_pick(const char *const *specs, int count, double most_s,
                            struct decoder_options *options, struct port_search *search,
                            struct problem *problem)
{
    struct scanned_port *ports = calloc((size_t)count + 1, sizeof *ports);
    struct link *link = NULL;
    int rigs = 0;
    int last = 0;
    if (ports == NULL) {
        problem_set(problem, "no memory for the ports");
        return NULL;
    }
    for (int i = 0; i < count; i++) {
        text_copy(ports[i].spec, sizeof ports[i].spec, specs[i]);
        ports[i].options = *options;
        port_scan_open(&ports[i]);
    }
    port_scan_listen(ports, count, most_s, PICK_ENOUGH_S, search);
    for (int i = 0; i < count; i++) {
        if (port_scan_is_rig(&ports[i]) && ports[i].link != NULL) {
            rigs++;
            last = i;
        }
    }
    if (rigs == 1) {
        *options = ports[last].options;
        if (!ports[last].is_known && ports[last].link->baud != ports[last].link->usual_baud) {
            port_scan_keep(&ports[last], NULL); /* where it can't be it is found again */
        }
        link = ports[last].link; /* kept open: closing it would restart the board */
        ports[last].link = NULL;
    } else {
        tell_why(ports, count, rigs, problem);
        if (search != NULL && rigs == 0) {
            look_for_offer(ports, count, search);
        }
    }
    for (int i = 0; i < count; i++) {
        port_scan_close(&ports[i]);
    }
    free(ports);
    return link;
}
