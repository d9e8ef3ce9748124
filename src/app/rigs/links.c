/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/links.h"

#include "app/boards.h"
#include "app/link_kinds.h"
#include "app/port_scan.h"
#include "base/text.h"
#include "rig/decoder_options.h"
#include "rig/serial_ports.h"

#include <stdio.h>
#include <stdlib.h>

/* A board that restarts because its port is opened is silent for 0.8 to 3 s; then speeds are tried.
 */
#define AUTO_MOST_S 5.0

static struct link *open_auto(struct decoder_options *options, struct port_search *search,
                              struct problem *problem)
{
    struct serial_port *ports = calloc(SERIAL_PORTS_MAX, sizeof *ports);
    const char *specs[SERIAL_PORTS_MAX];
    struct link *link = NULL;
    int count = 0;
    if (ports == NULL) {
        problem_set(problem, "no memory for the ports");
        return NULL;
    }
    int listed = serial_ports_list(ports, SERIAL_PORTS_MAX, problem);
    for (int i = 0; i < listed; i++) {
        if (!ports[i].is_console) {
            specs[count++] = ports[i].device;
        }
    }
    if (listed >= 0) {
        link = port_scan_pick(specs, count, AUTO_MOST_S, options, search, problem);
    }
    free(ports);
    return link;
}

struct link *links_open(const char *spec, struct decoder_options *options, struct problem *problem)
{
    return links_search(spec, options, NULL, problem);
}

struct link *links_search(const char *spec, struct decoder_options *options,
                          struct port_search *search, struct problem *problem)
{
    struct board board;
    if (text_equal(spec, "auto")) {
        return open_auto(options, search, problem);
    }
    struct link *link = link_kinds_open(spec, problem);
    if (link != NULL && link->functions->set_speed != NULL && boards_recall(spec, &board)) {
        if (board.baud > 0 && link->speed_is_open) {
            link_set_speed(link, board.baud);
        }
        if (!decoder_options_said(options)) {
            *options = board.options;
        }
    }
    return link;
}

void links_learn(const char *spec, const struct link *link, const struct decoder_options *options)
{
    struct board known;
    if (!link->speed_is_open || link->baud <= 0 || text_equal(spec, "auto")) {
        return;
    }
    bool met = boards_recall(spec, &known);
    if (met ? known.baud != link->baud : link->baud != link->usual_baud) {
        struct board board = {.baud = link->baud, .options = *options};
        boards_keep(spec, &board, NULL); /* where it can't be kept it is found again */
    }
}

void links_tell(enum link_result result, bool *down)
{
    if (result == LINK_DOWN && !*down) {
        *down = true;
        fputs("holdline: the link is down; it is taken up again when it is back\n", stderr);
    } else if (result == LINK_UP) {
        *down = false;
        fputs("holdline: the link is up again\n", stderr);
    }
}
