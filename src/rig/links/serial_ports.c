/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/serial_ports.h"

#include "base/text.h"

int serial_ports_find(const struct serial_port *ports, int count, const struct serial_port *wanted)
{
    int found = -1;
    if (!wanted->is_usb) {
        return -1;
    }
    for (int i = 0; i < count; i++) {
        if (!ports[i].is_usb || ports[i].vendor != wanted->vendor ||
            ports[i].product != wanted->product ||
            !text_equal(ports[i].serial_number, wanted->serial_number)) {
            continue;
        }
        if (found >= 0) {
            return -1; /* two alike: better wait than take the wrong one */
        }
        found = i;
    }
    return found;
}
