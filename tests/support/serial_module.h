/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TESTS_SUPPORT_SERIAL_MODULE_H
#define TESTS_SUPPORT_SERIAL_MODULE_H

#include <stdbool.h>
#include <stdint.h>

/* A range module on a serial line of its own: what the board says to it, and when its own line
 * changes. Eight bits, no parity, one stop bit. Written from what such a line is, apart from the
 * firmware. */

enum { SERIAL_MODULE_LONGEST = 64 };

struct serial_module {
    double bit_us;
    /* from the board */
    bool line;
    double changed_us, began_us; /* began_us < 0: between bytes */
    unsigned byte;
    unsigned asked; /* bytes that came whole */
    uint8_t last;
    /* to the board */
    uint8_t said[SERIAL_MODULE_LONGEST];
    int length;
    double says_us; /* when the first start bit begins */
};

void serial_module_init(struct serial_module *module, double baud);
/* The board's line. True where a byte is whole; a byte's highest bit must be 0, so that an edge
 * shows its end. */
bool serial_module_line(struct serial_module *module, bool high, double now_us);
/* Bytes to be sent from then on, one right behind the other. */
void serial_module_say(struct serial_module *module, const uint8_t *bytes, int length,
                       double at_us);
bool serial_module_high(const struct serial_module *module, double now_us);
/* When the module's line changes next, HUGE_VAL where it does not. */
double serial_module_next_us(const struct serial_module *module, double now_us);

#endif
