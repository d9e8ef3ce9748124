/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/languages.h"

#include "base/text.h"

/* What msgfmt made of de.po, as bytes (Makefile). */
static const unsigned char german[] = {
#include "de.mo.h"
};

static const struct language *const languages[] = {
    &language_english,
    &(const struct language){"de", german, german + sizeof german},
};
#define LANGUAGES (sizeof languages / sizeof languages[0])

const struct language *languages_find(const char *code)
{
    for (size_t i = 0; i < LANGUAGES; i++) {
        if (text_equal(code, languages[i]->code)) {
            return languages[i];
        }
    }
    return NULL;
}

void languages_list(char *text, size_t size)
{
    size_t used = 0;
    text_copy(text, size, "");
    for (size_t i = 0; i < LANGUAGES; i++) {
        text_append(text, size, &used, "%s%s", i > 0 ? ", " : "", languages[i]->code);
    }
}
