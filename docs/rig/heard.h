/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HEARD_H
#define HEARD_H

/* What comes on a channel's echo pin, from its edges: an ultrasonic sensor's pulse, or the bytes of
 * a module, whose line rests high: a start bit, eight bits, the lowest first, a stop bit, at 9600
 * baud. A board that times edges needs no serial port for each sensor. */

#include <stdbool.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

enum { HEARD_BIT_US = 104, HEARD_BYTES = 32 };

struct heard {
    uint32_t edge_us, began_us; /* the last edge; the start bit of the byte that comes */
    bool high, comes;
    uint8_t bits, byte; /* how many bits of it came, its start bit with them */
    uint8_t first, count;
    uint8_t got[HEARD_BYTES];
    uint32_t got_us[HEARD_BYTES]; /* when the start bit of each began */
};

/* The line's new state. Where nobody takes the bytes, the oldest go. */
void heard_edge(struct heard *heard, bool high, uint32_t now_us);
/* The oldest byte, and when it began; false where there is none. */
bool heard_byte(struct heard *heard, uint32_t now_us, uint8_t *byte, uint32_t *began_us);

struct heard_pin {
    volatile uint32_t rose_us, width_us, ended_us; /* of the pulse */
    volatile uint8_t state;                        /* heard.c */
    struct heard bytes;
};

/* From now on a pulse is waited for. */
void heard_pin_wait(struct heard_pin *pin);
/* From now on edges are bytes; false where they were not so before. */
bool heard_pin_listen(struct heard_pin *pin);
/* The pin's new state; for interrupts. */
void heard_pin_edge(struct heard_pin *pin, bool high, uint32_t now_us);
/* Has the pulse ended? Then how long it was, and when it ended. */
bool heard_pulse(const struct heard_pin *pin, uint32_t *width_us, uint32_t *ended_us);

#ifdef __cplusplus
}
#endif

#endif
