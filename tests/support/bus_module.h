/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TESTS_SUPPORT_BUS_MODULE_H
#define TESTS_SUPPORT_BUS_MODULE_H

#include <stdbool.h>
#include <stdint.h>

/* Range modules on an I2C bus, as the bus's specification has it (start, stop, address,
 * acknowledge, registers that count up), for the rig's firmware to talk to. Written from the
 * specification, apart from the firmware. */

enum { BUS_MODULES_MAX = 2, BUS_REGISTERS = 16 };

struct bus_module {
    uint8_t address; /* of seven bits */
    uint8_t registers[BUS_REGISTERS];
    int begun; /* how often a byte was written to register 0 */
};

struct bus {
    struct bus_module module[BUS_MODULES_MAX];
    int modules;
    bool scl, sda; /* the lines as they last stood, before the modules' own pull */
    bool pulls;    /* a module pulls SDA low */
    /* inside a transfer */
    struct bus_module *spoken; /* to whom */
    int bit;                   /* of the byte, 0 to 8, 8 being the acknowledge; -1 before a start */
    bool reads, first; /* the module's bytes are read; the byte is the first after the start */
    bool has_register;
    uint8_t byte, at;
    int starts, stops; /* counted */
};

void bus_init(struct bus *bus, int modules, const uint8_t *addresses);
/* The lines as the board leaves them, high where it lets go. After it, SDA is low where pulls is
 * true. */
void bus_lines(struct bus *bus, bool scl, bool sda);

#endif
