/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_RING_H
#define HOLDLINE_BASE_RING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* One writer thread, one reader thread, elements of one size, C11 acquire/release. A full ring
 * refuses the element and counts it: nothing is overwritten. One ring for each reader of a stream.
 */
struct ring;

/* capacity is rounded up to a power of two; of a large ring (1 MiB) some pages less can wait, and
 * what does not wait takes no memory. NULL when there is no memory. The creator destroys it after
 * both threads have ended. */
struct ring *ring_create(size_t capacity, size_t element_size);
void ring_destroy(struct ring *ring);

bool ring_push(struct ring *ring, const void *element);          /* writer; false = full, counted */
size_t ring_pop(struct ring *ring, void *elements, size_t most); /* reader; number taken */
size_t ring_waiting(const struct ring *ring);                    /* either */
size_t ring_space(const struct ring *ring);                      /* either */
uint64_t ring_refused(const struct ring *ring);                  /* either */

#endif
