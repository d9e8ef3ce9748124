/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_CLOCK_H
#define HOLDLINE_BASE_CLOCK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* The one place that reads clocks. Measures and the session never do: time is handed to them. */

#define CLOCK_HOUR_MS INT64_C(3600000)
#define CLOCK_DAY_MS (24 * CLOCK_HOUR_MS)

int64_t clock_monotonic_us(void); /* CLOCK_MONOTONIC, microseconds: durations and arrivals */
int64_t clock_wall_ms(void);      /* Unix time, milliseconds: names and dates only */

/* ISO 8601 UTC, 'YYYY-MM-DDTHH:MM:SS.mmmZ' (24 characters and a NUL). */
#define CLOCK_TEXT_SIZE 32
void clock_wall_text(char text[CLOCK_TEXT_SIZE], int64_t unix_ms);

/* The same moment for a person, where he is: '2026-01-10 19:00 CET' (TZ, else the system's zone).
 */
void clock_local_text(char *text, size_t size, int64_t unix_ms);
/* How far the clock on the wall is ahead of UTC at a moment. */
int64_t clock_local_ahead_ms(int64_t unix_ms);
/* When a day begins there, by when it begins in UTC. It lasts 23 or 25 hours where summer time
 * begins or ends. */
int64_t clock_local_day_ms(int64_t utc_day_ms);

/* Reads 'YYYY-MM-DDTHH:MM:SS[.fraction]Z' or with an offset +HH:MM (or a date alone: midnight UTC).
 * Microseconds since 1970. False when it is not such a text or no date of the calendar. */
bool clock_parse_us(const char *text, size_t length, int64_t *unix_us);

#endif
