/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/scarce_memory.h"

#include "support/sanitized.h"

#include <errno.h>
#include <stddef.h>
#include <stdlib.h>

#if !defined(SANITIZED) && defined(__GLIBC__)
#define OWN_MEMORY 1
#else
#define OWN_MEMORY 0
#endif

static long wanted, calls, blocks;
static bool failed;

bool scarce_memory_is_here(void)
{
    return OWN_MEMORY != 0;
}

void scarce_memory_begin(long number)
{
    calls = 0;
    failed = false;
    wanted = number;
}

bool scarce_memory_end(void)
{
    wanted = 0;
    return failed;
}

long scarce_memory_blocks(void)
{
    return blocks;
}

#if OWN_MEMORY
/* glibc's own, which nothing stands before. */
void *__libc_malloc(size_t size);                     /* NOLINT */
void *__libc_calloc(size_t count, size_t size);       /* NOLINT */
void *__libc_realloc(void *old, size_t size);         /* NOLINT */
void *__libc_memalign(size_t alignment, size_t size); /* NOLINT */
void __libc_free(void *memory);                       /* NOLINT */

static bool fails(void)
{
    bool now = wanted > 0 && ++calls == wanted;
    failed = failed || now;
    errno = now ? ENOMEM : errno;
    return now;
}

static void *taken(void *memory)
{
    blocks += memory != NULL;
    return memory;
}

void *malloc(size_t size)
{
    return fails() ? NULL : taken(__libc_malloc(size));
}

void *calloc(size_t count, size_t size)
{
    return fails() ? NULL : taken(__libc_calloc(count, size));
}

void *realloc(void *old, size_t size)
{
    if (fails()) {
        return NULL;
    }
    void *memory = __libc_realloc(old, size);
    blocks += memory != NULL && old == NULL;
    return memory;
}

void *aligned_alloc(size_t alignment, size_t size)
{
    return fails() ? NULL : taken(__libc_memalign(alignment, size));
}

void free(void *memory)
{
    blocks -= memory != NULL;
    __libc_free(memory);
}
#endif
