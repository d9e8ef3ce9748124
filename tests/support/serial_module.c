/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/serial_module.h"

#include <math.h>
#include <string.h>

enum { BITS = 10 };

void serial_module_init(struct serial_module *module, double baud)
{
    memset(module, 0, sizeof *module);
    module->bit_us = 1e6 / baud;
    module->line = true;
    module->began_us = -1;
}

bool serial_module_line(struct serial_module *module, bool high, double now_us)
{
    bool before = module->line, whole = false;
    if (high == before) {
        return false;
    }
    double bits = (now_us - module->began_us) / module->bit_us;
    if (!high && (module->began_us < 0 || bits > (double)BITS - 0.5)) {
        module->began_us = now_us;
        module->byte = 0;
    } else if (module->began_us >= 0) {
        for (int bit = 1; bit < BITS - 1; bit++) { /* whose middle lies between the two edges */
            double middle_us = module->began_us + (bit + 0.5) * module->bit_us;
            if (before && middle_us >= module->changed_us && middle_us < now_us) {
                module->byte |= 1U << (bit - 1);
            }
        }
        whole = high && fabs(bits - (BITS - 1)) < 0.5; /* later: a line held low, and no byte */
        module->began_us = whole ? -1 : module->began_us;
    }
    if (whole) {
        module->last = (uint8_t)module->byte;
        module->asked++;
    }
    module->line = high;
    module->changed_us = now_us;
    return whole;
}

void serial_module_say(struct serial_module *module, const uint8_t *bytes, int length, double at_us)
{
    module->length = length < SERIAL_MODULE_LONGEST ? length : SERIAL_MODULE_LONGEST;
    memcpy(module->said, bytes, (size_t)module->length);
    module->says_us = at_us;
}

static bool bit_is_high(const struct serial_module *module, int bit)
{
    int of = bit % BITS;
    return bit < 0 || bit >= module->length * BITS || of == BITS - 1 ||
           (of > 0 && (module->said[bit / BITS] >> (of - 1) & 1));
}

/* The bit that is on the line; a moment that is a bit's beginning is the bit's. */
static int bit_at(const struct serial_module *module, double now_us)
{
    return (int)floor((now_us - module->says_us) / module->bit_us + 1e-6);
}

bool serial_module_high(const struct serial_module *module, double now_us)
{
    return bit_is_high(module, now_us < module->says_us ? -1 : bit_at(module, now_us));
}

double serial_module_next_us(const struct serial_module *module, double now_us)
{
    int now = now_us < module->says_us ? -1 : bit_at(module, now_us);
    for (int bit = now + 1; bit < module->length * BITS; bit++) {
        if (bit_is_high(module, bit) != bit_is_high(module, bit - 1)) {
            return module->says_us + bit * module->bit_us;
        }
    }
    return HUGE_VAL;
}
