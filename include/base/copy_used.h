/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_COPY_USED_H
#define HOLDLINE_BASE_COPY_USED_H

#include <stddef.h>

/* Copies of large structs whose arrays are mostly empty. */

/* An array within a struct: where, its size, and how much of it is in use, in bytes. */
struct used_array {
    size_t offset, size, used;
};
#define USED_ARRAY(type, member, places)                                                           \
    {                                                                                              \
        offsetof(type, member), sizeof((type *)0)->member,                                         \
            (size_t)(places) * sizeof((type *)0)->member[0]                                        \
    }

/* Copies a struct of so many bytes without the places of these arrays that are not in use; all that
 * is in no row of the list is copied. The rows stand in the order of the struct's members. */
void copy_used(void *to, const void *from, size_t size, const struct used_array *arrays, int count);

#endif
