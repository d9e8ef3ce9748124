/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCH_RIG_LINE_H
#define BENCH_RIG_LINE_H

/* The bench line of docs/wire-formats.md for firmware, in C99: no allocation, no floating-point
 * printf (which small boards leave out), 8 channels at most. Copy this file and bench_rig_line.c
 * into your firmware. */

#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#define BENCH_LINE_SIZE 160
#define BENCH_CHANNELS_MAX 8

/* One channel's reading. */
struct bench_reading {
    int32_t
        tenths; /* of a millimetre; of a watt, turn or beat a minute for power, cadence, heart */
    char mark;  /* 0 good, 'w' weak return, 's' saturated, 'r' out of range, '-' no reading */
};

/* The heading: print it at the start and every five seconds. names: 'head,chest'. Returns the
 * length without the ending NUL, 0 when it does not fit. */
size_t bench_heading(char *line, size_t size, const char *id, unsigned rate_hz, const char *names);

/* One line. sequence rises by one with each line, also for lines that you could not send; time_us
 * is when the reading was made. Both may come round at 32 bits. Returns the length, 0 when it does
 * not fit. */
size_t bench_line(char *line, size_t size, uint32_t sequence, uint32_t time_us,
                  const struct bench_reading *readings, int count);

#ifdef __cplusplus
}
#endif

#endif
