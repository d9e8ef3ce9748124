/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_MEMORY_H
#define HOLDLINE_SESSION_MEMORY_H

#include "rig/sample.h"

#include <stddef.h>

/* The samples that the live session keeps: the last SAMPLE_MEMORY_S seconds, and whatever was
 * pinned (the stretches of captures). In blocks that are used again; a new block is made only when
 * more is pinned. */
#define SAMPLE_MEMORY_S 75.0

struct sample_memory;

struct sample_memory *memory_create(void); /* NULL without memory */
void memory_destroy(struct sample_memory *memory);

/* False when there is no memory for a block: the sample is not kept here (the recorder has it). */
bool memory_add(struct sample_memory *memory, const struct sample *sample);

/* From this sample on everything is kept until memory_pin_end, for good. */
void memory_pin_begin(struct sample_memory *memory, int64_t first);
void memory_pin_end(struct sample_memory *memory, int64_t last);

/* Samples first..last in one array, valid until the next call. False when some are gone. */
bool memory_samples(struct sample_memory *memory, int64_t first, int64_t last,
                    const struct sample **samples, size_t *count);

/* Reads what is pinned by now, from another thread too, while samples go on coming: blocks that are
 * pinned stay as they are. The memory must be there as long. NULL without memory. */
struct memory_reader;
struct memory_reader *memory_reader_create(const struct sample_memory *memory);
void memory_reader_destroy(struct memory_reader *reader); /* NULL is allowed */
/* As memory_samples, of the pinned ones. */
bool memory_reader_samples(struct memory_reader *reader, int64_t first, int64_t last,
                           const struct sample **samples, size_t *count);

/* Number of the first sample kept whose time is at or after time_us, or 0. */
int64_t memory_first_since(struct sample_memory *memory, int64_t time_us);

#endif
