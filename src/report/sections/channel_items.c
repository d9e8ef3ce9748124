/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "channel_items.h"

#include "base/text.h"

void channel_items_write(struct paper *paper, const struct channel_items *items,
                         const char *between)
{
    bool told[CHANNELS_MAX] = {false};
    for (int i = 0; i < items->count; i++) {
        char names[SAY_SIZE] = "";
        size_t used = 0;
        if (told[i] || items->text[i][0] == '\0') {
            continue;
        }
        for (int k = i; k < items->count; k++) {
            if (text_equal(items->text[i], items->text[k])) {
                told[k] = true;
                text_append(names, sizeof names, &used, "%s%s", used > 0 ? ", " : "",
                            items->name[k]);
            }
        }
        paper_item(paper, "%s%s%s", names, between, items->text[i]);
    }
}
