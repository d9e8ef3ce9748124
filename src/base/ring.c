/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/ring.h"

#include <stdalign.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

/* Positions count up for ever and are masked on use, so that full and empty differ. Each side's
 * position has its own cache line. Unsigned wrap-around is harmless since the capacity is a power
 * of two. */
#define CACHE_LINE 64

/* A large ring has room for the worst; of that only what waits shall take memory. What was taken is
 * given back some whole pages of the machine at a time, before the writer may have it again. */
#define GIVES_BACK ((size_t)65536)        /* bytes; a page at least */
#define GIVES_BACK_FROM (16 * GIVES_BACK) /* of all elements */

struct ring {
    alignas(CACHE_LINE) atomic_size_t written;
    alignas(CACHE_LINE) atomic_size_t taken;
    alignas(CACHE_LINE) atomic_size_t freed; /* taken, and the writer's again */
    alignas(CACHE_LINE) _Atomic uint64_t refused;
    alignas(CACHE_LINE) size_t mask;
    size_t element_size, page; /* bytes */
    unsigned char *elements;
};

struct ring *ring_create(size_t capacity, size_t element_size)
{
    size_t rounded = 1;
    while (rounded < capacity && rounded <= SIZE_MAX / 4) {
        rounded *= 2;
    }
    size_t page = (size_t)sysconf(_SC_PAGESIZE);
    if (rounded < capacity || element_size == 0 || rounded > (SIZE_MAX - page) / element_size) {
        return NULL;
    }
    struct ring *ring = aligned_alloc(CACHE_LINE, sizeof *ring);
    size_t pages = (rounded * element_size + page - 1) / page;
    unsigned char *elements = aligned_alloc(page, pages * page);
    if (ring == NULL || elements == NULL) {
        free(ring);
        free(elements);
        return NULL;
    }
    atomic_init(&ring->written, 0);
    atomic_init(&ring->taken, 0);
    atomic_init(&ring->freed, 0);
    atomic_init(&ring->refused, 0);
    ring->mask = rounded - 1;
    ring->element_size = element_size;
    ring->page = page;
    ring->elements = elements;
    return ring;
}

void ring_destroy(struct ring *ring)
{
    if (ring != NULL) {
        free(ring->elements);
        free(ring);
    }
}

bool ring_push(struct ring *ring, const void *element)
{
    size_t written = atomic_load_explicit(&ring->written, memory_order_relaxed);
    size_t freed = atomic_load_explicit(&ring->freed, memory_order_acquire);
    if (written - freed > ring->mask) {
        atomic_fetch_add_explicit(&ring->refused, 1, memory_order_relaxed);
        return false;
    }
    memcpy(ring->elements + (written & ring->mask) * ring->element_size, element,
           ring->element_size);
    atomic_store_explicit(&ring->written, written + 1, memory_order_release);
    return true;
}

/* The whole pages between what the writer has again and taken. Elements lie across pages: the one
 * in which the last page given back ends is not the writer's yet. */
static void give_back(struct ring *ring, size_t taken)
{
    size_t freed = atomic_load_explicit(&ring->freed, memory_order_relaxed);
    size_t size = ring->element_size, page = ring->page, bytes = (ring->mask + 1) * size;
    if (bytes < GIVES_BACK_FROM || bytes % page != 0) {
        atomic_store_explicit(&ring->freed, taken, memory_order_release);
        return;
    }
    size_t least = page < GIVES_BACK ? GIVES_BACK / page : 1;
    size_t lap = freed & ~ring->mask, all = bytes / page;
    size_t from = ((freed - lap) * size + page - 1) / page, to = (taken - lap) * size / page;
    if (to < from + least) {
        return;
    }
    size_t here = to < all ? to : all; /* the rest is on the next lap */
    madvise(ring->elements + from * page, (here - from) * page, MADV_DONTNEED);
    if (to > here) {
        madvise(ring->elements, (to - here) * page, MADV_DONTNEED);
    }
    atomic_store_explicit(&ring->freed, lap + to * page / size, memory_order_release);
}

size_t ring_pop(struct ring *ring, void *elements, size_t most)
{
    size_t taken = atomic_load_explicit(&ring->taken, memory_order_relaxed);
    size_t written = atomic_load_explicit(&ring->written, memory_order_acquire);
    size_t count = written - taken < most ? written - taken : most;
    size_t place = taken & ring->mask;
    size_t to_end = ring->mask + 1 - place;
    size_t first = count < to_end ? count : to_end;
    if (count == 0) {
        return 0;
    }
    memcpy(elements, ring->elements + place * ring->element_size, first * ring->element_size);
    memcpy((unsigned char *)elements + first * ring->element_size, ring->elements,
           (count - first) * ring->element_size);
    atomic_store_explicit(&ring->taken, taken + count, memory_order_release);
    give_back(ring, taken + count);
    return count;
}

size_t ring_waiting(const struct ring *ring)
{
    /* Taken first: it never passes what is then read as written. */
    size_t taken = atomic_load_explicit(&ring->taken, memory_order_acquire);
    size_t written = atomic_load_explicit(&ring->written, memory_order_acquire);
    size_t waiting = written - taken;
    return waiting > ring->mask + 1 ? ring->mask + 1 : waiting;
}

size_t ring_space(const struct ring *ring)
{
    size_t freed = atomic_load_explicit(&ring->freed, memory_order_acquire);
    size_t written = atomic_load_explicit(&ring->written, memory_order_acquire);
    return written - freed > ring->mask + 1 ? 0 : ring->mask + 1 - (written - freed);
}

uint64_t ring_refused(const struct ring *ring)
{
    return atomic_load_explicit(&ring->refused, memory_order_relaxed);
}
