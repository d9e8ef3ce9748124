/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/health.h"

#include "noise.h"

#include "measure/follow.h"
#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The last seconds are kept in a ring; what can be counted is counted as samples enter and leave
 * it, and what needs sorting is worked out when it is asked for. */

#define WINDOW_SAMPLES 8192 /* 5 s at 1600 samples/s; above that the window is shorter */
#define LEVELS_READINGS 512 /* every so manieth of a fast rig */

static int64_t us_of(double seconds)
{
    return (int64_t)(seconds * 1e6);
}

static int32_t tenths_of(double mm)
{
    return (int32_t)(mm * 10.0);
}

struct kept {
    int64_t time_us, delay_us;
    uint32_t lost_before;
    int32_t range_tenth_mm[CHANNELS_MAX];
    uint8_t quality[CHANNELS_MAX];
    uint8_t leaps; /* a bit a channel: further from the reading before than a body moves */
};

struct channel_state {
    uint64_t readings, missing, doubtful;
    size_t valid_in_window, leaps_in_window;
    bool has_last;
    int32_t last_tenth_mm;
    int32_t quantum_tenth_mm; /* 0: no step seen yet */
    int64_t same_since_us;
    uint64_t same_readings;
    int64_t last_us;
    bool has_small; /* all readings since are under SENSOR_BLOCKED_MM */
    bool small_at_a_bound;
    int32_t small_most_tenth_mm; /* the largest of them */
    int64_t small_since_us, small_until_us;
    uint64_t watched_stuck, watched_blocked, watched_two_levels;
};

struct health_monitor {
    int channel_count;
    uint64_t samples, lost;
    int64_t last_time_us, worst_gap_us, watched_at_us;
    size_t first, count;
    uint64_t lost_in_window; /* before any of the kept */
    struct channel_state channel[CHANNELS_MAX];
    struct kept window[WINDOW_SAMPLES];
    int32_t *scratch; /* for sorting, WINDOW_SAMPLES long */
    double *levels;   /* the same for two levels, twice LEVELS_READINGS long */
};

struct health_monitor *health_create(int channel_count)
{
    struct health_monitor *monitor = calloc(1, sizeof *monitor);
    int32_t *scratch = calloc(WINDOW_SAMPLES, sizeof *scratch);
    double *levels = calloc(2 * LEVELS_READINGS, sizeof *levels);
    if (monitor == NULL || scratch == NULL || levels == NULL) {
        free(monitor);
        free(scratch);
        free(levels);
        return NULL;
    }
    int most = channel_count > CHANNELS_MAX ? CHANNELS_MAX : channel_count;
    monitor->channel_count = most < 0 ? 0 : most;
    monitor->scratch = scratch;
    monitor->levels = levels;
    return monitor;
}

void health_destroy(struct health_monitor *monitor)
{
    if (monitor != NULL) {
        free(monitor->scratch);
        free(monitor->levels);
        free(monitor);
    }
}

static const struct kept *kept_at(const struct health_monitor *monitor, size_t index)
{
    return &monitor->window[(monitor->first + index) % WINDOW_SAMPLES];
}

static void forget_oldest(struct health_monitor *monitor)
{
    const struct kept *oldest = kept_at(monitor, 0);
    for (int i = 0; i < monitor->channel_count; i++) {
        monitor->channel[i].valid_in_window -= oldest->quality[i] == READING_GOOD ? 1 : 0;
        monitor->channel[i].leaps_in_window -= oldest->leaps >> i & 1;
    }
    monitor->lost_in_window -= oldest->lost_before;
    monitor->first = (monitor->first + 1) % WINDOW_SAMPLES;
    monitor->count--;
}

static void add_small(struct channel_state *channel, int32_t range_tenth_mm, int64_t time_us)
{
    if (!channel->has_small) {
        bool seen = channel->has_last && time_us - channel->last_us <= us_of(HEALTH_BOUND_S);
        channel->small_at_a_bound =
            seen && channel->last_tenth_mm - range_tenth_mm >= tenths_of(HEALTH_BOUND_MM);
        channel->small_since_us = time_us;
        channel->small_most_tenth_mm = range_tenth_mm;
        channel->has_small = true;
    }
    if (range_tenth_mm > channel->small_most_tenth_mm) {
        channel->small_most_tenth_mm = range_tenth_mm;
    }
    channel->small_until_us = time_us;
}

