/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/stored_sum.h"

#include "base/fnv.h"

#include <math.h>
#include <string.h>

#define MIX UINT64_C(0x9e3779b97f4a7c15)

int stored_owned_count(const struct stored_table *table, const void *owner)
{
    if (!table->counted) {
        return table->most;
    }
    int count = *(const int *)(const void *)((const char *)owner + table->count_offset);
    return count < table->most ? count : table->most;
}

/* Has it a number, and all that it must have? */
bool stored_owned_is_kept(const struct stored_table *table, const void *owner, int index)
{
    bool any = false;
    for (int i = 0; table->sparse && i < table->field_count; i++) {
        const struct stored_field *field = &table->field[i];
        if (field->type == STORED_REAL) {
            double value = NAN;
            memcpy(&value, (const char *)owner + field->offset + (size_t)index * field->stride,
                   sizeof value);
            any = any || isfinite(value);
            if (!isfinite(value) && !field->optional) {
                return false;
            }
        }
    }
    return any || !table->sparse;
}

static uint64_t add_real(uint64_t sum, double value)
{
    uint64_t bits = 0;
    memcpy(&bits, &value, sizeof bits);
    return fnv_add_whole(sum, bits);
}

static uint64_t add_fields(uint64_t sum, const struct stored_table *table, const void *of,
                           int index)
{
    for (int i = 0; i < table->field_count; i++) {
        const struct stored_field *field = &table->field[i];
        struct stored_value value;
        if (field->type == STORED_KEPT || field->type == STORED_GIVEN) {
            continue;
        }
        stored_value(field, of, index, &value);
        bool none = value.is == STORED_NOTHING ||
                    (value.is == STORED_IS_INTEGER && value.integer == 0) ||
                    (value.is == STORED_IS_REAL && value.real == 0.0);
        if (none) {
            continue;
        }
        sum = fnv_add(sum, field->key, strlen(field->key) + 1);
        sum = value.is == STORED_IS_TEXT   ? fnv_add(sum, value.text, strlen(value.text) + 1)
              : value.is == STORED_IS_REAL ? add_real(sum, value.real)
                                           : fnv_add_whole(sum, (uint64_t)value.integer);
    }
    return sum;
}

uint32_t stored_sum_fold(uint64_t sum)
{
    return (uint32_t)(sum ^ (sum >> 32));
}

uint32_t stored_sum(enum stored_table_id table, const void *record)
{
    uint64_t sum = add_fields(FNV_START, stored_tables[table], record, 0);
    for (int id = 0; id < STORED_TABLES; id++) {
        const struct stored_table *owned = stored_tables[id];
        if (owned->shape != SHAPE_OWNED || owned->owner != table) {
            continue;
        }
        for (int index = 0; index < stored_owned_count(owned, record); index++) {
            if (stored_owned_is_kept(owned, record, index)) {
                sum = fnv_add(sum, owned->name, strlen(owned->name) + 1);
                sum = fnv_add_whole(sum, (uint64_t)index);
                sum = add_fields(sum, owned, record, index);
            }
        }
    }
    return stored_sum_fold(sum);
}

static uint64_t mix(uint64_t sum, uint64_t value)
{
    sum = (sum ^ value) * MIX;
    return sum ^ (sum >> 29);
}

uint64_t stored_sum_sample(uint64_t sum, const struct sample *sample)
{
    uint64_t quality = sample->link_gap_before ? 1 : 0;
    sum = mix(sum + 1, (uint64_t)sample->time_us);
    sum = mix(sum, (uint64_t)sample->delay_us);
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        quality = quality << 3 | (sample->quality[channel] & 7U);
    }
    sum = mix(sum, quality << 32 | sample->lost_before);
    for (int channel = 0; channel < CHANNELS_MAX; channel += 2) {
        uint64_t pair = (uint64_t)(uint32_t)sample->range_tenth_mm[channel] << 32 |
                        (uint32_t)sample->range_tenth_mm[channel + 1];
        if (pair != 0) { /* channels that are not there add nothing */
            sum = mix(sum + (uint64_t)channel, pair);
        }
    }
    return sum;
}
