/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/word_list.h"

#include "base/text.h"

const char *word_of(const struct word_list *list, int64_t value)
{
    int64_t index = value - list->first;
    return index >= 0 && index < list->count ? list->word[index] : NULL;
}

int word_find(const struct word_list *list, const char *text, int otherwise)
{
    for (int i = 0; text != NULL && i < list->count; i++) {
        if (list->word[i] != NULL && text_equal(list->word[i], text)) {
            return list->first + i;
        }
    }
    return otherwise;
}

void word_list_text(char *text, size_t size, const struct word_list *list)
{
    size_t used = 0;
    text_copy(text, size, "");
    for (int i = 0; i < list->count; i++) {
        if (list->word[i] != NULL) {
            text_append(text, size, &used, used == 0 ? "%s" : ", %s", list->word[i]);
        }
    }
}
