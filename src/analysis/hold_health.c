/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/hold_health.h"

#include "measure/follow.h"
#include "rig/health.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The monitor is read twice a second: what it says of the last 5 s and of the moment is not missed.
 */
#define STRETCH_US 500000
#define STRETCHES_MAX 7200 /* an hour */

struct noises {
    int count[CHANNELS_MAX];
    double mm[CHANNELS_MAX][STRETCHES_MAX]; /* so many as there are */
};

static int compare_double(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void read_stretch(const struct health_monitor *monitor, int channel_count,
                         struct noises *noises, struct hold_health *health)
{
    struct rig_health now;
    memset(&now, 0, sizeof now);
    health_read(monitor, &now);
    for (int c = 0; c < channel_count; c++) {
        health->channel[c].stuck = health->channel[c].stuck || now.channel[c].stuck;
        health->channel[c].blocked = health->channel[c].blocked || now.channel[c].blocked;
        health->channel[c].two_levels = health->channel[c].two_levels || now.channel[c].two_levels;
        health->channel[c].quantum_mm =
            now.channel[c].quantum_mm > 0.0 ? now.channel[c].quantum_mm : NAN;
        if (now.channel[c].noise_mm > 0.0 && noises->count[c] < STRETCHES_MAX) {
            noises->mm[c][noises->count[c]++] = now.channel[c].noise_mm;
        }
    }
}

static void count_readings(const struct sample *sample, int channel_count,
                           struct hold_health *health)
{
    for (int c = 0; c < channel_count; c++) {
        health->channel[c].readings++;
        health->channel[c].missing += sample->quality[c] == READING_MISSING;
        health->channel[c].doubtful +=
            sample->quality[c] != READING_GOOD && sample->quality[c] != READING_MISSING;
    }
}

/* A beam that changes over every few seconds shows in the whole hold only. */
static void find_two_levels(const struct sample *samples, size_t count, int channel_count,
                            struct hold_health *health)
{
    double *good_mm = malloc(count * sizeof *good_mm);
    for (int c = 0; good_mm != NULL && c < channel_count; c++) {
        struct two_levels levels;
        size_t good = 0;
        for (size_t i = 0; i < count; i++) {
            if (samples[i].quality[c] == READING_GOOD) {
                good_mm[good++] = samples[i].range_tenth_mm[c] / 10.0;
            }
        }
        if (two_levels_find(good_mm, good, &levels) == MEASURE_OK && levels.is_two) {
            health->channel[c].two_levels = true;
        }
    }
    free(good_mm);
}

void hold_health_of(const struct sample *samples, size_t count, int channel_count,
                    struct hold_health *health)
{
    memset(health, 0, sizeof *health);
    struct noises *noises = malloc(sizeof *noises);
    struct health_monitor *monitor = health_create(channel_count);
    if (noises == NULL || monitor == NULL || count < 2) {
        goto end;
    }
    memset(noises->count, 0, sizeof noises->count);
    int64_t next_us = samples[0].time_us + STRETCH_US;
    for (size_t i = 0; i < count; i++) {
        health_add(monitor, &samples[i]);
        count_readings(&samples[i], channel_count, health);
        if (i > 0) {
            double gap_ms = (double)(samples[i].time_us - samples[i - 1].time_us) / 1000.0;
            health->worst_gap_ms = gap_ms > health->worst_gap_ms ? gap_ms : health->worst_gap_ms;
            health->lost += samples[i].lost_before;
            health->link_gap = health->link_gap || samples[i].link_gap_before;
        }
        if (samples[i].time_us >= next_us || i + 1 == count) {
            read_stretch(monitor, channel_count, noises, health);
            next_us += STRETCH_US;
        }
    }
    double span_s = (double)(samples[count - 1].time_us - samples[0].time_us) / 1e6;
    health->rate_hz = span_s > 0.0 ? (double)(count - 1) / span_s : NAN;
    for (int c = 0; c < channel_count; c++) {
        qsort(noises->mm[c], (size_t)noises->count[c], sizeof(double), compare_double);
        health->channel[c].noise_mm =
            noises->count[c] > 0 ? noises->mm[c][noises->count[c] / 2] : NAN;
    }
    find_two_levels(samples, count, channel_count, health);
    health->known = true;
end:
    health_destroy(monitor);
    free(noises);
}

#define OF(name) MEMBER(struct sensor_health, name)
const struct hold_measure sensor_measures[] = {
    {"missing", "missing", OF(missing), 0, HOLD_READINGS, NEEDS_NOTHING, "",
     "samples without a reading"},
    {"doubtful", "doubtful", OF(doubtful), 0, HOLD_READINGS, NEEDS_NOTHING, "",
     "readings that the sensor itself doubts"},
    {"noise_mm", "noise_mm", OF(noise_mm), 2, HOLD_READINGS, NEEDS_NOTHING, "mm",
     "white noise, from the differences between readings"},
    {"quantum_mm", "quantum_mm", OF(quantum_mm), 2, HOLD_READINGS, NEEDS_NOTHING, "mm",
     "the step in which readings come"},
    {"stuck", "stuck", OF(stuck), 0, HOLD_READINGS, NEEDS_NOTHING, "",
     "the same value again and again, at some time"},
    {"blocked", "blocked", OF(blocked), 0, HOLD_READINGS, NEEDS_NOTHING, "",
     "the sensor's window was covered, at some time"},
    {"two_levels", "two_levels", OF(two_levels), 0, HOLD_READINGS, NEEDS_NOTHING, "",
     "readings jumped between two levels: the beam saw two things"},
};
const int sensor_measure_count = sizeof sensor_measures / sizeof sensor_measures[0];
