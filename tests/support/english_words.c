/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/english_words.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#define AROUND 150 /* bytes of what is told of the place */

/* The commonest, and the papers' own. */
static const char *const english[] = {
    "the",  "of",     "and",    "with",     "is",     "it",     "to",    "not",    "for",
    "than", "that",   "from",   "by",       "you",    "your",   "this",  "there",  "on",
    "or",   "as",     "are",    "were",     "has",    "which",  "its",   "but",    "at",
    "be",   "can",    "what",   "setup",    "setups", "hold",   "holds", "lower",  "higher",
    "head", "chest",  "pads",   "week",     "page",   "bike",   "yes",   "no",     "none",
    "more", "rider",  "saddle", "compared", "effort", "visits", "visit", "chosen", "found",
    "runs", "course", "drag",   "spacers",  "stem",   "tied",
};

static bool is_english(const char *word)
{
    for (size_t i = 0; i < sizeof english / sizeof english[0]; i++) {
        if (strcmp(word, english[i]) == 0) {
            return true;
        }
    }
    return false;
}

bool english_words_find(const char *html, char *where, size_t size)
{
    const char *style = strstr(html, "</style>");
    const char *begin = style != NULL ? style : html;
    bool inside = style != NULL;
    char word[64];
    size_t length = 0;
    for (const char *at = begin; *at != '\0'; at++) {
        unsigned char byte = (unsigned char)*at;
        inside = byte == '<' || (inside && (at == begin || at[-1] != '>'));
        bool letter = isalpha(byte) || (byte & 0x80) != 0; /* umlauts belong to the word */
        if (!inside && letter && length < sizeof word - 1) {
            word[length++] = (char)tolower(byte);
            continue;
        }
        word[length] = '\0';
        if (length > 0 && is_english(word)) {
            int before = at - begin > AROUND ? AROUND : (int)(at - begin);
            snprintf(where, size, "'%s' in: %.*s", word, before + 20, at - before);
            return true;
        }
        length = 0;
    }
    return false;
}
