/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/memory.h"

#include <malloc.h>

/* Of the process, as its memory is. */
static long lacks;

void memory_note_lack(void)
{
    __atomic_fetch_add(&lacks, 1, __ATOMIC_ACQ_REL);
}

long memory_lacks(void)
{
    return __atomic_load_n(&lacks, __ATOMIC_ACQUIRE);
}

bool memory_sufficed(long lacks_before, struct problem *problem)
{
    return memory_lacks() == lacks_before ||
           problem_set(problem, "there was no memory for all of it: close other programs and try "
                                "again");
}

#define LARGE_BYTES (512 * 1024)

void memory_large_apart(void)
{
    mallopt(M_MMAP_THRESHOLD, LARGE_BYTES);
}

void memory_give_back(void)
{
    malloc_trim(0);
}