static void add_good(struct channel_state *channel, int32_t range_tenth_mm, int64_t time_us)
{
    if (range_tenth_mm >= tenths_of(SENSOR_BLOCKED_MM)) {
        channel->has_small = false;
    } else {
        add_small(channel, range_tenth_mm, time_us);
    }
    if (channel->has_last && range_tenth_mm == channel->last_tenth_mm) {
        channel->same_readings++;
    } else {
        if (channel->has_last) {
            int64_t step = (int64_t)range_tenth_mm - channel->last_tenth_mm;
            int32_t size = (int32_t)(step < 0 ? -step : step);
            if (channel->quantum_tenth_mm == 0 || size < channel->quantum_tenth_mm) {
                channel->quantum_tenth_mm = size;
            }
        }
        channel->same_since_us = time_us;
        channel->same_readings = 1;
    }
    channel->has_last = true;
    channel->last_tenth_mm = range_tenth_mm;
    channel->last_us = time_us;
}

static double noise_mm(const struct health_monitor *monitor, int index)
{
    int32_t *differences = monitor->scratch;
    size_t count = 0;
    bool was_good = false;
    int32_t last_tenth_mm = 0;
    for (size_t i = 0; i < monitor->count; i++) {
        const struct kept *here = kept_at(monitor, i);
        bool is_good = here->quality[index] == READING_GOOD;
        if (was_good && is_good) {
            differences[count++] = here->range_tenth_mm[index] - last_tenth_mm;
        }
        was_good = is_good;
        last_tenth_mm = here->range_tenth_mm[index];
    }
    return noise_of_differences(differences, count, monitor->channel[index].quantum_tenth_mm) / 10;
}

static double jitter_ms(const struct health_monitor *monitor)
{
    double mean_us = 0;
    double square_sum = 0;
    if (monitor->count < 2) {
        return 0;
    }
    for (size_t i = 0; i < monitor->count; i++) {
        mean_us += (double)kept_at(monitor, i)->delay_us / (double)monitor->count;
    }
    for (size_t i = 0; i < monitor->count; i++) {
        double from_mean_us = (double)kept_at(monitor, i)->delay_us - mean_us;
        square_sum += from_mean_us * from_mean_us;
    }
    return sqrt(square_sum / (double)(monitor->count - 1)) / 1000;
}

/* lost: samples to count that did not arrive. */
static double rate_hz(const struct health_monitor *monitor, uint64_t lost)
{
    if (monitor->count < 2) {
        return 0;
    }
    int64_t span_us = kept_at(monitor, monitor->count - 1)->time_us - kept_at(monitor, 0)->time_us;
    return span_us > 0 ? ((double)(monitor->count - 1) + (double)lost) * 1e6 / (double)span_us : 0;
}

/* Lost in the span of the window: what was lost before its first sample is not. */
static uint64_t lost_in_span(const struct health_monitor *monitor)
{
    return monitor->count > 0 ? monitor->lost_in_window - kept_at(monitor, 0)->lost_before : 0;
}

static bool is_stuck(const struct health_monitor *monitor, const struct channel_state *channel)
{
    bool coarse = channel->quantum_tenth_mm / 10.0 > HEALTH_COARSE_MM;
    return channel->same_readings > (uint64_t)HEALTH_STUCK_READINGS &&
           monitor->last_time_us - channel->same_since_us >
               us_of(coarse ? HEALTH_STUCK_COARSE_S : HEALTH_STUCK_S);
}

