/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_FNV_H
#define HOLDLINE_BASE_FNV_H

#include <stddef.h>
#include <stdint.h>

/* Fowler, Noll and Vo's hash (RFC 9923), 1a of 64 bits: tells what is the same from what is not,
 * and guards against nobody. */
#define FNV_START UINT64_C(0xcbf29ce484222325)

/* Goes on from what came before; FNV_START: nothing did. */
static inline uint64_t fnv_add(uint64_t sum, const void *bytes, size_t size)
{
    const unsigned char *at = bytes;
    for (size_t i = 0; i < size; i++) {
        sum = (sum ^ at[i]) * UINT64_C(0x100000001b3);
    }
    return sum;
}
/* A number, its lowest byte first: the same on machines of either order. */
static inline uint64_t fnv_add_whole(uint64_t sum, uint64_t value)
{
    for (int i = 0; i < 8; i++) {
        unsigned char byte = (unsigned char)(value >> (8 * i));
        sum = fnv_add(sum, &byte, 1);
    }
    return sum;
}

#endif
