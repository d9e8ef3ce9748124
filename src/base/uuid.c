/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/uuid.h"

#include <stddef.h>
#include <string.h>

/* RFC 9562, section 5.7. */
struct uuid uuid_make(struct random_source *source, int64_t unix_ms)
{
    struct uuid uuid;
    uint64_t time_ms = unix_ms < 0 ? 0 : (uint64_t)unix_ms;
    for (int i = 0; i < 6; i++) {
        uuid.bytes[i] = (uint8_t)(time_ms >> (40 - 8 * i));
    }
    uint64_t first = random_u64(source);
    uint64_t second = random_u64(source);
    uuid.bytes[6] = (uint8_t)(0x70 | (first >> 8 & 0x0F));
    uuid.bytes[7] = (uint8_t)first;
    for (int i = 0; i < 8; i++) {
        uuid.bytes[8 + i] = (uint8_t)(second >> (56 - 8 * i));
    }
    uuid.bytes[8] = (uint8_t)(0x80 | (uuid.bytes[8] & 0x3F));
    return uuid;
}

int64_t uuid_unix_ms(const struct uuid *uuid)
{
    int64_t time_ms = 0;
    for (int i = 0; i < 6; i++) {
        time_ms = time_ms << 8 | uuid->bytes[i];
    }
    return time_ms;
}

static bool hyphen_before(int byte)
{
    return byte == 4 || byte == 6 || byte == 8 || byte == 10;
}

void uuid_text(char text[UUID_TEXT_SIZE], const struct uuid *uuid)
{
    static const char digits[] = "0123456789abcdef";
    char *at = text;
    for (int i = 0; i < 16; i++) {
        if (hyphen_before(i)) {
            *at++ = '-';
        }
        *at++ = digits[uuid->bytes[i] >> 4];
        *at++ = digits[uuid->bytes[i] & 15];
    }
    *at = '\0';
}

static int hexadecimal(char digit)
{
    if (digit >= '0' && digit <= '9') {
        return digit - '0';
    }
    if (digit >= 'a' && digit <= 'f') {
        return digit - 'a' + 10;
    }
    return digit >= 'A' && digit <= 'F' ? digit - 'A' + 10 : -1;
}

bool uuid_parse(const char *text, struct uuid *uuid)
{
    struct uuid result;
    for (int i = 0; i < 16; i++) {
        if (hyphen_before(i) && *text++ != '-') {
            return false;
        }
        int high = hexadecimal(text[0]);
        int low = high < 0 ? -1 : hexadecimal(text[1]);
        if (low < 0) {
            return false;
        }
        result.bytes[i] = (uint8_t)(high << 4 | low);
        text += 2;
    }
    if (*text != '\0') {
        return false;
    }
    *uuid = result;
    return true;
}

bool uuid_equal(const struct uuid *a, const struct uuid *b)
{
    return memcmp(a->bytes, b->bytes, sizeof a->bytes) == 0;
}
