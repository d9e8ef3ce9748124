/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "damage.h"
#include "session_row.h"
#include "sums.h"

#include "record/stored_sum.h"

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

static bool add_to_stretch(struct store *store, const struct sample *sample,
                           struct problem *problem)
{
    uint64_t before = sample->number % SUM_STRETCH == 1 ? 0 : store->now.sum;
    store->now.sum = stored_sum_sample(before, sample);
    return sample->number % SUM_STRETCH != 0 ||
           sum_write_stretch(store, store->now.session_id, sample->number, store->now.sum, problem);
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
            if (!add_to_stretch(store, &samples[i], problem)) {
                break;
            }
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

/* ---- samples that can't be read, or can't be true ----------------------------------------------
 */

#define TIME_MOST_US INT64_C(100000000000000) /* three years */
#define SKIP_MOST 64                          /* samples at a time, where a page can't be read */

/* A stretch being read: samples [0, count) of the store's array are those from first on. */
struct reading {
    struct store *store;
    int64_t id, first_n, next_n; /* n of the sample that comes next */
    int channels;
    size_t count;
    int64_t wrong_from, wrong_to; /* numbers of those found wrong that are not told yet; 0: none */
    bool *touched;                /* for each stretch: a sample of it was found wrong */
    int64_t first_stretch;
};

static void tell_wrong(struct reading *reading)
{
    char span[DAMAGE_SPAN_SIZE] = "";
    if (reading->wrong_from > 0) {
        damage_span(reading->store, reading->id, reading->wrong_from, reading->wrong_to, span,
                    sizeof span);
        damage_tell(
            reading->store, reading->id,
            "samples %lld to %lld%s can't be read, or are not what was written: they count as "
            "lost",
            (long long)reading->wrong_from, (long long)reading->wrong_to, span);
    }
    reading->wrong_from = reading->wrong_to = 0;
}

static int64_t stretch_of(int64_t number)
{
    return (number - 1) / SUM_STRETCH;
}

/* The seconds are those of the samples around it: its own time is nothing to go by. */
static void note_wrong(struct reading *reading, int64_t number)
{
    reading->touched[stretch_of(number) - reading->first_stretch] = true;
    if (reading->wrong_from > 0 && number != reading->wrong_to + 1) {
        tell_wrong(reading);
    }
    reading->wrong_from = reading->wrong_from > 0 ? reading->wrong_from : number;
    reading->wrong_to = number;
}

static void make_missing(struct sample *sample, int64_t number, int64_t time_us)
{
    memset(sample, 0, sizeof *sample);
    sample->number = number;
    sample->time_us = time_us;
    sample->lost_before = 1;
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        sample->quality[channel] = READING_MISSING;
    }
}

static bool is_whole(const struct row *row, int column, int64_t least, int64_t most)
{
    int64_t value = sqlite3_column_int64(row->statement, column);
    return sqlite3_column_type(row->statement, column) == SQLITE_INTEGER && value >= least &&
           value <= most;
}

static bool has_qualities(const struct sample *sample)
{
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        if (sample->quality[channel] > READING_OUT_OF_RANGE) {
            return false;
        }
    }
    return true;
}

/* False where a column of the row holds what no sample has. */
static bool take_sample(struct row *row, int64_t first_n, int channels, struct sample *sample)
{
    bool good = is_whole(row, 1, -TIME_MOST_US, TIME_MOST_US) &&
                is_whole(row, 2, -TIME_MOST_US, TIME_MOST_US) &&
                is_whole(row, 3, 0, ((int64_t)UINT32_MAX + 1) * (1 << LOST_SHIFT) - 1);
    memset(sample, 0, sizeof *sample);
    sample->number = row_take_integer(row) - first_n + 1;
    sample->time_us = row_take_integer(row);
    sample->delay_us = row_take_integer(row);
    unpack_quality(row_take_integer(row), sample);
    for (int channel = 0; channel < channels; channel++) {
        int column = row->column;
        sample->range_tenth_mm[channel] = (int32_t)row_take_integer(row);
        good = good && (sqlite3_column_type(row->statement, column) == SQLITE_NULL ||
                        is_whole(row, column, INT32_MIN, INT32_MAX));
    }
    return good && has_qualities(sample);
}

static bool room_for_one(struct reading *reading, struct problem *problem)
{
    return reading->count < reading->store->sample_capacity ||
           grow(reading->store, reading->count + 1024, problem);
}

