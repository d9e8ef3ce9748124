/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/rider_code.h"

#include "record/record.h"

#include <string.h>

static bool is_digit(char letter)
{
    return letter >= '0' && letter <= '9';
}

/* Letters and digits, and what is not ASCII. */
static bool counts(char letter)
{
    unsigned char byte = (unsigned char)letter;
    return byte >= 0x80 || is_digit(letter) || (byte >= 'a' && byte <= 'z') ||
           (byte >= 'A' && byte <= 'Z');
}

/* Small letters and numbers without leading zeros, '-' between two numbers that something parts. */
static void fold(char *folded, size_t size, const char *code)
{
    size_t used = 0;
    bool parted = false, in_number = false; /* in_number: behind its leading zeros */
    for (; *code != '\0' && used + 2 < size; code++) {
        if (!counts(*code)) {
            parted = true;
            in_number = false;
            continue;
        }
        if (*code == '0' && !in_number && is_digit(code[1])) {
            continue;
        }
        if (is_digit(*code) && !in_number && parted && used > 0 && is_digit(folded[used - 1])) {
            folded[used++] = '-';
        }
        in_number = is_digit(*code);
        parted = false;
        folded[used++] = *code >= 'A' && *code <= 'Z' ? (char)(*code - 'A' + 'a') : *code;
    }
    folded[used] = '\0';
}

bool rider_codes_alike(const char *a, const char *b)
{
    char one[2 * NAME_SIZE], other[2 * NAME_SIZE];
    fold(one, sizeof one, a);
    fold(other, sizeof other, b);
    return one[0] != '\0' && strcmp(one, other) == 0;
}