static bool is_blocked(const struct health_monitor *monitor, int index)
{
    const struct channel_state *channel = &monitor->channel[index];
    return channel->has_small &&
           channel->small_until_us - channel->small_since_us >= us_of(HEALTH_BLOCKED_S) &&
           (channel->small_at_a_bound ||
            channel->small_most_tenth_mm < tenths_of(HEALTH_NOTHING_MM) ||
            noise_mm(monitor, index) > HEALTH_BLOCKED_NOISE_MM);
}

/* Do the window's readings jump between two levels? */
static bool has_two_levels(const struct health_monitor *monitor, int index, double *apart_mm)
{
    size_t every = (monitor->count + LEVELS_READINGS - 1) / LEVELS_READINGS;
    size_t count = 0;
    struct two_levels levels;
    *apart_mm = 0;
    if (monitor->channel[index].leaps_in_window < (size_t)HEALTH_LEVELS_JUMPS) {
        return false;
    }
    for (size_t i = 0; i < monitor->count; i += every) {
        const struct kept *kept = kept_at(monitor, i);
        if (kept->quality[index] == READING_GOOD) {
            monitor->levels[count++] = kept->range_tenth_mm[index] / 10.0;
        }
    }
    if (two_levels_find_in(monitor->levels, count, monitor->levels + LEVELS_READINGS, &levels) !=
        MEASURE_OK) {
        return false;
    }
    double rarer = fmin(levels.low_share, 1 - levels.low_share);
    *apart_mm = levels.high_mm - levels.low_mm;
    return levels.is_two && rarer >= HEALTH_LEVELS_SHARE &&
           levels.jumps >= (size_t)HEALTH_LEVELS_JUMPS;
}

/* Once a second of the stream: what is wrong now is told at the end, too. */
static void watch(struct health_monitor *monitor)
{
    for (int i = 0; i < monitor->channel_count; i++) {
        struct channel_state *channel = &monitor->channel[i];
        double apart_mm;
        channel->watched_stuck += is_stuck(monitor, channel);
        channel->watched_blocked += is_blocked(monitor, i);
        channel->watched_two_levels += has_two_levels(monitor, i, &apart_mm);
    }
}

static bool leaps(const struct channel_state *channel, int32_t range_tenth_mm)
{
    int64_t step = (int64_t)range_tenth_mm - channel->last_tenth_mm;
    return channel->has_last && (step < 0 ? -step : step) >= tenths_of(LEVELS_GAP_MM) / 2;
}

void health_add(struct health_monitor *monitor, const struct sample *sample)
{
    if (monitor->samples > 0 && sample->time_us - monitor->last_time_us > monitor->worst_gap_us) {
        monitor->worst_gap_us = sample->time_us - monitor->last_time_us;
    }
    monitor->samples++;
    monitor->lost += sample->lost_before;
    monitor->last_time_us = sample->time_us;
    while (monitor->count > 0 &&
           (monitor->count == WINDOW_SAMPLES ||
            sample->time_us - kept_at(monitor, 0)->time_us > us_of(HEALTH_WINDOW_S))) {
        forget_oldest(monitor);
    }
    struct kept *kept = &monitor->window[(monitor->first + monitor->count) % WINDOW_SAMPLES];
    kept->time_us = sample->time_us;
    kept->delay_us = sample->delay_us;
    kept->lost_before = sample->lost_before;
    monitor->lost_in_window += sample->lost_before;
    memcpy(kept->range_tenth_mm, sample->range_tenth_mm, sizeof kept->range_tenth_mm);
    memcpy(kept->quality, sample->quality, sizeof kept->quality);
    kept->leaps = 0;
    monitor->count++;
    for (int i = 0; i < monitor->channel_count; i++) {
        struct channel_state *channel = &monitor->channel[i];
        channel->readings++;
        if (sample->quality[i] == READING_GOOD) {
            channel->valid_in_window++;
            if (leaps(channel, sample->range_tenth_mm[i])) {
                channel->leaps_in_window++;
                kept->leaps |= (uint8_t)(1U << i);
            }
            add_good(channel, sample->range_tenth_mm[i], sample->time_us);
        } else if (sample->quality[i] == READING_MISSING) {
            channel->missing++;
        } else {
            channel->doubtful++;
        }
    }
    if (sample->time_us - monitor->watched_at_us >= us_of(HEALTH_WATCH_S)) {
        monitor->watched_at_us = sample->time_us;
        watch(monitor);
    }
}

