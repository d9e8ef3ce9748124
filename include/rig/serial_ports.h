/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_SERIAL_PORTS_H
#define HOLDLINE_RIG_SERIAL_PORTS_H

#include "base/problem.h"

#include <limits.h>
#include <stdbool.h>

/* The computer's serial ports, and which of them is the one that was pulled out. Texts come from
 * devices and are cleaned. */
struct serial_port {
    char device[PATH_MAX]; /* '/dev/ttyACM0' */
    char description[128]; /* what the system calls it */
    bool is_usb;
    int vendor, product;     /* USB identifiers */
    char serial_number[128]; /* "" = it has none */
    bool is_console;         /* the system's own console: never listened to unasked */
};

#define SERIAL_PORTS_MAX 64

/* Those there are now: their number, at most most; -1 with a problem. In link_serial.c. */
int serial_ports_list(struct serial_port *ports, int most, struct problem *problem);

/* Index of the port that is the same USB device as wanted, under whatever name; -1 when it is not
 * there, or when several without serial numbers could be it. */
int serial_ports_find(const struct serial_port *ports, int count, const struct serial_port *wanted);

#endif
