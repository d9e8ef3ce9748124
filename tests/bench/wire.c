/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* How much faster than real time the way from bytes to samples goes: bench lines of 50 samples a
 * second through the decoder, and through decoder and session. */
#include "base/clock.h"
#include "rig/decoder.h"
#include "rig/virtual_rig.h"
#include "session/session.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SAMPLES 30000 /* ten minutes */
#define RATE_HZ 50.0
#define LINE_MOST 160

struct taken {
    struct session *session; /* NULL: decoding alone */
    struct sample sample;
};

static void take(void *context, const struct raw_sample *raw)
{
    struct taken *taken = context;
    taken->sample.number++;
    taken->sample.time_us += (int64_t)(1e6 / RATE_HZ);
    memcpy(taken->sample.range_tenth_mm, raw->range_tenth_mm, sizeof taken->sample.range_tenth_mm);
    memcpy(taken->sample.quality, raw->quality, sizeof taken->sample.quality);
    if (taken->session != NULL) {
        session_sample(taken->session, &taken->sample);
    }
}

static void forget(void *context, const struct effect *effect)
{
    (void)context;
    (void)effect;
}

static bool measure(const char *what, const char *bytes, size_t length, struct session *session)
{
    struct decoder_options options = {0};
    struct problem problem = {0};
    struct decoder *decoder = decoder_create(&options, &problem);
    struct taken taken = {.session = session};
    if (decoder == NULL) {
        fprintf(stderr, "wire: %s\n", problem.sentence);
        return false;
    }
    int64_t started_us = clock_monotonic_us();
    bool done = true;
    for (size_t at = 0; at < length && done; at += 4096) {
        size_t part = length - at < 4096 ? length - at : 4096;
        done = decoder_feed(decoder, bytes + at, part, take, &taken, &problem);
    }
    double elapsed_s = (double)(clock_monotonic_us() - started_us) / 1e6;
    double stream_s = (double)taken.sample.number / RATE_HZ;
    printf("wire   %-22s %9.0f times real time (%lld samples in %.3f s)\n", what,
           stream_s / elapsed_s, (long long)taken.sample.number, elapsed_s);
    decoder_destroy(decoder);
    return done;
}

int main(void)
{
    struct virtual_rig_settings settings;
    virtual_rig_defaults(&settings, 7);
    settings.rate_hz = RATE_HZ;
    struct virtual_rig *rig = virtual_rig_create(&settings);
    char *bytes = malloc((size_t)SAMPLES * LINE_MOST + VIRTUAL_RIG_BYTES);
    struct session *session =
        session_create(&(struct session_origin){.wall_ms = 1768068000000, .seed = 7}, forget, NULL);
    struct problem problem = {0};
    int status = EXIT_FAILURE;
    if (rig == NULL || bytes == NULL || session == NULL) {
        fprintf(stderr, "wire: no memory\n");
        goto done;
    }
    size_t length = 0;
    int64_t rig_time_us = 0;
    int64_t started_us = clock_monotonic_us();
    for (int i = 0; i < SAMPLES; i++) {
        length += virtual_rig_next(rig, bytes + length, VIRTUAL_RIG_BYTES, &rig_time_us);
    }
    printf("wire   %-22s %9.0f times real time\n", "virtual rig",
           SAMPLES / RATE_HZ / ((double)(clock_monotonic_us() - started_us) / 1e6));
    if (!session_command(session, "rig bench rate=50 channels=head,chest", &problem) ||
        !session_command(session, "setup 1 \"as it came\"", &problem)) {
        fprintf(stderr, "wire: %s\n", problem.sentence);
        goto done;
    }
    if (measure("decoder", bytes, length, NULL) &&
        measure("decoder and session", bytes, length, session)) {
        status = EXIT_SUCCESS;
    }
done:
    session_destroy(session);
    virtual_rig_destroy(rig);
    free(bytes);
    return status;
}
