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

/* A stretch of samples in the order of their numbers. */
struct stretch {
    const struct sample *sample;
    size_t count;
};

struct gathered {
    struct sample *sample; /* first to last */
    int64_t first, last;
    size_t found;
};

/* Room for first..last; false where there is none, or nothing is asked for. */
static bool gather_begin(struct gathered *gathered, struct sample **scratch, size_t *scratch_size,
                         int64_t first, int64_t last)
{
    size_t wanted = last < first || first < 1 ? 0 : (size_t)(last - first + 1);
    if (wanted > *scratch_size) {
        struct sample *larger = realloc(*scratch, wanted * sizeof *larger);
        if (larger == NULL) {
            return false;
        }
        *scratch = larger;
        *scratch_size = wanted;
    }
    *gathered = (struct gathered){*scratch, first, last, 0};
    return wanted > 0;
}

static void gather(struct gathered *gathered, struct stretch stretch)
{
    int64_t stretch_first = stretch.count > 0 ? stretch.sample[0].number : 0;
    int64_t stretch_last = stretch_first + (int64_t)stretch.count - 1;
    if (stretch.count == 0 || stretch_last < gathered->first || stretch_first > gathered->last) {
        return;
    }
    int64_t from = gathered->first > stretch_first ? gathered->first : stretch_first;
    int64_t to = gathered->last < stretch_last ? gathered->last : stretch_last;
    memcpy(gathered->sample + (from - gathered->first), stretch.sample + (from - stretch_first),
           (size_t)(to - from + 1) * sizeof(struct sample));
    gathered->found += (size_t)(to - from + 1);
}

/* False where some are gone. */
static bool gather_end(const struct gathered *gathered, const struct sample **samples,
                       size_t *count)
{
    *samples = gathered->sample;
    *count = gathered->found;
    return gathered->found == (size_t)(gathered->last - gathered->first + 1);
}

bool memory_samples(struct sample_memory *memory, int64_t first, int64_t last,
                    const struct sample **samples, size_t *count)
{
    struct gathered gathered;
    if (!gather_begin(&gathered, &memory->scratch, &memory->scratch_size, first, last)) {
        return false;
    }
    for (size_t i = 0; i < memory->count; i++) {
        gather(&gathered, (struct stretch){memory->block[i]->sample, memory->block[i]->count});
    }
    return gather_end(&gathered, samples, count);
}

struct memory_reader {
    struct stretch *stretch;
    size_t count;
    struct sample *scratch;
    size_t scratch_size;
};

struct memory_reader *memory_reader_create(const struct sample_memory *memory)
{
    struct memory_reader *reader = calloc(1, sizeof *reader);
    if (reader == NULL) {
        return NULL;
    }
    reader->stretch = calloc(memory->count + 1, sizeof *reader->stretch);
    for (size_t i = 0; reader->stretch != NULL && i < memory->count; i++) {
        const struct block *block = memory->block[i];
        if (block->pinned) {
            reader->stretch[reader->count++] = (struct stretch){block->sample, block->count};
        }
    }
    if (reader->stretch == NULL) {
        memory_reader_destroy(reader);
        return NULL;
    }
    return reader;
}

void memory_reader_destroy(struct memory_reader *reader)
{
    if (reader != NULL) {
        free(reader->stretch);
        free(reader->scratch);
        free(reader);
    }
}

bool memory_reader_samples(struct memory_reader *reader, int64_t first, int64_t last,
                           const struct sample **samples, size_t *count)
{
    struct gathered gathered;
    if (!gather_begin(&gathered, &reader->scratch, &reader->scratch_size, first, last)) {
        return false;
    }
    for (size_t i = 0; i < reader->count; i++) {
        gather(&gathered, reader->stretch[i]);
    }
    return gather_end(&gathered, samples, count);
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
