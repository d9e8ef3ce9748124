/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/phrase.h"

#include "base/text.h"

#include <string.h>

static const char *value_of(const struct phrase_value *values, const char *name, size_t length)
{
    for (; values->name != NULL; values++) {
        if (strlen(values->name) == length && memcmp(values->name, name, length) == 0) {
            return values->text;
        }
    }
    return NULL;
}

void phrase_fill(char *text, size_t size, const char *phrase, const struct phrase_value *values)
{
    size_t used = 0;
    text_copy(text, size, "");
    while (*phrase != '\0') {
        size_t plain = strcspn(phrase, "{");
        text_append(text, size, &used, "%.*s", (int)plain, phrase);
        phrase += plain;
        size_t length = strcspn(phrase, "}");
        if (*phrase == '\0') {
            break;
        }
        const char *value = value_of(values, phrase + 1, length - 1);
        if (value != NULL) {
            text_append(text, size, &used, "%s", value);
        } else {
            text_append(text, size, &used, "%.*s}", (int)length, phrase);
        }
        phrase += length + (phrase[length] == '}' ? 1 : 0);
    }
}
