/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "database.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>

/* quality: three bits a channel (enum reading_quality), then the link gap, then the count of
 * samples lost just before; 0 when all is well, which takes no space on disk. */
#define QUALITY_BITS 3
#define QUALITY_MASK 7
#define GAP_BIT 24
#define LOST_SHIFT 25

static int64_t pack_quality(const struct sample *sample)
{
    int64_t packed = (int64_t)sample->lost_before << LOST_SHIFT;
    packed |= (int64_t)sample->link_gap_before << GAP_BIT;
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        packed |= (int64_t)(sample->quality[channel] & QUALITY_MASK) << (QUALITY_BITS * channel);
    }
    return packed;
}

static void unpack_quality(int64_t packed, struct sample *sample)
{
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        sample->quality[channel] = (uint8_t)((packed >> (QUALITY_BITS * channel)) & QUALITY_MASK);
    }
    sample->link_gap_before = ((packed >> GAP_BIT) & 1) != 0;
    sample->lost_before = (uint32_t)(packed >> LOST_SHIFT);
}

static bool insert_sample(struct row *row, const struct sample *sample, int64_t n, int channels)
{
    sqlite3_stmt *statement = row->statement;
    sqlite3_bind_int64(statement, 1, n);
    sqlite3_bind_int64(statement, 2, sample->time_us);
    sqlite3_bind_int64(statement, 3, sample->delay_us);
    sqlite3_bind_int64(statement, 4, pack_quality(sample));
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        int32_t range = sample->range_tenth_mm[channel];
        /* no reading is NULL; loading gives 0 for it, which is what the sample had */
        if (range == 0 && (channel >= channels || sample->quality[channel] == READING_MISSING)) {
            sqlite3_bind_null(statement, 5 + channel);
        } else {
            sqlite3_bind_int(statement, 5 + channel, range);
        }
    }
    bool done = sqlite3_step(statement) == SQLITE_DONE;
    return sqlite3_reset(statement) == SQLITE_OK && done;
}

bool store_write_samples(struct store *store, const struct sample *samples, size_t count,
                         struct problem *problem)
{
    static const char sql[] =
        "INSERT INTO sample (n, rig_us, delay_us, quality, v1, v2, v3, v4, v5,"
        " v6, v7, v8) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)";
    struct row row;
    store->record_refused = false;
    if (store->now.session_id == 0) {
        problem_set(problem, "samples came before their session");
    } else if (row_prepare(store, sql, &row, problem)) {
        size_t i;
        for (i = 0; i < count; i++) {
            int64_t n = store->now.first_n + samples[i].number - 1;
            if (n <= store->now.last_n) {
                continue; /* written already */
            }
            if (!insert_sample(&row, &samples[i], n, store->now.channel_count)) {
                store_failed(store, "writing into", problem);
                break;
            }
            store->now.last_n = n;
            store->now.sample_count++;
        }
        if (i == count) {
            return true;
        }
    }
    store_rollback(store);
    return false;
}

static bool grow(struct store *store, size_t count, struct problem *problem)
{
    if (count <= store->sample_capacity) {
        return true;
    }
    size_t capacity = store->sample_capacity * 2 > count ? store->sample_capacity * 2 : count;
    struct sample *samples = realloc(store->samples, capacity * sizeof *samples);
    if (samples == NULL) {
        return problem_set(problem, "there is no memory for %zu samples", count);
    }
    store->samples = samples;
    store->sample_capacity = capacity;
    return true;
}

static void take_sample(struct row *row, int64_t first_n, int channels, struct sample *sample)
{
    memset(sample, 0, sizeof *sample);
    sample->number = row_take_integer(row) - first_n + 1;
    sample->time_us = row_take_integer(row);
    sample->delay_us = row_take_integer(row);
    unpack_quality(row_take_integer(row), sample);
    for (int channel = 0; channel < channels; channel++) {
        sample->range_tenth_mm[channel] = (int32_t)row_take_integer(row);
    }
}

/* By how many channels there are (no sample has a reading beyond them): eight columns of which two
 * are used take twice as long. */
#define SELECT_SAMPLES(ranges)                                                                     \
    "SELECT n, rig_us, delay_us, quality" ranges " FROM sample WHERE n BETWEEN ? AND ? ORDER BY n"

static const char *const select_samples[CHANNELS_MAX + 1] = {
    SELECT_SAMPLES(""),
    SELECT_SAMPLES(", v1"),
    SELECT_SAMPLES(", v1, v2"),
    SELECT_SAMPLES(", v1, v2, v3"),
    SELECT_SAMPLES(", v1, v2, v3, v4"),
    SELECT_SAMPLES(", v1, v2, v3, v4, v5"),
    SELECT_SAMPLES(", v1, v2, v3, v4, v5, v6"),
    SELECT_SAMPLES(", v1, v2, v3, v4, v5, v6, v7"),
    SELECT_SAMPLES(", v1, v2, v3, v4, v5, v6, v7, v8"),
};

/* The most channels any placing of the session has; all where none is known. */
static bool channels_of(struct store *store, int64_t id, int *channels, struct problem *problem)
{
    int64_t most = 0;
    bool done = store_number(store, "SELECT max(channel) FROM channel WHERE session_id = ?", id,
                             &most, problem);
    *channels = most >= 1 && most < CHANNELS_MAX ? (int)most : CHANNELS_MAX;
    return done;
}

bool store_samples(struct store *store, int64_t id, int64_t first, int64_t last,
                   const struct sample **samples, size_t *count, struct problem *problem)
{
    struct row row;
    int64_t first_n = 0, last_n = 0;
    int channels = CHANNELS_MAX;
    bool failed = false;
    *count = 0;
    *samples = NULL;
    if (!store_number(store, "SELECT first_n FROM session WHERE id = ?", id, &first_n, problem) ||
        !store_number(store, "SELECT last_n FROM session WHERE id = ?", id, &last_n, problem)) {
        return false;
    }
    if (first_n == 0) {
        return problem_set(problem, "there is no session %lld in %s", (long long)id, store->path);
    }
    int64_t length = last_n - first_n + 1;
    first = first < 1 ? 1 : first;
    last = last > length ? length : last;
    if (first > last) {
        return true;
    }
    if (!channels_of(store, id, &channels, problem) ||
        !row_prepare(store, select_samples[channels], &row, problem)) {
        return false;
    }
    row_put_integer(&row, first_n + first - 1);
    row_put_integer(&row, first_n + last - 1);
    size_t taken = 0;
    while (row_next(&row, &failed, problem)) {
        if (taken == store->sample_capacity && !grow(store, taken + 1024, problem)) {
            row_end(&row);
            return false;
        }
        take_sample(&row, first_n, channels, &store->samples[taken]);
        taken++;
    }
    *samples = store->samples;
    *count = taken;
    return !failed;
}

bool store_sample_source(void *context, int64_t first, int64_t last, const struct sample **samples,
                         size_t *count)
{
    struct store_sample_source *source = context;
    return store_samples(source->store, source->session_id, first, last, samples, count,
                         &source->problem);
}
