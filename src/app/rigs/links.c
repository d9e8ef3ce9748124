/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/links.h"

#include "app/link_kinds.h"
#include "app/port_scan.h"
#include "base/text.h"
#include "rig/serial_ports.h"

#include <stdlib.h>

/* A board that restarts because its port is opened is silent for 0.8 to 3 s. */
#define AUTO_MOST_S 3.5

static struct link *open_auto(struct problem *problem)
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
        link = port_scan_pick(specs, count, AUTO_MOST_S, problem);
    }
    free(ports);
    return link;
}

struct link *links_open(const char *spec, struct problem *problem)
{
    return text_equal(spec, "auto") ? open_auto(problem) : link_kinds_open(spec, problem);
}
