/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/speed_search.h"

#include "base/text.h"

#include <string.h>

const double speeds[SPEEDS_MAX] = {
    115200, 9600, 57600, 38400,  19200,   230400, 460800, 921600, 500000, 1000000, 2000000,
    4800,   2400, 1200,  250000, 1500000, 14400,  28800,  76800,  128000, 256000,  576000};

/* Text has hardly a strange byte: the first line's beginning may be cut. So many bytes tell when
 * over one in so many is strange. */
static const struct {
    size_t bytes, one_in;
} enough[] = {{3, 1}, {6, 2}, {16, 6}};
/* A line much slower than the board's hears nothing at all. */
#define QUIET_US 300000
#define QUIET_AT_FIRST_US 1200000

bool speed_search_wanted(const struct link *link, const struct decoder_options *options)
{
    return link->speed_is_open && (options == NULL || options->layout[0] == '\0');
}

void speed_search_start(struct speed_search *search, double baud)
{
    *search = (struct speed_search){.baud = baud};
    for (unsigned i = 0; i < SPEEDS_MAX; i++) {
        search->tried |= speeds[i] > 0 && speeds[i] == baud ? 1U << i : 0;
    }
}

size_t speed_search_strange(const char *bytes, size_t length)
{
    size_t strange = 0;
    for (size_t at = 0; at < length;) {
        uint32_t character;
        size_t step = text_decode(bytes + at, length - at, &character);
        bool control = character < 0x20 && character != '\n' && character != '\r' &&
                       character != '\t' && character != 0x1B;
        bool high = character >= 0x7F && character != 0xB0 && character != 0xB5 &&
                    (character < 0xC0 || character > 0x24F) &&
                    (character < 0x370 || character > 0x52F) && character < 0x2010;
        if (character == TEXT_NOT_SOUND || control || high) {
            strange++;
        }
        at += step;
    }
    return strange;
}

bool speed_search_is_no_text(const char *bytes, size_t length)
{
    return speed_search_strange(bytes, length) * 6 > length;
}

static double go_to(struct speed_search *search, double baud, int64_t now_us)
{
    search->baud = baud;
    search->bytes = search->strange = 0;
    search->since_us = now_us;
    search->changes++;
    return baud;
}

double speed_search_next(struct speed_search *search, int64_t now_us)
{
    unsigned i = 0;
    while (speeds[i] > 0 && (search->tried >> i & 1U) != 0) { /* a 0 is behind the last */
        i++;
    }
    if (speeds[i] == 0) {
        search->none_fits = true; /* and again from the first: the board may only start now */
        search->tried = i = 0;
    }
    search->tried |= 1U << i;
    return go_to(search, speeds[i], now_us);
}

double speed_search_take(struct speed_search *search, const char *bytes, size_t length,
                         int64_t now_us)
{
    search->since_us = now_us;
    search->bytes += length;
    search->strange += speed_search_strange(bytes, length);
    for (size_t i = 0; i < sizeof enough / sizeof enough[0]; i++) {
        if (search->bytes >= enough[i].bytes &&
            search->strange * enough[i].one_in >= search->bytes) {
            search->sample_length = length < sizeof search->sample ? length : sizeof search->sample;
            memcpy(search->sample, bytes, search->sample_length);
            return speed_search_next(search, now_us);
        }
    }
    return 0;
}

double speed_search_quiet(struct speed_search *search, int64_t now_us)
{
    bool some_text = search->bytes >= 3 && search->strange == 0;
    int64_t most_us = search->changes > 0 && !some_text ? QUIET_US : QUIET_AT_FIRST_US;
    if (search->since_us == 0) {
        search->since_us = now_us;
    }
    bool slow = some_text && search->bytes >= 8; /* slow, but text */
    return !slow && now_us - search->since_us > most_us ? speed_search_next(search, now_us) : 0;
}
