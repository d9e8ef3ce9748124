/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/reader.h"

#include "rig/auxiliary.h"
#include "rig/rig_clock.h"
#include "rig/speed_search.h"
#include "rig/stamp_watch.h"

#include <stdlib.h>
#include <string.h>

#define BUFFER_BYTES 16384
#define READS_KEPT 256
#define SECONDS_KEPT 6 /* five whole ones and the one at hand */
#define UNREAD_BYTES 4096
#define UNKNOWN_INTERVAL_US 10000

/* Which read brought which bytes: while the decoder still holds the first lines, a sample comes out
 * later than its bytes came in. */
struct arrival {
    uint64_t end_byte;
    int64_t arrival_us;
};

struct second {
    int64_t number;
    uint64_t bytes;
};

struct reader {
    struct link *link;
    struct decoder *decoder;
    struct stamp_watch watch;
    struct rig_clock clock;
    struct health_monitor *monitor;
    struct rig_health health;
    struct decoder_counts counts; /* the decoder's, with what the clock found */
    uint64_t stale;
    int64_t next_number;
    int64_t base_us; /* added to the clock's axis */
    int64_t last_time_us;
    bool clock_started;
    bool gap_before;
    bool ended;
    struct arrival arrivals[READS_KEPT];
    size_t arrival_count;
    struct second seconds[SECONDS_KEPT];
    sample_sink *sink;
    void *context;
    bool searches_speed;
    struct speed_search search; /* while nothing is recognised, of a link whose speed is open */
    char unread[UNREAD_BYTES];  /* the last bytes, while nothing is recognised */
    size_t unread_length;
    char first[READER_FIRST_BYTES];
    size_t first_length;
    char bytes[BUFFER_BYTES];
};

struct reader *reader_create(struct link *link, const struct decoder_options *options,
                             int64_t first_number, struct problem *problem)
{
    struct reader *reader = calloc(1, sizeof *reader);
    struct health_monitor *monitor = health_create(CHANNELS_MAX);
    struct decoder *decoder = decoder_create(options, problem);
    if (reader == NULL || monitor == NULL || decoder == NULL) {
        if (decoder != NULL) {
            problem_set(problem, "there is no memory for a reader");
        }
        free(reader);
        health_destroy(monitor);
        decoder_destroy(decoder);
        link_close(link);
        return NULL;
    }
    reader->link = link;
    reader->decoder = decoder;
    reader->monitor = monitor;
    reader->next_number = first_number;
    reader->searches_speed = speed_search_wanted(link, options);
    speed_search_start(&reader->search, link->baud);
    return reader;
}

bool reader_read_as(struct reader *reader, const struct decoder_options *options,
                    struct problem *problem)
{
    struct decoder *decoder = decoder_create(options, problem);
    if (decoder == NULL) {
        return false;
    }
    decoder_destroy(reader->decoder);
    reader->decoder = decoder;
    reader->arrival_count = 0;
    reader->unread_length = 0;
    reader->searches_speed = speed_search_wanted(reader->link, options);
    return true;
}

void reader_destroy(struct reader *reader)
{
    if (reader != NULL) {
        link_close(reader->link);
        decoder_destroy(reader->decoder);
        health_destroy(reader->monitor);
        free(reader);
    }
}

static void keep_arrival(struct reader *reader, uint64_t end_byte, int64_t arrival_us)
{
    /* Once the lines come through as they arrive, one is enough. */
    if (decoder_info(reader->decoder)->channel_count > 0) {
        reader->arrival_count = 0;
    } else if (reader->arrival_count == READS_KEPT) {
        reader->arrival_count--;
    }
    struct arrival *arrival = &reader->arrivals[reader->arrival_count++];
    arrival->end_byte = end_byte;
    arrival->arrival_us = arrival_us;
}

static int64_t arrival_of(const struct reader *reader, uint64_t end_byte)
{
    size_t i = 0; /* the last read brought all there is */
    while (i + 1 < reader->arrival_count && reader->arrivals[i].end_byte < end_byte) {
        i++;
    }
    return reader->arrivals[i].arrival_us;
}

/* Of a sample, so that some bytes have come: how many more lines came in the read that brought it,
 * about. */
static uint64_t lines_behind(const struct reader *reader, uint64_t end_byte)
{
    const struct decoder_counts *counts = decoder_counts(reader->decoder);
    uint64_t last_byte = reader->arrivals[reader->arrival_count - 1].end_byte;
    double behind = last_byte > end_byte ? (double)(last_byte - end_byte) : 0.0;
    return (uint64_t)(behind * (double)counts->lines / (double)counts->bytes);
}

