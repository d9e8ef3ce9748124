/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/hold_health.h"

#include "measure/follow.h"
#include "measure/rules.h"
#include "measure/statistics.h"
#include "rig/health.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The monitor is read twice a second: what it says of the last 5 s and of the moment is not missed.
 */
#define STRETCH_US 500000
#define STRETCHES_MAX 7200 /* an hour; of what is longer each second one, or fourth ... */

struct noises {
    int count[CHANNELS_MAX];
    int every[CHANNELS_MAX], skipped[CHANNELS_MAX];
    double mm[CHANNELS_MAX][STRETCHES_MAX]; /* so many as there are */
};

struct hold_health_watch {
    int channel_count;
    size_t samples;
    int64_t first_us, last_us, next_us;
    bool read; /* since the last sample */
    int pieces, with_two_levels[CHANNELS_MAX];
    struct health_monitor *monitor;
    struct noises noises;
    struct hold_health health;
};

/* Where there is no room any more, every other one goes. */
static void keep_noise(struct noises *noises, int c, double noise_mm)
{
    if (++noises->skipped[c] <= noises->every[c]) {
        return;
    }
    noises->skipped[c] = 0;
    if (noises->count[c] == STRETCHES_MAX) {
        for (int i = 0; i < STRETCHES_MAX / 2; i++) {
            noises->mm[c][i] = noises->mm[c][2 * i];
        }
        noises->count[c] = STRETCHES_MAX / 2;
        noises->every[c] = 2 * noises->every[c] + 1;
    }
    noises->mm[c][noises->count[c]++] = noise_mm;
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
        if (now.channel[c].noise_mm > 0.0) {
            keep_noise(noises, c, now.channel[c].noise_mm);
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

/* A beam that changes over every few seconds shows in the whole hold, or in a minute of it. */
static void find_two_levels(const struct sample *samples, size_t count, int channel_count,
                            int *found)
{
    double *good_mm = malloc((count + 1) * sizeof *good_mm);
    for (int c = 0; good_mm != NULL && c < channel_count; c++) {
        struct two_levels levels;
        size_t good = 0;
        for (size_t i = 0; i < count; i++) {
            if (samples[i].quality[c] == READING_GOOD) {
                good_mm[good++] = samples[i].range_tenth_mm[c] / 10.0;
            }
        }
        if (two_levels_find(good_mm, good, &levels) == MEASURE_OK && levels.is_two) {
            found[c]++;
        }
    }
    free(good_mm);
}

bool hold_health_is_of(const struct hold_health *health, int64_t first_sample, int64_t last_sample,
                       int channel_count)
{
    return health->known && health->first_sample == first_sample &&
           health->last_sample == last_sample && health->channel_count == channel_count;
}

struct hold_health_watch *hold_health_begin(int channel_count)
{
    struct hold_health_watch *watch = calloc(1, sizeof *watch);
    if (watch == NULL) {
        return NULL;
    }
    watch->channel_count = watch->health.channel_count = channel_count;
    watch->monitor = health_create(channel_count);
    if (watch->monitor == NULL) {
        free(watch);
        return NULL;
    }
    return watch;
}

static void take_sample(struct hold_health_watch *watch, const struct sample *sample)
{
    struct hold_health *health = &watch->health;
    if (watch->samples++ == 0) {
        watch->first_us = watch->last_us = sample->time_us;
        watch->next_us = sample->time_us + STRETCH_US;
        health->first_sample = sample->number;
    } else {
        double gap_ms = (double)(sample->time_us - watch->last_us) / 1000.0;
        health->worst_gap_ms = fmax(health->worst_gap_ms, gap_ms);
        health->lost += sample->lost_before;
        health->link_gap = health->link_gap || sample->link_gap_before;
    }
    health_add(watch->monitor, sample);
    count_readings(sample, watch->channel_count, health);
    watch->last_us = sample->time_us;
    health->last_sample = sample->number;
    watch->read = sample->time_us >= watch->next_us;
    if (watch->read) {
        read_stretch(watch->monitor, watch->channel_count, &watch->noises, health);
        watch->next_us += STRETCH_US;
    }
}

void hold_health_add(struct hold_health_watch *watch, const struct sample *samples, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        take_sample(watch, &samples[i]);
    }
    watch->pieces++;
    find_two_levels(samples, count, watch->channel_count, watch->with_two_levels);
}

void hold_health_end(struct hold_health_watch *watch, struct hold_health *health)
{
    memset(health, 0, sizeof *health);
    if (watch == NULL) {
        return;
    }
    if (watch->samples >= 2) {
        *health = watch->health;
        if (!watch->read) {
            read_stretch(watch->monitor, watch->channel_count, &watch->noises, health);
        }
        double span_s = (double)(watch->last_us - watch->first_us) / 1e6;
        health->rate_hz = span_s > 0.0 ? (double)(watch->samples - 1) / span_s : NAN;
        for (int c = 0; c < watch->channel_count; c++) {
            struct noises *noises = &watch->noises;
            int found = watch->with_two_levels[c];
            health->channel[c].two_levels =
                health->channel[c].two_levels ||
                (found > 0 && found >= LEVELS_MINUTES_SHARE * watch->pieces);
            health->channel[c].noise_mm = NAN; /* where none is known */
            statistics_median(noises->mm[c], (size_t)noises->count[c],
                              &health->channel[c].noise_mm);
        }
        health->known = true;
    }
    health_destroy(watch->monitor);
    free(watch);
}

void hold_health_of(const struct sample *samples, size_t count, int channel_count,
                    struct hold_health *health)
{
    struct hold_health_watch *watch = hold_health_begin(channel_count);
    if (watch != NULL) {
        hold_health_add(watch, samples, count);
    }
    hold_health_end(watch, health);
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
