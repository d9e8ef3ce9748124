/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HEARD_H
#define HEARD_H

/* Bytes from the edges of a line that rests high: a start bit, eight bits, the lowest first, a stop
 * bit, at 9600 baud. A board that times edges needs no serial port for each sensor. */

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

#ifdef __cplusplus
}
#endif

#endif
