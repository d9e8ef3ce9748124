/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "board.h"
#include "heard.h"
#include "rig.h"

#include <string.h>

/* What came of a frame, or of a line of text, of each channel. */
static struct {
    uint8_t bytes[RIG_SERIAL_LONGEST], count;
    uint32_t began_us;
    int32_t value; /* of a line: its figures so far */
    uint8_t figures;
    bool behind; /* of a line: the character came that stands before the figures */
} coming[BOARD_ECHO_CHANNELS];

/* One byte on the trigger's line, by the clock: what interrupts take does not add up. */
static void say(uint8_t channel, uint8_t byte)
{
    uint16_t bits = (uint16_t)(0x200 | byte << 1); /* the stop bit, the byte, the start bit */
    uint32_t since_us = board_micros();
    for (uint16_t i = 1; i <= 10; i++, bits >>= 1) {
        board_trigger(channel, bits & 1);
        while (board_micros() - since_us < i * (uint32_t)HEARD_BIT_US) {
            board_bus_pause();
        }
    }
}

static uint16_t two_bytes(const uint8_t *bytes, bool low_first)
{
    return low_first ? (uint16_t)(bytes[1] << 8 | bytes[0]) : (uint16_t)(bytes[0] << 8 | bytes[1]);
}

/* Does what came begin as a frame does? */
static bool begins(const struct rig_serial *serial, uint8_t channel)
{
    for (uint8_t i = 0; i < serial->header_length && i < coming[channel].count; i++) {
        if (coming[channel].bytes[i] != serial->header[i]) {
            return false;
        }
    }
    return true;
}

static bool sum_is_right(const struct rig_serial *serial, uint8_t channel)
{
    uint8_t sum = 0, last = (uint8_t)(serial->length - 1);
    for (uint8_t i = 0; i < last; i++) {
        sum = (uint8_t)(sum + coming[channel].bytes[i]);
    }
    return !serial->has_sum || sum == coming[channel].bytes[last];
}

static void leave_first(uint8_t channel)
{
    coming[channel].count--;
    memmove(coming[channel].bytes, coming[channel].bytes + 1, coming[channel].count);
}

/* True when a frame ended whole. After a wrong one the next is looked for within it. */
static bool frame(const struct rig_serial *serial, uint8_t channel, uint8_t byte, uint32_t at_us,
                  struct bench_reading *reading)
{
    const uint8_t *bytes = coming[channel].bytes;
    if (coming[channel].count == RIG_SERIAL_LONGEST) {
        leave_first(channel);
    }
    coming[channel].bytes[coming[channel].count++] = byte;
    while (coming[channel].count > 0 && !begins(serial, channel)) {
        leave_first(channel);
    }
    if (coming[channel].count == 1) {
        coming[channel].began_us = at_us;
    }
    if (coming[channel].count < serial->length) {
        return false;
    }
    if (!sum_is_right(serial, channel)) {
        do {
            leave_first(channel);
        } while (coming[channel].count > 0 && !begins(serial, channel));
        return false;
    }
    coming[channel].count = 0;
    reading->tenths =
        (int32_t)two_bytes(bytes + serial->range_at, serial->low_first) * serial->tenths_per_step;
    reading->mark = serial->has_strength && two_bytes(bytes + serial->strength_at,
                                                      serial->low_first) < serial->strength_least
                        ? 'w'
                        : 0;
    return true;
}

/* True when a line's figures ended. */
static bool line(const struct rig_serial *serial, uint8_t channel, uint8_t byte, uint32_t at_us,
                 struct bench_reading *reading)
{
    if (coming[channel].behind && byte >= '0' && byte <= '9' && coming[channel].figures < 6) {
        if (coming[channel].figures++ == 0) {
            coming[channel].began_us = at_us;
        }
        coming[channel].value = coming[channel].value * 10 + (byte - '0');
        return false;
    }
    bool ended =
        coming[channel].behind && coming[channel].figures > 0 && (byte < '0' || byte > '9');
    if (ended) {
        reading->tenths = coming[channel].value * serial->tenths_per_step;
        reading->mark = 0;
    }
    coming[channel].behind = byte == serial->header[0];
    coming[channel].value = 0;
    coming[channel].figures = 0;
    return ended;
}

static bool begin(const struct rig_sensor *sensor)
{
    uint8_t channel = sensor->echo_channel, byte;
    uint32_t at_us;
    if (!board_listen(channel)) {
        return false;
    }
    if (sensor->serial->asks) { /* what came before is no answer */
        while (board_heard(channel, &byte, &at_us)) {
        }
        memset(&coming[channel], 0, sizeof coming[channel]);
        say(channel, sensor->serial->ask);
    }
    return true;
}

static bool ready(const struct rig_sensor *sensor, uint32_t since_us, struct bench_reading *reading,
                  uint32_t *made_us)
{
    const struct rig_serial *serial = sensor->serial;
    uint8_t channel = sensor->echo_channel, byte;
    uint32_t at_us;
    bool came = false;
    while (board_heard(channel, &byte, &at_us)) {
        if (serial->length > 0 ? frame(serial, channel, byte, at_us, reading)
                               : line(serial, channel, byte, at_us, reading)) {
            came = true; /* the latest, where it sent several meanwhile */
            *made_us = coming[channel].began_us;
        }
    }
    return came || since_us >= (uint32_t)serial->longest_ms * 1000;
}

const struct rig_kind rig_serial = {false, begin, ready};
