/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_WORD_LIST_H
#define HOLDLINE_BASE_WORD_LIST_H

#include <stddef.h>
#include <stdint.h>

/* The words of an enumeration, in the order of its values: the one place they stand, for files,
 * commands and screens alike. */
struct word_list {
    int first; /* value of the first word */
    int count;
    const char *const *word; /* NULL where the value is 'not known' */
};

/* Defines list with its words; first is 0 but for those that say otherwise. */
#define WORD_LIST_FROM(list, from, ...)                                                            \
    static const char *const list##_of[] = {__VA_ARGS__};                                          \
    const struct word_list list = {from, (int)(sizeof list##_of / sizeof list##_of[0]), list##_of}
#define WORD_LIST(list, ...) WORD_LIST_FROM(list, 0, __VA_ARGS__)

/* NULL where the value has none. */
const char *word_of(const struct word_list *list, int64_t value);
/* The value with this word; otherwise where there is none, or text is NULL. */
int word_find(const struct word_list *list, const char *text, int otherwise);
/* 'yes, strained, no': for the sentence that refuses another. */
void word_list_text(char *text, size_t size, const struct word_list *list);

#endif
