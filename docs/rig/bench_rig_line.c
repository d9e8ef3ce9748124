/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench_rig_line.h"

#include <stdio.h>

size_t bench_heading(char *line, size_t size, const char *id, unsigned rate_hz, const char *names)
{
    int length = snprintf(line, size, "# holdline-rig 1 id=%s rate=%u unit=mm channels=%s\n", id,
                          rate_hz, names);
    return length > 0 && (size_t)length < size ? (size_t)length : 0;
}

/* Adds what snprintf wrote; 0 when it did not fit. */
static size_t grown(size_t used, size_t size, int written)
{
    return written > 0 && used + (size_t)written < size ? used + (size_t)written : 0;
}

size_t bench_line(char *line, size_t size, uint32_t sequence, uint32_t time_us,
                  const struct bench_reading *readings, int count)
{
    unsigned char sum = 0;
    size_t used = grown(
        0, size, snprintf(line, size, "$%lu,%lu", (unsigned long)sequence, (unsigned long)time_us));
    if (count < 1 || count > BENCH_CHANNELS_MAX) {
        return 0;
    }
    for (int i = 0; i < count && used > 0; i++) {
        long tenths = (long)readings[i].tenths;
        unsigned long size_of = tenths < 0 ? 0UL - (unsigned long)tenths : (unsigned long)tenths;
        char mark[2] = {readings[i].mark, '\0'};
        if (readings[i].mark == '-') {
            used = grown(used, size, snprintf(line + used, size - used, ","));
        } else {
            used = grown(used, size,
                         snprintf(line + used, size - used, ",%s%lu.%lu%s", tenths < 0 ? "-" : "",
                                  size_of / 10, size_of % 10, mark));
        }
    }
    if (used == 0) {
        return 0;
    }
    for (size_t i = 1; i < used; i++) { /* between '$' and '*' */
        sum ^= (unsigned char)line[i];
    }
    return grown(used, size, snprintf(line + used, size - used, "*%02X\n", (unsigned)sum));
}
