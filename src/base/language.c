/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/language.h"

#include "base/text.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

/* A compiled catalogue of gettext (GNU gettext manual, 'The Format of GNU MO Files'): words of 32
 * bits, the lowest byte first, as msgfmt writes them everywhere. The English texts are sorted; a
 * plural's forms stand one behind the other, a context before its text and a 4. */
#define MAGIC 0x950412deU
#define HEADER_SIZE 28
#define ENTRY_SIZE 8 /* length, offset */
#define KEY_SIZE 1024

const struct language language_english = {"en", NULL, NULL};

static _Thread_local const struct language *entered;

struct index {
    const unsigned char *bytes;
    uint32_t count, english, translated; /* offsets of the two tables */
};

static uint32_t word_at(const unsigned char *bytes, size_t offset)
{
    const unsigned char *at = bytes + offset;
    return (uint32_t)at[0] | (uint32_t)at[1] << 8 | (uint32_t)at[2] << 16 | (uint32_t)at[3] << 24;
}

static struct index index_of(const struct language *language)
{
    const unsigned char *bytes = language->catalogue;
    return (struct index){bytes, word_at(bytes, 8), word_at(bytes, 12), word_at(bytes, 16)};
}

static size_t size_of(const struct language *language)
{
    return (size_t)(language->end - language->catalogue);
}

static bool table_sound(const struct language *language, uint32_t table, uint32_t count)
{
    const size_t size = size_of(language);
    if (table > size || count > (size - table) / ENTRY_SIZE) {
        return false;
    }
    for (uint32_t i = 0; i < count; i++) {
        uint32_t length = word_at(language->catalogue, table + (size_t)i * ENTRY_SIZE);
        uint32_t offset = word_at(language->catalogue, table + (size_t)i * ENTRY_SIZE + 4);
        if (offset >= size || length >= size - offset ||
            language->catalogue[offset + length] != '\0') {
            return false;
        }
    }
    return true;
}

bool language_sound(const struct language *language)
{
    if (language->catalogue == NULL) {
        return true;
    }
    if (size_of(language) < HEADER_SIZE || word_at(language->catalogue, 0) != MAGIC) {
        return false;
    }
    struct index index = index_of(language);
    return table_sound(language, index.english, index.count) &&
           table_sound(language, index.translated, index.count);
}

const struct language *language_now(void)
{
    return entered != NULL ? entered : &language_english;
}

const struct language *language_enter(const struct language *language)
{
    const struct language *before = language_now();
    entered = language;
    return before;
}

static const char *text_at(const struct index *index, uint32_t table, uint32_t entry)
{
    return (const char *)index->bytes +
           word_at(index->bytes, table + (size_t)entry * ENTRY_SIZE + 4);
}

/* The translation's first form, NULL where there is none. of_plural: the key must have two. */
static const char *find(const char *key, bool of_plural)
{
    const struct language *language = language_now();
    if (language->catalogue == NULL || key[0] == '\0') { /* "" is the catalogue's own head */
        return NULL;
    }
    struct index index = index_of(language);
    uint32_t low = 0, high = index.count;
    while (low < high) {
        uint32_t middle = low + (high - low) / 2;
        const char *english = text_at(&index, index.english, middle);
        int order = strcmp(key, english);
        if (order == 0) {
            uint32_t whole = word_at(index.bytes, index.english + (size_t)middle * ENTRY_SIZE);
            bool plural = whole > strlen(english);
            return plural == of_plural ? text_at(&index, index.translated, middle) : NULL;
        }
        low = order > 0 ? middle + 1 : low;
        high = order > 0 ? high : middle;
    }
    return NULL;
}

const char *language_text(const char *english)
{
    const char *found = find(english, false);
    return found != NULL ? found : english;
}

const char *language_text_of(const char *context, const char *english)
{
    char key[KEY_SIZE];
    size_t used = 0;
    text_append(key, sizeof key, &used, "%s\004%s", context, english);
    const char *found = find(key, false);
    return found != NULL ? found : english;
}

const char *language_counted(const char *one, const char *many, long count)
{
    const char *found = find(one, true);
    if (found != NULL) {
        return count == 1 ? found : found + strlen(found) + 1;
    }
    return count == 1 ? one : many;
}