/* A stream that is not live, without a time of its own, goes by the stated rate or the one it
 * announces. */
static void start_clock(struct reader *reader)
{
    const struct link *link = reader->link;
    double rate_hz = link->stated_rate_hz;
    if (rate_hz <= 0 && !link->time_is_arrival) {
        rate_hz = decoder_info(reader->decoder)->rate_hz;
    }
    rig_clock_start(&reader->clock, rate_hz, link->time_is_arrival);
    reader->clock_started = true;
}

static void place(struct reader *reader, const struct raw_sample *raw, int64_t arrival_us)
{
    struct sample sample;
    memset(&sample, 0, sizeof sample);
    if (!rig_clock_place(&reader->clock, raw, arrival_us, &sample)) {
        reader->stale++;
        return;
    }
    memcpy(sample.range_tenth_mm, raw->range_tenth_mm, sizeof sample.range_tenth_mm);
    memcpy(sample.quality, raw->quality, sizeof sample.quality);
    sample.number = reader->next_number++;
    sample.time_us += reader->base_us;
    sample.link_gap_before = reader->gap_before;
    reader->gap_before = false;
    reader->last_time_us = sample.time_us;
    health_add(reader->monitor, &sample);
    reader->sink(reader->context, &sample);
}

static void take_raw(void *context, const struct raw_sample *raw)
{
    struct reader *reader = context;
    struct stamped_line on[2];
    if (!reader->clock_started) {
        start_clock(reader);
    }
    int count = stamp_watch_take(&reader->watch, raw, arrival_of(reader, raw->end_byte), on);
    rig_clock_lines_behind(&reader->clock, lines_behind(reader, raw->end_byte));
    for (int i = 0; i < count; i++) {
        place(reader, &on[i].raw, on[i].arrival_us);
    }
}

static void count_bytes(struct reader *reader, size_t length)
{
    int64_t now = reader->last_time_us / 1000000;
    struct second *second = &reader->seconds[now % SECONDS_KEPT];
    if (second->number != now) {
        second->number = now;
        second->bytes = 0;
    }
    second->bytes += length;
}

static void count(struct reader *reader)
{
    reader->counts = *decoder_counts(reader->decoder);
    reader->counts.lost = reader->clock.lost;
    reader->counts.rejected[REJECT_STALE] += reader->stale;
    reader->counts.rejected[REJECT_WRONG_TIME] = reader->watch.left_out;
    reader->counts.samples -=
        reader->stale + reader->watch.left_out + (reader->watch.holds ? 1 : 0);
}

/* To the next speed that the port can have; true when there is one. */
static bool change_speed(struct reader *reader, double baud, int64_t now_us)
{
    for (int i = 0; i < SPEEDS_MAX && baud > 0; i++) {
        if (link_set_speed(reader->link, baud)) {
            decoder_forget(reader->decoder);
            reader->unread_length = 0;
            return true;
        }
        baud = speed_search_next(&reader->search, now_us);
    }
    return false;
}

/* Bytes that come before anything is recognised: kept for who looks at them, and where they are no
 * text the line's next speed is tried. True when they are of no use. */
static bool search_speed(struct reader *reader, size_t length, int64_t arrival_us)
{
    size_t keep = length < UNREAD_BYTES / 2 ? length : UNREAD_BYTES / 2;
    if (reader->unread_length + keep > UNREAD_BYTES) {
        memmove(reader->unread, reader->unread + UNREAD_BYTES / 2,
                reader->unread_length - UNREAD_BYTES / 2);
        reader->unread_length -= UNREAD_BYTES / 2;
    }
    memcpy(reader->unread + reader->unread_length, reader->bytes + length - keep, keep);
    reader->unread_length += keep;
    if (!reader->searches_speed) {
        return false;
    }
    double baud = speed_search_take(&reader->search, reader->bytes, length, arrival_us);
    return change_speed(reader, baud, arrival_us);
}

static void keep_first(struct reader *reader, size_t length)
{
    size_t room = sizeof reader->first - reader->first_length;
    size_t keep = length < room ? length : room;
    memcpy(reader->first + reader->first_length, reader->bytes, keep);
    reader->first_length += keep;
}

