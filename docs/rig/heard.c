/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "heard.h"

enum { STOP_BIT = 9 };
enum { NOTHING, WAITS, ROSE, ENDED, BYTES }; /* of a pin */

static void keep(struct heard *heard)
{
    uint8_t at = (uint8_t)((heard->first + heard->count) % HEARD_BYTES);
    heard->got[at] = heard->byte;
    heard->got_us[at] = heard->began_us;
    if (heard->count < HEARD_BYTES) {
        heard->count++;
    } else {
        heard->first = (uint8_t)((heard->first + 1) % HEARD_BYTES);
    }
}

/* The line was like this for so long: bits of the byte that comes. No division, which takes a small
 * board longer than a bit. */
static void add(struct heard *heard, bool high, uint32_t span_us)
{
    while (heard->comes && span_us >= HEARD_BIT_US / 2) {
        if (heard->bits == STOP_BIT) {
            if (high) {
                keep(heard); /* a stop bit that is low is none, and the byte no byte */
            }
            heard->comes = false;
        } else if (heard->bits > 0) {
            heard->byte = (uint8_t)(heard->byte >> 1 | (high ? 0x80 : 0));
        }
        heard->bits++;
        span_us = span_us > HEARD_BIT_US ? span_us - HEARD_BIT_US : 0;
    }
}

void heard_edge(struct heard *heard, bool high, uint32_t now_us)
{
    if (high == heard->high) {
        return; /* too short to be seen */
    }
    add(heard, heard->high, now_us - heard->edge_us);
    heard->high = high;
    heard->edge_us = now_us;
    if (!high && !heard->comes) {
        heard->comes = true;
        heard->began_us = now_us;
        heard->bits = heard->byte = 0;
    }
}

bool heard_byte(struct heard *heard, uint32_t now_us, uint8_t *byte, uint32_t *began_us)
{
    /* No edge ends a byte: high bits and the stop bit are over when their time is. */
    uint32_t since_us = now_us - heard->edge_us;
    if (heard->comes && heard->high &&
        since_us >= (uint32_t)(STOP_BIT + 1 - heard->bits) * HEARD_BIT_US) {
        add(heard, true, since_us);
    }
    if (heard->count == 0) {
        return false;
    }
    *byte = heard->got[heard->first];
    *began_us = heard->got_us[heard->first];
    heard->first = (uint8_t)((heard->first + 1) % HEARD_BYTES);
    heard->count--;
    return true;
}

void heard_pin_wait(struct heard_pin *pin)
{
    pin->state = WAITS;
}

bool heard_pin_listen(struct heard_pin *pin)
{
    bool listened = pin->state == BYTES;
    if (!listened) {
        pin->bytes.high = true;
        pin->state = BYTES;
    }
    return listened;
}

void heard_pin_edge(struct heard_pin *pin, bool high, uint32_t now_us)
{
    if (pin->state == BYTES) {
        heard_edge(&pin->bytes, high, now_us);
    } else if (high && pin->state == WAITS) {
        pin->rose_us = now_us;
        pin->state = ROSE;
    } else if (!high && pin->state == ROSE) {
        pin->width_us = now_us - pin->rose_us;
        pin->ended_us = now_us;
        pin->state = ENDED;
    }
}

bool heard_pulse(const struct heard_pin *pin, uint32_t *width_us, uint32_t *ended_us)
{
    if (pin->state != ENDED) {
        return false;
    }
    *width_us = pin->width_us; /* an interrupt leaves a pulse that ended alone */
    *ended_us = pin->ended_us;
    return true;
}
