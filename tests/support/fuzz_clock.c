/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fuzz_clock.h"

#include "rig/health.h"
#include "rig/rig_clock.h"
#include "rig/stamp_watch.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SAMPLES_MOST 4000
#define REPEATS_MOST 1000
/* Beyond what hosts and decoders give: a host's clock counts from its start, and a rig's time is
 * kept up to a quarter of 64 bits. */
#define ARRIVAL_MOST_US (INT64_MAX / 8)
#define RIG_TIME_MOST_US (INT64_MAX / 4)

struct played {
    struct stamp_watch watch;
    struct rig_clock clock;
    struct health_monitor *monitor;
    bool started, time_is_arrival;
    double rate_hz;
    int samples;
    int64_t sequence, rig_time_us, arrival_us; /* the last ones */
    int64_t last_time_us;
    uint64_t lost;
};

static void fail(const char *what)
{
    fprintf(stderr, "fuzz clock: %s\n", what);
    abort();
}

/* A whole number of at most 18 digits; *at is left behind it. */
static int64_t read_number(const char **at, const char *end)
{
    bool negative = *at < end && **at == '-';
    int64_t value = 0;
    *at += negative ? 1 : 0;
    for (int digits = 0; *at < end && **at >= '0' && **at <= '9'; (*at)++, digits++) {
        value = digits < 18 ? value * 10 + (**at - '0') : value;
    }
    return negative ? -value : value;
}

struct field {
    bool given, is_step;
    int64_t value;
};

static struct field read_field(const char **at, const char *end)
{
    struct field field = {false, false, 0};
    while (*at < end && **at == ' ') {
        (*at)++;
    }
    if (*at == end || (**at == '-' && (*at + 1 == end || (*at)[1] == ' '))) {
        *at += *at < end ? 1 : 0;
        return field;
    }
    field.given = true;
    field.is_step = **at == '+';
    *at += field.is_step ? 1 : 0;
    field.value = read_number(at, end);
    while (*at < end && **at != ' ') {
        (*at)++;
    }
    return field;
}

static int64_t follow(int64_t last, struct field field, int64_t least, int64_t most)
{
    int64_t value = field.is_step ? last + field.value : field.value;
    return value < least ? least : value > most ? most : value;
}

static void check(struct played *played, const struct sample *sample)
{
    if (sample->time_us < played->last_time_us) {
        fail("the axis runs backwards");
    }
    played->last_time_us = sample->time_us;
    played->lost += sample->lost_before;
    int64_t host_us = 0;
    double error_ms = 0;
    if (rig_clock_host_time(&played->clock, sample->time_us, &host_us, &error_ms) &&
        !(error_ms >= 0 && isfinite(error_ms))) {
        fail("the corrected time's error is no number");
    }
    if (played->clock.restarts > (uint64_t)played->samples) {
        fail("more restarts than samples");
    }
}

static void play(struct played *played, const struct field fields[3])
{
    struct raw_sample raw;
    struct stamped_line on[2];
    memset(&raw, 0, sizeof raw);
    raw.has_sequence = fields[0].given;
    raw.has_rig_time = fields[1].given;
    if (fields[0].given) {
        played->sequence = follow(played->sequence, fields[0], 0, INT64_MAX / 2);
    }
    if (fields[1].given) {
        played->rig_time_us =
            follow(played->rig_time_us, fields[1], -RIG_TIME_MOST_US, RIG_TIME_MOST_US);
    }
    if (fields[2].given) {
        played->arrival_us = follow(played->arrival_us, fields[2], 0, ARRIVAL_MOST_US);
    }
    raw.sequence = (uint64_t)played->sequence;
    raw.rig_time_us = played->rig_time_us;
    rig_clock_lines_behind(&played->clock, (uint64_t)(played->samples % 40));
    int count = stamp_watch_take(&played->watch, &raw, played->arrival_us, on);
    for (int i = 0; i < count; i++) {
        struct sample sample;
        memset(&sample, 0, sizeof sample);
        if (rig_clock_place(&played->clock, &on[i].raw, on[i].arrival_us, &sample)) {
            check(played, &sample);
            health_add(played->monitor, &sample);
        }
    }
    played->samples++;
    if (played->watch.left_out > (uint64_t)played->samples) {
        fail("more lines left out than there were");
    }
}

static void take_line(struct played *played, const char *line, const char *end)
{
    static const char recording[] = "recording";
    static const char rate[] = "rate ";
    size_t length = (size_t)(end - line);
    if (length == sizeof recording - 1 && memcmp(line, recording, length) == 0) {
        played->time_is_arrival = false;
        return;
    }
    if (length > sizeof rate - 1 && memcmp(line, rate, sizeof rate - 1) == 0) {
        const char *at = line + sizeof rate - 1;
        int64_t rate_hz = read_number(&at, end);
        played->rate_hz = rate_hz > 0 && rate_hz <= 100000 ? (double)rate_hz : 0;
        return;
    }
    if (!played->started) {
        played->started = true;
        rig_clock_start(&played->clock, played->rate_hz, played->time_is_arrival);
    }
    const char *at = line;
    int64_t times = 1;
    const char *cross = memchr(line, 'x', length);
    if (cross != NULL) {
        times = read_number(&at, cross);
        times = times < 0 ? 0 : times > REPEATS_MOST ? REPEATS_MOST : times;
        at = cross + 1;
    }
    struct field fields[3];
    for (int i = 0; i < 3; i++) {
        fields[i] = read_field(&at, end);
    }
    for (; times > 0 && played->samples < SAMPLES_MOST; times--) {
        play(played, fields);
    }
}

void fuzz_clock(const uint8_t *bytes, size_t length)
{
    struct played *played = calloc(1, sizeof *played);
    struct rig_health health;
    memset(&health, 0, sizeof health);
    if (played == NULL || (played->monitor = health_create(1)) == NULL) {
        free(played);
        return;
    }
    played->time_is_arrival = true;
    const char *end = (const char *)bytes + length;
    for (const char *at = (const char *)bytes; at < end;) {
        const char *stop = memchr(at, '\n', (size_t)(end - at));
        stop = stop != NULL ? stop : end;
        take_line(played, at, stop);
        at = stop + 1;
    }
    health.announced_rate_hz = 50;
    health_read(played->monitor, &health);
    if (!(health.rate_hz >= 0) || !isfinite(health.arrival_jitter_ms) ||
        !isfinite(health.worst_gap_ms)) {
        fail("the health is no number");
    }
    if (played->started && played->lost > played->clock.lost) {
        fail("the lost ones are miscounted");
    }
    health_destroy(played->monitor);
    free(played);
}