enum link_result reader_step(struct reader *reader, int timeout_ms, sample_sink *sink,
                             void *context, struct problem *problem)
{
    size_t length = 0;
    int64_t arrival_us = 0;
    reader->sink = sink;
    reader->context = context;
    enum link_result result = link_read(reader->link, reader->bytes, sizeof reader->bytes, &length,
                                        timeout_ms, &arrival_us, problem);
    switch (result) {
    case LINK_BYTES:
        reader->health.link_down = false;
        keep_first(reader, length);
        if (decoder_info(reader->decoder)->channel_count == 0 &&
            search_speed(reader, length, arrival_us)) {
            break;
        }
        keep_arrival(reader, decoder_counts(reader->decoder)->bytes + length, arrival_us);
        if (!decoder_feed(reader->decoder, reader->bytes, length, take_raw, reader, problem)) {
            result = LINK_FAILED;
        }
        count_bytes(reader, length);
        break;
    case LINK_DOWN:
        reader->health.link_down = true;
        break;
    case LINK_UP:
        reader->health.link_down = false;
        reader->gap_before = true;
        decoder_resynchronise(reader->decoder);
        rig_clock_link_gap(&reader->clock);
        break;
    case LINK_END:
        if (!reader->ended) {
            reader->ended = true;
            if (!decoder_finish(reader->decoder, take_raw, reader, problem)) {
                result = LINK_FAILED;
            }
            stamp_watch_end(&reader->watch);
        }
        break;
    case LINK_QUIET:
        if (reader->searches_speed && decoder_info(reader->decoder)->channel_count == 0) {
            change_speed(reader, speed_search_quiet(&reader->search, arrival_us), arrival_us);
        }
        break;
    case LINK_FAILED:
        break;
    }
    count(reader);
    return result;
}

void reader_continue_after(struct reader *reader, int64_t last_number, int64_t last_time_us)
{
    if (reader->clock.has_last) {
        reader->base_us = last_time_us - reader->clock.last_time_us;
    } else {
        double rate_hz = reader->link->stated_rate_hz;
        rate_hz = rate_hz > 0 ? rate_hz : decoder_info(reader->decoder)->rate_hz;
        reader->base_us =
            last_time_us + (rate_hz > 0 ? (int64_t)(1e6 / rate_hz + 0.5) : UNKNOWN_INTERVAL_US);
    }
    reader->last_time_us = last_time_us;
    reader->next_number = last_number + 1;
}

const char *reader_unread(const struct reader *reader, size_t *length)
{
    bool strange = reader->unread_length < reader->search.sample_length;
    *length = strange ? reader->search.sample_length : reader->unread_length;
    return strange ? reader->search.sample : reader->unread;
}

const char *reader_first(const struct reader *reader, size_t *length)
{
    *length = reader->first_length;
    return reader->first;
}

bool reader_tried_speeds(const struct reader *reader)
{
    return reader->search.none_fits;
}

const struct rig_info *reader_info(const struct reader *reader)
{
    return decoder_info(reader->decoder);
}

const struct decoder_counts *reader_counts(const struct reader *reader)
{
    return &reader->counts;
}

static double bytes_per_s(const struct reader *reader)
{
    int64_t now = reader->last_time_us / 1000000;
    uint64_t bytes = 0;
    int64_t whole_seconds = 0;
    for (int i = 0; i < SECONDS_KEPT; i++) {
        const struct second *second = &reader->seconds[i];
        if (second->bytes > 0 && second->number < now && second->number >= now - 5) {
            bytes += second->bytes;
            whole_seconds =
                now - second->number > whole_seconds ? now - second->number : whole_seconds;
        }
    }
    return whole_seconds > 0 ? (double)bytes / (double)whole_seconds : 0;
}

const struct rig_health *reader_health(struct reader *reader)
{
    struct rig_health *health = &reader->health;
    const struct decoder_counts *counts = &reader->counts;
    const struct rig_info *info = decoder_info(reader->decoder);
    health->announced_rate_hz = info->rate_hz;
    health_read(reader->monitor, health);
    health->channel_count = info->channel_count;
    for (int i = 0; i < info->channel_count; i++) {
        if (auxiliary_of(info->channel_name[i]) >= 0) { /* no range: standing still is no fault */
            health->channel[i].stuck = health->channel[i].blocked = false;
            health->channel[i].two_levels = false;
            health->channel[i].stuck_s = health->channel[i].blocked_s = 0;
            health->channel[i].two_levels_s = 0;
        }
    }
    health->rejected = 0;
    for (int i = 0; i < REJECT_REASONS; i++) {
        health->rejected += counts->rejected[i];
    }
    health->bytes_per_s = bytes_per_s(reader);
    health->times_down = reader->link->times_down;
    health->clock_restarts = reader->clock.restarts;
    int64_t host_us;
    health->clock_known = rig_clock_host_time(&reader->clock, reader->clock.last_time_us, &host_us,
                                              &health->clock_error_ms);
    health->clock_rate_known = rig_clock_rate_ppm(&reader->clock, &health->clock_rate_ppm);
    return health;
}

struct link *reader_link(struct reader *reader)
{
    return reader->link;
}
