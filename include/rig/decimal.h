/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_DECIMAL_H
#define HOLDLINE_RIG_DECIMAL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Decimal numbers of a line, read and scaled in whole numbers: no locale, no allocation, the same
 * result on every machine. */
struct decimal {
    uint64_t mantissa; /* value = mantissa / 10^decimals */
    int decimals;      /* 0 to 18 as it is read */
    bool negative;
    bool is_huge; /* more than 18 digits before the point: too large for anything */
};

/* Reads the number at text (sign, digits, point, digits, exponent; comma_too: a comma is a point as
 * well). The first byte behind it, or NULL where there is no number. */
const char *decimal_read(const char *text, const char *end, bool comma_too, struct decimal *number);

/* number times factor (1 to 10^9), rounded to the nearest whole number, halves away from zero.
 * False when the result is beyond most in magnitude. */
bool decimal_scale(const struct decimal *number, uint32_t factor, int64_t most, int64_t *result);

/* Tenths of a millimetre in one of the unit 'mm', 'cm', 'm' or 'in'; 0 for another. */
uint32_t decimal_tenths_in_unit(const char *unit, size_t length);

/* The range that can be kept at all: 100 km. What is over 100 m is kept and marked 'out of range'.
 */
#define RANGE_KEPT_MAX_TENTH_MM INT64_C(1000000000)
#define RANGE_SENSOR_MAX_TENTH_MM 1000000

#endif
