/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_RIG_H
#define HOLDLINE_SAY_RIG_H

#include "rig/decoder.h"
#include "rig/health.h"

#include <stddef.h>

/* What of a rig that was listened to a person should look at, a sentence's part each. */
enum rig_finding {
    RIG_RATE_ASSUMED,
    RIG_TIME_UNIT,
    RIG_RATE_DIFFERS,
    RIG_LOST,
    RIG_REJECTED,
    RIG_WAS_DOWN,
    RIG_CLOCK_JUMPED,
    RIG_FINDINGS
};
/* False where there is nothing to say. assumed_rate_hz: 0 where the stream said it. */
bool say_rig_finding(char *text, size_t size, enum rig_finding finding,
                     const struct rig_health *health, const struct decoder_counts *counts,
                     double assumed_rate_hz);
/* Of a sensor, what is wrong now and what was for a while: the number-th, from 0; false behind the
 * last. */
bool say_sensor_finding(char *text, size_t size, int number, const char *name,
                        const struct channel_health *channel, uint64_t samples);

/* Open, and no reading has come from it so far: nothing at all, or nothing with numbers in it. */
void say_rig_unheard(char *text, size_t size, const char *rig, const struct decoder_counts *counts);

#endif
