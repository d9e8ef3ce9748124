/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/copy_used.h"

#include <string.h>

void copy_used(void *to, const void *from, size_t size, const struct used_array *arrays, int count)
{
    size_t at = 0;
    for (int i = 0; i < count; i++) {
        size_t end = arrays[i].offset + arrays[i].used;
        memcpy((char *)to + at, (const char *)from + at, end - at);
        at = arrays[i].offset + arrays[i].size;
    }
    memcpy((char *)to + at, (const char *)from + at, size - at);
}
