/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RECORD_TYPED_H
#define HOLDLINE_RECORD_TYPED_H

#include "base/words.h"

/* Numbers that people type, each with its key, unit and limits once: command lines and forms take
 * them from here. The bike's are in bike/fields.h, ratings in record/rating.h. */
enum typed {
    TYPED_SETUP, /* a number of a setup, of a build */
    TYPED_CHOSEN,
    TYPED_MOUNT_X,
    TYPED_MOUNT_Y,
    TYPED_MOUNT_TILT,
    TYPED_GAIN,
    TYPED_OFFSET,
    TYPED_PLATE_S,
    TYPED_PLATE_HEIGHT,
    TYPED_RANGE, /* of a sensor, to a plate */
    TYPED_TAPE,  /* a sensor's height */
    TYPED_TARGET,
    TYPED_UNTIL,
    TYPED_AT_LEAST,
    TYPED_AT_MOST,
    TYPED_SETTLE,
    TYPED_BAND, /* a limit above or below the target */
    TYPED_ON_DELAY,
    TYPED_OFF_DELAY,
    TYPED_DEAD_BAND,
    TYPED_MATTERS,
    TYPED_RIDER_SD, /* what was learnt of how holds repeat, and what it is worth */
    TYPED_RIDER_DF,
    TYPED_STORE_SD,
    TYPED_STORE_DF,
    TYPED_SLOPE,
    TYPED_MINUTES,
    TYPED_CHECK_S,
    TYPED_BLOCK,
    TYPED_BLOCK_U,
    TYPED_PAUSE,
    TYPED_MASS, /* of a day of runs */
    TYPED_COURSE_LENGTH,
    TYPED_COURSE_RISE,
    TYPED_ROLLING,
    TYPED_MATTERS_DRAG,
    TYPED_TEMPERATURE,
    TYPED_PRESSURE,
    TYPED_PRESSURE_PA,
    TYPED_HUMIDITY,
    TYPED_WIND,
    TYPED_RUN_POWER,
    TYPED_RUN_HEART,
    TYPED_RUN_EFFORT,
    TYPED_LEG_PAIR,
    TYPED_LEG_LENGTH, /* as the program writes them */
    TYPED_LEG_TIME,
    TYPED_LEG_WORK,
    TYPED_LEG_MEAN,
    TYPED_LEG_SQUARED,
    TYPED_LEG_IN,
    TYPED_LEG_OUT,
    TYPED_LEG_CLIMB,
    TYPED_LEG_PIECES,
    TYPED_GUESS, /* tenths */
    TYPED_PIECES,
    TYPED_FEEDBACK_ROW,
    TYPED_NUMBERS
};
struct typed_number {
    const char *key; /* "": a channel's name, or none */
    const char *unit;
    double least, most;
};
extern const struct typed_number typed_numbers[TYPED_NUMBERS];

/* The number of the row's key; where it is not among the words, value stays as it is. */
bool typed_read(const struct words *words, enum typed which, double *value,
                struct problem *problem);
/* The same of another key, such as a channel's name. */
bool typed_read_key(const struct words *words, const char *key, const struct typed_number *number,
                    double *value, struct problem *problem);
/* A text that must be the number, with its unit or without, or a whole number; false, and nothing
 * written, where it is none. */
bool typed_text(const char *text, enum typed which, double *value);
bool typed_whole(const char *text, enum typed which, int *value);

/* How long a hold is to be, s: '60', '60s', '90 s', '20min', '8 h', '1h30min', '1:30' (minutes),
 * '1:30:00'; from HOLD_LEAST_S to HOLD_MOST_S. False with what can be said. */
bool typed_length(const char *text, double *length_s, struct problem *problem);
/* The same in words that it reads back: '60 s', '20 min', '8 h'. */
void typed_length_text(char *text, size_t size, double length_s);

#endif
