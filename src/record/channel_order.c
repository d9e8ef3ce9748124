/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/channel_order.h"

#include "base/text.h"
#include "record/stored_sum.h"

#include <assert.h>
#include <string.h>

#define VALUE_MOST 16 /* bytes of a field; none of a channel's is a text */

bool channel_order_is_same(const struct channel_order *order)
{
    bool same = true;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        same = same && order->place[c] == c;
    }
    return same;
}

static bool is_channel(const struct stored_field *field)
{
    return field->type == STORED_PLACE && field->of == TABLE_SESSION &&
           text_equal(field->key, "channel");
}

/* A field that says which channel the row is of. */
static bool move_number(const struct channel_order *order, const struct stored_field *field,
                        char *record, int index)
{
    int *channel = (int *)(void *)(record + field->offset + (size_t)index * field->stride);
    if (!is_channel(field) || *channel < 0 || *channel >= CHANNELS_MAX) {
        return false;
    }
    bool moves = order->place[*channel] != *channel;
    *channel = order->place[*channel];
    return moves;
}

/* A field of which there is one for each channel. */
static bool move_values(const struct channel_order *order, const struct stored_field *field,
                        char *record)
{
    char value[CHANNELS_MAX][VALUE_MOST];
    bool moved = false;
    assert(field->size <= VALUE_MOST);
    for (int c = 0; c < CHANNELS_MAX; c++) {
        memcpy(value[c], record + field->offset + (size_t)c * field->stride, field->size);
    }
    for (int c = 0; c < CHANNELS_MAX; c++) {
        char *to = record + field->offset + (size_t)order->place[c] * field->stride;
        moved = moved || memcmp(to, value[c], field->size) != 0;
        memcpy(to, value[c], field->size);
    }
    return moved;
}

static bool is_in_struct(const struct stored_field *field)
{
    return field->type != STORED_GIVEN && field->type != STORED_KEPT;
}

bool channel_order_apply(const struct channel_order *order, enum stored_table_id table,
                         void *record)
{
    const struct stored_table *own = stored_tables[table];
    bool changed = false;
    for (int f = 0; f < own->field_count; f++) {
        changed = move_number(order, &own->field[f], record, 0) || changed;
    }
    for (int id = 0; id < STORED_TABLES; id++) {
        const struct stored_table *owned = stored_tables[id];
        if (owned->shape != SHAPE_OWNED || owned->owner != table || id == TABLE_CHANNEL) {
            continue;
        }
        bool by_channel = is_channel(&owned->key[owned->key_count - 1]);
        int rows = by_channel ? 0 : stored_owned_count(owned, record);
        for (int f = 0; f < owned->field_count; f++) {
            if (by_channel && is_in_struct(&owned->field[f])) {
                changed = move_values(order, &owned->field[f], record) || changed;
            }
            for (int i = 0; i < rows; i++) {
                changed = move_number(order, &owned->field[f], record, i) || changed;
            }
        }
    }
    return changed;
}
