/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_MEMBER_H
#define HOLDLINE_BASE_MEMBER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A member of a plain struct as a row of a table names it: where it is and what. The kind follows
 * from the declaration, so that a row cannot be wrong about it. */
enum member_kind {
    MEMBER_NUMBER,   /* double */
    MEMBER_SIGNED,   /* int, int64_t */
    MEMBER_UNSIGNED, /* size_t, uint64_t */
    MEMBER_YES,      /* bool */
    MEMBER_ARRAY,    /* char[] */
    MEMBER_TEXT,     /* const char *; NULL is "" */
};
struct member {
    enum member_kind kind;
    size_t offset, size;
};

/* clang-format off */
#define MEMBER(type, name)                                                                         \
    {                                                                                              \
        _Generic(((type *)0)->name,                                                                \
            double: MEMBER_NUMBER,                                                                 \
            bool: MEMBER_YES,                                                                      \
            int: MEMBER_SIGNED, long: MEMBER_SIGNED, long long: MEMBER_SIGNED,                     \
            unsigned: MEMBER_UNSIGNED, unsigned long: MEMBER_UNSIGNED,                             \
            unsigned long long: MEMBER_UNSIGNED,                                                   \
            char *: MEMBER_ARRAY,                                                                  \
            const char *: MEMBER_TEXT),                                                            \
        offsetof(type, name), sizeof(((type *)0)->name)                                            \
    }
/* clang-format on */

/* Of the struct at of; each only for its own kinds. */
double member_number(struct member member, const void *of);
int64_t member_integer(struct member member, const void *of); /* signed and unsigned */
bool member_yes(struct member member, const void *of);
const char *member_text(struct member member, const void *of); /* array and text */

#endif
