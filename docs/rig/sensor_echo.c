/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "board.h"
#include "rig.h"

/* Half the way there and back: the pulse's microseconds times the speed of sound. */
static int32_t tenths_of(uint32_t width_us, int8_t celsius)
{
    /* cm/s times us is 10^-5 mm; a tenth is 10^4 of them, and half of the way 2 x 10^4 */
    return (int32_t)((width_us * rig_sound_cm_per_s(celsius) + 10000) / 20000);
}

uint32_t rig_sound_cm_per_s(int8_t celsius)
{
    return (uint32_t)(33130 + (606 * (int32_t)celsius) / 10);
}

static bool begin(const struct rig_sensor *sensor)
{
    board_echo_begin(sensor->echo_channel);
    return true;
}

/* Beyond 0.1 s there is no echo of anything in a room, and the product above would not fit. */
#define LONGEST_US 100000UL

static bool ready(const struct rig_sensor *sensor, uint32_t since_us, struct bench_reading *reading,
                  uint32_t *made_us)
{
    uint32_t width_us = 0;
    (void)since_us;
    if (!board_echo_ended(sensor->echo_channel, &width_us, made_us)) {
        return false;
    }
    *made_us -= width_us / 2; /* when the sound met the body */
    if (width_us == 0 || width_us > LONGEST_US) {
        return true; /* as it was begun: no reading */
    }
    reading->tenths = tenths_of(width_us, sensor->air_celsius);
    reading->mark = 0;
    return true;
}

const struct rig_kind rig_echo = {true, begin, ready};
