/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_MEASURE_H
#define HOLDLINE_SAY_MEASURE_H

#include "bike/tie.h"
#include "record/record.h"

/* From where to where a bike's measure is taken, as the one who holds the tape needs it. */
const char *say_bike_measure(enum bike_key key);
/* The same of a word of a sensor's place: 'x', 'y', 'tilt', 'carrier'; "" for others. */
const char *say_place(const char *key);
/* 'head: base bar, 110 forward, 40 above: 612 mm over the bottom bracket'; 'chest: not said yet'.
 */
void say_sensor_place(char *text, size_t size, const struct channel_record *channel,
                      const struct tie *tie);

#endif