static void read_channel(const struct health_monitor *monitor, int index,
                         struct channel_health *health)
{
    const struct channel_state *channel = &monitor->channel[index];
    health->readings = channel->readings;
    health->missing = channel->missing;
    health->doubtful = channel->doubtful;
    health->recent_valid_share =
        monitor->count > 0 ? (double)channel->valid_in_window / (double)monitor->count : 0;
    health->noise_mm = noise_mm(monitor, index);
    health->quantum_mm = channel->quantum_tenth_mm / 10.0;
    health->stuck = is_stuck(monitor, channel);
    health->blocked = is_blocked(monitor, index);
    health->two_levels = has_two_levels(monitor, index, &health->levels_apart_mm);
    health->stuck_s = (double)channel->watched_stuck * HEALTH_WATCH_S;
    health->blocked_s = (double)channel->watched_blocked * HEALTH_WATCH_S;
    health->two_levels_s = (double)channel->watched_two_levels * HEALTH_WATCH_S;
    health->last_mm = channel->last_tenth_mm / 10.0;
}

void health_read(const struct health_monitor *monitor, struct rig_health *health)
{
    health->rate_hz = rate_hz(monitor, 0);
    health->sent_rate_hz = rate_hz(monitor, lost_in_span(monitor));
    health->rate_differs =
        health->announced_rate_hz > 0 && monitor->count >= (size_t)HEALTH_RATE_SAMPLES &&
        fabs(health->sent_rate_hz / health->announced_rate_hz - 1) > HEALTH_RATE_SHARE;
    health->samples = monitor->samples;
    health->lost = monitor->lost;
    health->worst_gap_ms = (double)monitor->worst_gap_us / 1000;
    health->arrival_jitter_ms = jitter_ms(monitor);
    health->channel_count = monitor->channel_count;
    for (int i = 0; i < monitor->channel_count; i++) {
        read_channel(monitor, i, &health->channel[i]);
    }
}

bool health_is_silent(const struct rig_health *health, double since_s)
{
    return health->rate_hz > 0.0 && since_s > fmax(SILENT_S, SILENT_READINGS / health->rate_hz);
}

bool health_is_mute(const struct rig_health *health)
{
    return health->link_down || health->silent;
}

/* ---- in words -------------------------------------------------------------------------------- */

static const struct {
    const char *word, *sentence;
} troubles[HEALTH_TROUBLES] = {
    [HEALTH_WELL] = {"ok", "readings come, and none looks wrong"},
    [HEALTH_BLOCKED] = {"blocked", "only very short ranges: is the sensor's window covered?"},
    [HEALTH_STUCK] = {"stuck", "the same value again and again: the sensor stands still, or "
                               "nothing that lives is in its beam"},
    [HEALTH_NO_READING] = {"no reading", "no good reading: is the beam on the body?"},
    [HEALTH_TWO_LEVELS] = {"sees two things", "readings jump between two levels: the beam sees two "
                                              "things; aim it at the middle of a patch"},
    [HEALTH_GAPS] = {"gaps", "many readings missing or doubtful: is the beam on the body, and its "
                             "surface light and matt?"},
};

enum health_trouble health_trouble(const struct channel_health *health)
{
    return health->blocked                                   ? HEALTH_BLOCKED
           : health->stuck                                   ? HEALTH_STUCK
           : health->recent_valid_share <= HEALTH_NONE_SHARE ? HEALTH_NO_READING
           : health->two_levels                              ? HEALTH_TWO_LEVELS
           : health->recent_valid_share < HEALTH_GAPS_SHARE  ? HEALTH_GAPS
                                                             : HEALTH_WELL;
}

const char *health_trouble_word(enum health_trouble trouble)
{
    return troubles[trouble].word;
}

const char *health_trouble_sentence(enum health_trouble trouble)
{
    return troubles[trouble].sentence;
}
