/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_ENGLISH_WORDS_H
#define HOLDLINE_TESTS_SUPPORT_ENGLISH_WORDS_H

#include <stdbool.h>
#include <stddef.h>

/* Does a reader of this page see a word that is English and not German: 'the', 'of', 'hold'? Marks
 * and style are not seen. Then the place in where. */
bool english_words_find(const char *html, char *where, size_t size);

#endif
