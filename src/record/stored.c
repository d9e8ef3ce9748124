/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "stored_rows.h"

const struct stored_table *const stored_tables[STORED_TABLES] = {
    [TABLE_SESSION] = &stored_session,
    [TABLE_SESSION_RIDER] = &stored_session_rider,
    [TABLE_SESSION_BIKE] = &stored_session_bike,
    [TABLE_SESSION_BIKE_VALUE] = &stored_session_bike_value,
    [TABLE_MATTERS] = &stored_matters,
    [TABLE_PART_LIMIT] = &stored_part_limit,
    [TABLE_PLACING] = &stored_placing,
    [TABLE_CHANNEL] = &stored_channel,
    [TABLE_SETUP] = &stored_setup,
    [TABLE_SETUP_VALUE] = &stored_setup_value,
    [TABLE_BUILD] = &stored_build,
    [TABLE_TIE_READING] = &stored_tie_reading,
    [TABLE_CAPTURE] = &stored_capture,
    [TABLE_TARGET] = &stored_target,
    [TABLE_TARGET_HEIGHT] = &stored_target_height,
    [TABLE_BAND] = &stored_band,
    [TABLE_BAND_CHANNEL] = &stored_band_channel,
    [TABLE_HOLD] = &stored_hold,
    [TABLE_MARK] = &stored_mark,
    [TABLE_RATING] = &stored_rating,
    [TABLE_NOTE] = &stored_note,
    [TABLE_SENSOR_CHECK] = &stored_sensor_check,
    [TABLE_SENSOR_CHECK_ASKED] = &stored_sensor_check_asked,
    [TABLE_SENSOR_CHECK_NUMBER] = &stored_sensor_check_number,
    [TABLE_COMMAND] = &stored_command,
};

const struct stored_field *stored_column(const struct stored_table *table, int index)
{
    if (index < table->key_count) {
        return &table->key[index];
    }
    index -= table->key_count;
    return index < table->field_count ? &table->field[index] : NULL;
}

const char *stored_type_word(const struct stored_field *field)
{
    switch (field->type) {
    case STORED_TRUTH:
    case STORED_INTEGER:
    case STORED_PLACE:
    case STORED_SCORE:
    case STORED_KEPT:
        return "INTEGER";
    case STORED_REAL:
        return "REAL";
    case STORED_GIVEN:
        return field->constant != 0 ? "INTEGER" : "TEXT";
    case STORED_UUID:
    case STORED_TEXT:
    case STORED_WORD:
    case STORED_KEY:
    case STORED_ANSWER:
    case STORED_MOMENT:
        break;
    }
    return "TEXT";
}
