/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RECORDER_BATCH_H
#define HOLDLINE_APP_RECORDER_BATCH_H

#include "record/effect.h"
#include "store/store.h"

#include <stddef.h>

/* What waits to be written, and its writing. One thread's. */
struct recorder_batch {
    struct sample *sample;
    size_t sample_count, sample_capacity;
    struct effect *effect;
    size_t effect_count, effect_capacity;
    bool has_session;              /* the session's own record has come (or it is taken up again) */
    bool has_content;              /* a sample or a record has come, more than that it began */
    struct session_header session; /* the latest, for the salvage */
    struct placing_record placing; /* the same; channel_count 0 = none yet */
    uint64_t sample_lost;          /* past the bound */
    uint64_t sample_stored;
};

/* 30 min at 1000 samples/s. */
#define BATCH_SAMPLES_MAX 1800000
#define BATCH_EFFECTS_MAX 20000

bool batch_create(struct recorder_batch *batch);
void batch_destroy(struct recorder_batch *batch);

/* Room for count more samples behind sample_count; fewer at the bound. Returns how many. */
size_t batch_room(struct recorder_batch *batch, size_t count);
bool batch_add_effect(struct recorder_batch *batch, const struct effect *effect);

/* Nothing has come that anybody would look for: the session began, commands at most that made no
 * record. It is not stored. */
bool batch_is_bare(const struct recorder_batch *batch);

/* Writes all of it in one transaction and empties it. What fails stays. A record that the store
 * refuses for its own sake doesn't hold up the others: they are written one by one, it alone stays.
 */
bool batch_write(struct recorder_batch *batch, struct store *store, struct problem *problem);

/* What could not be written, beside the store: bench lines, commands and notes as comments. path
 * gets the file's name. */
bool batch_salvage(const struct recorder_batch *batch, const char *store_path, char *path,
                   size_t size, struct problem *problem);
/* Why, what was saved in the file and how it is taken in again. */
void batch_salvage_words(const struct recorder_batch *batch, const char *store_path,
                         const char *path, const struct problem *why, struct problem *problem);

#endif
