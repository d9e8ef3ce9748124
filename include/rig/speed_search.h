/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_SPEED_SEARCH_H
#define HOLDLINE_RIG_SPEED_SEARCH_H

#include "rig/decoder.h"
#include "rig/link.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* The speed of a serial line, found by trying: bytes at a wrong speed are no text. It begins with
 * the speed that the port has, goes on to the usual ones as soon as what comes is no text, and
 * stays where it is. */
struct speed_search {
    double baud;    /* the one that is tried now */
    unsigned tried; /* of the speeds, a bit each */
    bool none_fits; /* all were tried, and none gave text. It begins anew then */
    uint64_t changes;
    char sample[32]; /* the last bytes that were no text, to be shown */
    size_t sample_length;
    size_t bytes, strange; /* that came at this speed; those that are no text */
    int64_t since_us;      /* the last of them came, or it was begun with this speed */
};

#define SPEEDS_MAX 24
extern const double speeds[SPEEDS_MAX]; /* the likeliest first; 0 behind the last */

/* Is it open at which speed the line is? Not where binary frames are said: they look as text at a
 * wrong speed does. */
bool speed_search_wanted(const struct link *link, const struct decoder_options *options);

void speed_search_start(struct speed_search *search, double baud);
/* Bytes that came. Over 0: the speed to go to now. */
double speed_search_take(struct speed_search *search, const char *bytes, size_t length,
                         int64_t now_us);
/* Nothing came: the same. A line that is much slower than the board's hears nothing at all. */
double speed_search_quiet(struct speed_search *search, int64_t now_us);
/* The port cannot have it: the next one; behind the last the first again. */
double speed_search_next(struct speed_search *search, int64_t now_us);

/* How many of the bytes are no text (ASCII or UTF-8 with usual control characters). */
size_t speed_search_strange(const char *bytes, size_t length);
/* Are they so many that it is none at all? */
bool speed_search_is_no_text(const char *bytes, size_t length);

#endif