/* Those before n that are not there. */
static bool fill_to(struct reading *reading, int64_t n, struct problem *problem)
{
    for (; reading->next_n < n; reading->next_n++) {
        int64_t number = reading->next_n - reading->first_n + 1;
        if (!room_for_one(reading, problem)) {
            return false;
        }
        struct sample *samples = reading->store->samples;
        make_missing(&samples[reading->count], number,
                     reading->count > 0 ? samples[reading->count - 1].time_us : 0);
        reading->count++;
        note_wrong(reading, number);
    }
    return true;
}

static bool in_order(const struct sample *sample, size_t count)
{
    for (size_t i = 1; i < count; i++) {
        if (sample[i].time_us < sample[i - 1].time_us) {
            return false;
        }
    }
    return true;
}

/* The longest run of samples whose times never fall (Schensted 1961): good[i] for those in it. tail
 * and before have room for count each. */
static void find_good_times(const struct sample *sample, size_t count, size_t *tail, size_t *before,
                            bool *good)
{
    size_t length = 0;
    for (size_t i = 0; i < count; i++) {
        size_t low = 0, high = length;
        while (low < high) { /* the first run whose last time is later */
            size_t middle = low + (high - low) / 2;
            if (sample[tail[middle]].time_us <= sample[i].time_us) {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        before[i] = low > 0 ? tail[low - 1] : count;
        tail[low] = i;
        length = low == length ? length + 1 : length;
        good[i] = false;
    }
    for (size_t i = length > 0 ? tail[length - 1] : count; i < count; i = before[i]) {
        good[i] = true;
    }
}

/* Times never fall: samples that are out of line with the most of the others are wrong, and get the
 * time of the good one before. */
static bool put_times_in_order(struct reading *reading, struct problem *problem)
{
    struct sample *sample = reading->store->samples;
    size_t count = reading->count;
    if (in_order(sample, count)) {
        return true;
    }
    size_t *room = malloc(2 * count * sizeof *room);
    bool *good = malloc(count * sizeof *good);
    bool done = room != NULL && good != NULL;
    if (done) {
        size_t first = 0;
        find_good_times(sample, count, room, room + count, good);
        while (!good[first]) {
            first++;
        }
        int64_t time_us = sample[first].time_us;
        for (size_t i = 0; i < count; i++) {
            if (!good[i]) {
                note_wrong(reading, sample[i].number);
                make_missing(&sample[i], sample[i].number, time_us);
            }
            time_us = sample[i].time_us;
        }
    }
    free(room);
    free(good);
    return done || problem_set(problem, "there is no memory for %zu samples", count);
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
    bool done = store->passed_over[TABLE_CHANNEL] ||
                store_number(store, "SELECT max(channel) FROM channel WHERE session_id = ?", id,
                             &most, problem);
    *channels = most >= 1 && most < CHANNELS_MAX ? (int)most : CHANNELS_MAX;
    return done;
}

/* The rows from next_n on. *failed: the file could not be read further. */
static bool read_rows(struct reading *reading, int64_t last_n, bool *failed,
                      struct problem *problem)
{
    struct row row;
    struct sample sample;
    if (!row_prepare(reading->store, select_samples[reading->channels], &row, problem)) {
        return false;
    }
    row_put_integer(&row, reading->next_n);
    row_put_integer(&row, last_n);
    while (row_next(&row, failed, problem)) {
        int64_t n = sqlite3_column_int64(row.statement, 0);
        if (n < reading->next_n || n > last_n) {
            continue; /* of a page that is in the wrong place */
        }
        bool good = take_sample(&row, reading->first_n, reading->channels, &sample);
        if (!fill_to(reading, good ? n : n + 1, problem) || !room_for_one(reading, problem)) {
            row_end(&row);
            return false;
        }
        if (good) {
            reading->store->samples[reading->count++] = sample;
            reading->next_n = n + 1;
        }
    }
    return !*failed || store_is_corrupt(reading->store);
}

/* Where a page can't be read, on behind it: further and further, but never far. */
static bool read_stretch(struct reading *reading, int64_t last_n, struct problem *problem)
{
    int64_t skip = 1;
    while (reading->next_n <= last_n) {
        bool failed = false;
        int64_t before_n = reading->next_n;
        if (!read_rows(reading, last_n, &failed, problem)) {
            return false;
        }
        if (!failed) {
            break;
        }
        skip = reading->next_n > before_n ? 1 : skip < SKIP_MOST ? 2 * skip : SKIP_MOST;
        int64_t to_n = reading->next_n + skip;
        if (!fill_to(reading, to_n <= last_n ? to_n : last_n + 1, problem)) {
            return false;
        }
    }
    return fill_to(reading, last_n + 1, problem);
}

/* Each stretch against its checksum; one in which nothing else was found is lost as a whole. */
static bool compare_sums(struct reading *reading, struct problem *problem)
{
    struct sample *sample = reading->store->samples;
    const struct recording *now = &reading->store->now;
    bool is_growing =
        now->session_id == reading->id && now->last_n != reading->store->committed.last_n;
    for (size_t from = 0, to = 0; from < reading->count && !is_growing; from = to) {
        int64_t stretch = stretch_of(sample[from].number);
        uint64_t sum = 0;
        uint32_t stored = 0;
        bool there = false;
        for (; to < reading->count && stretch_of(sample[to].number) == stretch; to++) {
            sum = stored_sum_sample(sum, &sample[to]);
        }
        if (!sum_read_stretch(reading->store, reading->id, stretch + 1, &stored, &there, problem)) {
            return false;
        }
        bool same = there && stored_sum_fold(sum) == stored;
        for (size_t i = from;
             i < to && !same && !reading->touched[stretch - reading->first_stretch]; i++) {
            make_missing(&sample[i], sample[i].number, sample[i].time_us);
        }
        if (!same && !reading->touched[stretch - reading->first_stretch]) {
            for (size_t i = from; i < to; i++) {
                note_wrong(reading, sample[i].number);
            }
        }
    }
    return true;
}

/* All stretches that first to last are in. */
static bool read_summed(struct reading *reading, int64_t first, int64_t last, bool summed,
                        struct problem *problem)
{
    reading->next_n = reading->first_n + first - 1;
    reading->first_stretch = stretch_of(first);
    reading->touched =
        calloc((size_t)(stretch_of(last) - reading->first_stretch) + 1, sizeof *reading->touched);
    if (reading->touched == NULL) {
        return problem_set(problem, "there is no memory left");
    }
    bool done = read_stretch(reading, reading->first_n + last - 1, problem) &&
                put_times_in_order(reading, problem) && (!summed || compare_sums(reading, problem));
    if (done) {
        tell_wrong(reading);
    }
    free(reading->touched);
    return done;
}

static bool read_samples(struct store *store, int64_t id, int64_t first, int64_t last,
                         const struct sample **samples, size_t *count, struct problem *problem)
{
    struct reading reading = {.store = store, .id = id};
    int64_t last_n = 0;
    bool summed = false;
    if (!session_extent(store, id, &reading.first_n, &last_n, problem)) {
        return false;
    }
    int64_t length = last_n - reading.first_n + 1;
    first = first < 1 ? 1 : first;
    last = last > length ? length : last;
    if (first > last) {
        return true;
    }
    if (!sum_is_kept(store, id, &summed, problem) ||
        !channels_of(store, id, &reading.channels, problem)) {
        return false;
    }
    int64_t from = summed ? stretch_of(first) * SUM_STRETCH + 1 : first;
    int64_t to = summed ? (stretch_of(last) + 1) * SUM_STRETCH : last;
    if (!read_summed(&reading, from, to < length ? to : length, summed, problem)) {
        return false;
    }
    *samples = store->samples + (first - from);
    *count = (size_t)(last - first + 1);
    return true;
}

bool store_samples(struct store *store, int64_t id, int64_t first, int64_t last,
                   const struct sample **samples, size_t *count, struct problem *problem)
{
    /* samples and sums of one moment, also while a session is being recorded */
    bool own = sqlite3_get_autocommit(store->db) != 0;
    int64_t begun = damage_begin(store);
    *count = 0;
    *samples = NULL;
    if (own && !store_execute(store, "BEGIN", "reading", problem)) {
        return false;
    }
    bool done = read_samples(store, id, first, last, samples, count, problem);
    if (own) {
        sqlite3_exec(store->db, "COMMIT", NULL, NULL, NULL);
    }
    return done && damage_end(store, begun, problem);
}

bool store_sample_source(void *context, int64_t first, int64_t last, const struct sample **samples,
                         size_t *count)
{
    struct store_sample_source *source = context;
    return store_samples(source->store, source->session_id, first, last, samples, count,
                         &source->problem);
}
