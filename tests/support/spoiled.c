/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/spoiled.h"

#include "record/stored.h"

#include <string.h>

void spoil_behind(struct session_record *record)
{
    for (int id = 0; id < STORED_TABLES; id++) {
        const struct stored_table *table = stored_tables[id];
        char *at = (char *)record;
        if (table->shape != SHAPE_RECORD || id == TABLE_COMMAND) {
            continue;
        }
        int count = *(int *)(void *)(at + table->count_offset);
        if (count < table->most) {
            memset(at + table->offset + (size_t)count * table->size, 0x5A, table->size);
        }
    }
}
