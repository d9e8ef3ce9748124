/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/decimal.h"

#include <string.h>

#define DIGITS_KEPT 18

static const uint64_t power_of_ten[DIGITS_KEPT + 1] = {
    1,
    10,
    100,
    1000,
    10000,
    100000,
    1000000,
    10000000,
    100000000,
    1000000000,
    10000000000,
    100000000000,
    1000000000000,
    10000000000000,
    100000000000000,
    1000000000000000,
    10000000000000000,
    100000000000000000,
    1000000000000000000,
};

static bool is_digit(char character)
{
    return character >= '0' && character <= '9';
}

/* Moves the point by an exponent. */
static void shift(struct decimal *number, int exponent)
{
    while (exponent > 0 && !number->is_huge && number->mantissa != 0) {
        if (number->decimals > 0) {
            number->decimals--;
        } else if (number->mantissa > power_of_ten[DIGITS_KEPT] / 10) {
            number->is_huge = true;
        } else {
            number->mantissa *= 10;
        }
        exponent--;
    }
    while (exponent < 0 && number->mantissa != 0) {
        if (number->decimals < DIGITS_KEPT) {
            number->decimals++;
        } else {
            number->mantissa /= 10;
        }
        exponent++;
    }
}

/* Digits at text taken into *mantissa, which may overflow: the byte behind them. */
static inline const char *take_digits(const char *text, const char *end, uint64_t *mantissa)
{
    uint64_t value = *mantissa;
    const char *at = text;
    for (; at < end && is_digit(*at); at++) {
        value = value * 10 + (uint64_t)(*at - '0');
    }
    *mantissa = value;
    return at;
}

/* The common case: digits, maybe a point and digits, few enough, without exponent. NULL: it is
 * another. */
static const char *read_short(const char *text, const char *end, bool comma_too,
                              struct decimal *number)
{
    uint64_t mantissa = 0;
    const char *at = take_digits(text, end, &mantissa);
    ptrdiff_t digits = at - text;
    ptrdiff_t decimals = 0;
    if (digits == 0) {
        return NULL;
    }
    if (at < end && (*at == '.' || (comma_too && *at == ','))) {
        const char *first = at + 1;
        at = take_digits(first, end, &mantissa);
        decimals = at - first;
    }
    if (digits + decimals > DIGITS_KEPT || (at < end && (*at == 'e' || *at == 'E'))) {
        return NULL;
    }
    number->mantissa = mantissa;
    number->decimals = (int)decimals;
    number->negative = false;
    number->is_huge = false;
    return at;
}

const char *decimal_read(const char *text, const char *end, bool comma_too, struct decimal *number)
{
    const char *at = read_short(text, end, comma_too, number);
    if (at != NULL) {
        return at;
    }
    at = text;
    number->mantissa = 0;
    number->decimals = 0;
    number->negative = false;
    number->is_huge = false;
    if (at < end && (*at == '-' || *at == '+')) {
        number->negative = *at == '-';
        at++;
    }
    const char *first = at;
    int kept = 0;
    for (; at < end && is_digit(*at); at++) {
        if (kept == DIGITS_KEPT) {
            number->is_huge = true;
            continue;
        }
        number->mantissa = number->mantissa * 10 + (uint64_t)(*at - '0');
        kept += number->mantissa != 0 ? 1 : 0;
    }
    bool has_digits = at > first;
    bool has_point = at < end && (*at == '.' || (comma_too && *at == ','));
    if (has_point && (has_digits || (at + 1 < end && is_digit(at[1])))) {
        at++;
        for (; at < end && is_digit(*at); at++) {
            has_digits = true;
            /* Further decimals cannot change a rounding that sends halves away from zero. */
            if (kept < DIGITS_KEPT && number->decimals < DIGITS_KEPT) {
                number->mantissa = number->mantissa * 10 + (uint64_t)(*at - '0');
                number->decimals++;
                kept += number->mantissa != 0 ? 1 : 0;
            }
        }
    }
    if (!has_digits) {
        return NULL;
    }
    if (at < end && (*at == 'e' || *at == 'E')) {
        const char *exponent_at = at + 1;
        bool minus = exponent_at < end && *exponent_at == '-';
        exponent_at += exponent_at < end && (*exponent_at == '-' || *exponent_at == '+') ? 1 : 0;
        if (exponent_at < end && is_digit(*exponent_at)) {
            int exponent = 0;
            for (; exponent_at < end && is_digit(*exponent_at); exponent_at++) {
                exponent = exponent < 1000 ? exponent * 10 + (*exponent_at - '0') : exponent;
            }
            at = exponent_at;
            shift(number, minus ? -exponent : exponent);
        }
    }
    return at;
}

/* Rounded to the nearest, halves up. */
static uint64_t divide(uint64_t scaled, int decimals)
{
    uint64_t divisor = power_of_ten[decimals];
    return decimals > 0 ? scaled / divisor + (scaled % divisor >= divisor / 2 ? 1 : 0) : scaled;
}

bool decimal_scale(const struct decimal *number, uint32_t factor, int64_t most, int64_t *result)
{
    uint64_t mantissa = number->mantissa;
    uint64_t times = factor;
    uint64_t scaled = 0;
    int decimals = number->decimals;
    if (number->is_huge) {
        return false;
    }
    for (; decimals > DIGITS_KEPT; decimals--) { /* of a unit that is a part of the one kept */
        mantissa /= 10;
    }
    if (mantissa <= UINT32_MAX) { /* the product fits */
        scaled = divide(mantissa * times, decimals);
    } else {
        while (decimals > 0 && times % 10 == 0) {
            times /= 10;
            decimals--;
        }
        while (decimals > 0 && mantissa > UINT64_MAX / 2 / times) {
            mantissa /= 10;
            decimals--;
        }
        if (mantissa > UINT64_MAX / 2 / times) {
            return false;
        }
        scaled = divide(mantissa * times, decimals);
    }
    if (scaled > (uint64_t)most) {
        return false;
    }
    *result = number->negative ? -(int64_t)scaled : (int64_t)scaled;
    return true;
}

uint32_t decimal_tenths_in_unit(const char *unit, size_t length)
{
    static const struct {
        const char *name;
        uint32_t tenth_mm;
    } units[] = {{"mm", 10}, {"cm", 100}, {"m", 10000}, {"in", 254}, {"inch", 254}};
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        if (strlen(units[i].name) == length && memcmp(units[i].name, unit, length) == 0) {
            return units[i].tenth_mm;
        }
    }
    return 0;
}
