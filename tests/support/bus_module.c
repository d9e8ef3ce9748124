/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/bus_module.h"

#include <stddef.h>
#include <string.h>

void bus_init(struct bus *bus, int modules, const uint8_t *addresses)
{
    memset(bus, 0, sizeof *bus);
    bus->modules = modules;
    bus->scl = bus->sda = true;
    bus->bit = -1;
    for (int i = 0; i < modules; i++) {
        bus->module[i].address = addresses[i];
    }
}

static void take_byte(struct bus *bus)
{
    if (bus->first) {
        bus->spoken = NULL;
        for (int i = 0; i < bus->modules; i++) {
            if (bus->module[i].address == bus->byte >> 1) {
                bus->spoken = &bus->module[i];
            }
        }
        bus->reads = bus->byte & 1;
        bus->has_register = bus->reads;
    } else if (bus->spoken != NULL && !bus->reads) {
        if (!bus->has_register) {
            bus->at = bus->byte % BUS_REGISTERS;
            bus->has_register = true;
        } else {
            bus->spoken->begun += bus->at == 0;
            bus->spoken->registers[bus->at] = bus->byte;
            bus->at = (uint8_t)((bus->at + 1) % BUS_REGISTERS);
        }
    }
    /* acknowledged by pulling, where the byte was for a module to take */
    bus->pulls = bus->spoken != NULL && (bus->first || !bus->reads);
}

/* SCL fell: the next bit is put on the line. */
static void fell(struct bus *bus)
{
    if (bus->bit < 0) {
        return;
    }
    bus->bit++;
    if (bus->bit == 8) {
        take_byte(bus);
        return;
    }
    if (bus->bit > 8) {
        bus->bit = 0;
        if (!bus->first && bus->reads && bus->spoken != NULL) {
            bus->at = (uint8_t)((bus->at + 1) % BUS_REGISTERS);
        }
        bus->first = false;
    }
    bool gives = bus->reads && !bus->first && bus->spoken != NULL;
    bus->pulls = gives && (bus->spoken->registers[bus->at] >> (7 - bus->bit) & 1) == 0;
}

/* SCL rose: the bit on the line is taken. */
static void rose(struct bus *bus, bool sda)
{
    if (bus->bit >= 0 && bus->bit < 8) {
        bus->byte = (uint8_t)(bus->byte << 1 | (sda ? 1 : 0));
    } else if (bus->bit == 8 && bus->reads && !bus->first && sda) {
        bus->spoken = NULL; /* not acknowledged: the reader has enough */
    }
}

void bus_lines(struct bus *bus, bool scl, bool sda)
{
    if (scl && bus->scl && sda != bus->sda) {
        bus->pulls = false;
        if (sda) {
            bus->stops++;
            bus->bit = -1;
            bus->spoken = NULL;
        } else {
            bus->starts++;
            bus->bit = -2; /* the clock's first fall begins the first bit */
            bus->first = true;
            bus->has_register = false;
        }
    } else if (!scl && bus->scl) {
        if (bus->bit == -2) {
            bus->bit = 0;
            bus->byte = 0;
            bus->pulls = false;
        } else {
            fell(bus);
        }
    } else if (scl && !bus->scl) {
        rose(bus, sda);
    }
    bus->scl = scl;
    bus->sda = sda;
}
