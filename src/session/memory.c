/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "session/memory.h"

#include <stdlib.h>
#include <string.h>

#define BLOCK_SAMPLES 512

struct block {
    size_t count;
    bool pinned;
    struct sample sample[BLOCK_SAMPLES];
};

struct sample_memory {
    struct block **block; /* in the order of time */
    size_t count, capacity;
    struct block *spare;
    bool pinning;
    int64_t pin_first;
    struct sample *scratch;
    size_t scratch_size;
};

struct sample_memory *memory_create(void)
{
    return calloc(1, sizeof(struct sample_memory));
}

void memory_destroy(struct sample_memory *memory)
{
    if (memory == NULL) {
        return;
    }
    for (size_t i = 0; i < memory->count; i++) {
        free(memory->block[i]);
    }
    free(memory->block);
    free(memory->spare);
    free(memory->scratch);
    free(memory);
}

/* Takes a block's place out of the list when nothing of it is wanted any more. */
static void drop_old(struct sample_memory *memory, int64_t now_us)
{
    int64_t oldest_us = now_us - (int64_t)(SAMPLE_MEMORY_S * 1e6);
    size_t kept = 0;
    for (size_t i = 0; i < memory->count; i++) {
        struct block *block = memory->block[i];
        const struct sample *last = &block->sample[block->count - 1];
        bool wanted = block->pinned || last->time_us >= oldest_us ||
                      (memory->pinning && last->number >= memory->pin_first);
        if (wanted) {
            memory->block[kept++] = block;
        } else if (memory->spare == NULL) {
            memory->spare = block;
        } else {
            free(block);
        }
    }
    memory->count = kept;
}

static struct block *add_block(struct sample_memory *memory)
{
    if (memory->count == memory->capacity) {
        size_t capacity = memory->capacity == 0 ? 64 : memory->capacity * 2;
        struct block **larger = realloc(memory->block, capacity * sizeof *larger);
        if (larger == NULL) {
            return NULL;
        }
        memory->block = larger;
        memory->capacity = capacity;
    }
    struct block *block = memory->spare != NULL ? memory->spare : malloc(sizeof *block);
    if (block == NULL) {
        return NULL;
    }
    memory->spare = NULL;
    block->count = 0;
    block->pinned = false;
    memory->block[memory->count++] = block;
    return block;
}

bool memory_add(struct sample_memory *memory, const struct sample *sample)
{
    struct block *block = memory->count > 0 ? memory->block[memory->count - 1] : NULL;
    if (block == NULL || block->count == BLOCK_SAMPLES) {
        drop_old(memory, sample->time_us);
        block = add_block(memory);
        if (block == NULL) {
            return false;
        }
    }
    block->sample[block->count++] = *sample;
    return true;
}

void memory_pin_begin(struct sample_memory *memory, int64_t first)
{
    memory->pinning = true;
    memory->pin_first = first;
}

void memory_pin_end(struct sample_memory *memory, int64_t last)
{
    for (size_t i = 0; memory->pinning && i < memory->count; i++) {
        struct block *block = memory->block[i];
        if (block->count > 0 && block->sample[0].number <= last &&
            block->sample[block->count - 1].number >= memory->pin_first) {
            block->pinned = true;
        }
    }
    memory->pinning = false;
}

void memory_pin_cancel(struct sample_memory *memory)
{
    memory->pinning = false;
}

bool memory_samples(struct sample_memory *memory, int64_t first, int64_t last,
                    const struct sample **samples, size_t *count)
{
    if (first < 1 || last < first) {
        return false;
    }
    size_t wanted = (size_t)(last - first + 1), found = 0;
    if (wanted > memory->scratch_size) {
        struct sample *larger = realloc(memory->scratch, wanted * sizeof *larger);
        if (larger == NULL) {
            return false;
        }
        memory->scratch = larger;
        memory->scratch_size = wanted;
    }
    for (size_t i = 0; i < memory->count; i++) {
        const struct block *block = memory->block[i];
        int64_t block_first = block->sample[0].number;
        int64_t block_last = block_first + (int64_t)block->count - 1;
        if (block->count == 0 || block_last < first || block_first > last) {
            continue;
        }
        int64_t from = first > block_first ? first : block_first;
        int64_t to = last < block_last ? last : block_last;
        memcpy(memory->scratch + (from - first), block->sample + (from - block_first),
               (size_t)(to - from + 1) * sizeof(struct sample));
        found += (size_t)(to - from + 1);
    }
    if (found != wanted) {
        return false;
    }
    *samples = memory->scratch;
    *count = wanted;
    return true;
}

int64_t memory_first_since(struct sample_memory *memory, int64_t time_us)
{
    for (size_t i = 0; i < memory->count; i++) {
        const struct block *block = memory->block[i];
        if (block->count == 0 || block->sample[block->count - 1].time_us < time_us) {
            continue;
        }
        for (size_t j = 0; j < block->count; j++) {
            if (block->sample[j].time_us >= time_us) {
                return block->sample[j].number;
            }
        }
    }
    return 0;
}
