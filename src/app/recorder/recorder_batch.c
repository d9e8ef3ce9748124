/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "recorder_batch.h"

#include <stdlib.h>
#include <string.h>

#define FIRST_SAMPLES 2048
#define FIRST_EFFECTS 32

bool batch_create(struct recorder_batch *batch)
{
    memset(batch, 0, sizeof *batch);
    batch->sample = malloc(FIRST_SAMPLES * sizeof *batch->sample);
    batch->effect = malloc(FIRST_EFFECTS * sizeof *batch->effect);
    batch->sample_capacity = FIRST_SAMPLES;
    batch->effect_capacity = FIRST_EFFECTS;
    return batch->sample != NULL && batch->effect != NULL;
}

void batch_destroy(struct recorder_batch *batch)
{
    free(batch->sample);
    free(batch->effect);
    memset(batch, 0, sizeof *batch);
}

/* Grows only while the store is in trouble or slow. */
static bool grow(void **array, size_t *capacity, size_t wanted, size_t most, size_t element)
{
    size_t larger = *capacity * 2 > wanted ? *capacity * 2 : wanted;
    if (larger > most) {
        larger = most;
    }
    void *grown = larger > *capacity ? realloc(*array, larger * element) : NULL;
    if (grown == NULL) {
        return false;
    }
    *array = grown;
    *capacity = larger;
    return true;
}

size_t batch_room(struct recorder_batch *batch, size_t count)
{
    void *array = batch->sample;
    if (batch->sample_count + count > batch->sample_capacity &&
        grow(&array, &batch->sample_capacity, batch->sample_count + count, BATCH_SAMPLES_MAX,
             sizeof *batch->sample)) {
        batch->sample = array;
    }
    size_t free_room = batch->sample_capacity - batch->sample_count;
    return count < free_room ? count : free_room;
}

bool batch_add_effect(struct recorder_batch *batch, const struct effect *effect)
{
    void *array = batch->effect;
    if (batch->effect_count == batch->effect_capacity) {
        if (!grow(&array, &batch->effect_capacity, batch->effect_count + 1, BATCH_EFFECTS_MAX,
                  sizeof *batch->effect)) {
            return false;
        }
        batch->effect = array;
    }
    batch->effect[batch->effect_count++] = *effect;
    batch->has_content =
        batch->has_content || (effect->kind != EFFECT_SESSION && effect->kind != EFFECT_COMMAND);
    if (effect->kind == EFFECT_SESSION) {
        batch->has_session = true;
        batch->session = effect->record.session;
    } else if (effect->kind == EFFECT_PLACING) {
        batch->placing = effect->record.placing;
    }
    return true;
}

static bool write_samples(struct recorder_batch *batch, struct store *store,
                          struct problem *problem)
{
    return batch->sample_count == 0 ||
           store_write_samples(store, batch->sample, batch->sample_count, problem);
}

static void samples_are_stored(struct recorder_batch *batch)
{
    batch->sample_stored += batch->sample_count;
    batch->sample_count = 0;
}

/* All in one transaction. Effects first: they tell how many channels the samples have. */
static bool write_whole(struct recorder_batch *batch, struct store *store, struct problem *problem)
{
    if (!store_begin(store, problem)) {
        return false;
    }
    for (size_t i = 0; i < batch->effect_count; i++) {
        if (!store_write_effect(store, &batch->effect[i], problem)) {
            return false;
        }
    }
    if (!write_samples(batch, store, problem) || !store_commit(store, problem)) {
        return false;
    }
    batch->effect_count = 0;
    samples_are_stored(batch);
    return true;
}

/* Each record in a transaction of its own; those that are refused stay, for a parent may still
 * come. */
static bool write_piecemeal(struct recorder_batch *batch, struct store *store,
                            struct problem *problem)
{
    size_t kept = 0;
    bool trouble = false;
    struct problem own = {0};
    for (size_t i = 0; i < batch->effect_count; i++) {
        bool done = !trouble && store_begin(store, &own) &&
                    store_write_effect(store, &batch->effect[i], &own) && store_commit(store, &own);
        if (!done) {
            if (kept == 0) {
                *problem = own; /* the first is what matters: others may follow from it */
            }
            trouble = trouble || !store_refused_record(store);
            batch->effect[kept++] = batch->effect[i];
        }
    }
    batch->effect_count = kept;
    if (trouble) {
        return false;
    }
    if (!store_begin(store, &own) || !write_samples(batch, store, &own) ||
        !store_commit(store, &own)) {
        *problem = kept == 0 ? own : *problem;
        return false;
    }
    samples_are_stored(batch);
    return kept == 0;
}

bool batch_is_bare(const struct recorder_batch *batch)
{
    return !batch->has_content && batch->sample_count == 0 && batch->sample_stored == 0;
}

bool batch_write(struct recorder_batch *batch, struct store *store, struct problem *problem)
{
    struct problem own = {0};
    if (!batch->has_session || batch_is_bare(batch) ||
        (batch->effect_count == 0 && batch->sample_count == 0)) {
        return true;
    }
    if (write_whole(batch, store, &own)) {
        return true;
    }
    bool done = store_refused_record(store) && write_piecemeal(batch, store, &own);
    if (!done && problem != NULL) {
        *problem = own;
    }
    return done;
}
