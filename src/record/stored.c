/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "stored_rows.h"

#include "base/clock.h"
#include "base/member.h"

#include <math.h>
#include <string.h>

const struct stored_table *const stored_tables[STORED_TABLES] = {
    [TABLE_SESSION] = &stored_session,
    [TABLE_SESSION_RIDER] = &stored_session_rider,
    [TABLE_SESSION_BIKE] = &stored_session_bike,
    [TABLE_SESSION_BIKE_VALUE] = &stored_session_bike_value,
    [TABLE_MATTERS] = &stored_matters,
    [TABLE_LEARNT] = &stored_learnt,
    [TABLE_PART_LIMIT] = &stored_part_limit,
    [TABLE_BOLT_TORQUE] = &stored_bolt_torque,
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
    [TABLE_CUE_SOUND] = &stored_cue_sound,
    [TABLE_AIR] = &stored_air,
    [TABLE_RUN] = &stored_run,
    [TABLE_LEG] = &stored_leg,
    [TABLE_LEG_PIECE] = &stored_leg_piece,
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

static bool *undone_in(const struct stored_table *table, const void *record)
{
    for (int i = 0; i < table->field_count; i++) {
        if (strcmp(table->field[i].key, STORED_UNDONE) == 0) {
            return (bool *)((char *)(uintptr_t)record + table->field[i].offset);
        }
    }
    return NULL;
}

bool stored_is_undone(const struct stored_table *table, const void *record)
{
    const bool *undone = undone_in(table, record);
    return undone != NULL && *undone;
}

bool stored_set_undone(const struct stored_table *table, void *record, bool undone)
{
    bool *at = undone_in(table, record);
    if (at != NULL) {
        *at = undone;
    }
    return at != NULL;
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

static void say_text(struct stored_value *value, const char *text)
{
    value->is = text != NULL ? STORED_IS_TEXT : STORED_NOTHING;
    value->text = text;
}

static void say_integer(struct stored_value *value, int64_t integer, bool known)
{
    value->is = known ? STORED_IS_INTEGER : STORED_NOTHING;
    value->integer = integer;
}

static void say_given(struct stored_value *value, const struct stored_field *field, const void *at,
                      int index)
{
    if (field->given != NULL || field->given_of != NULL) {
        say_text(value, field->given != NULL ? field->given(at) : field->given_of(index));
    } else {
        say_integer(value, field->constant, true);
    }
}

void stored_value(const struct stored_field *field, const void *of, int index,
                  struct stored_value *value)
{
    const char *at = (const char *)of + field->offset + (size_t)index * field->stride;
    bool is_real =
        field->type == STORED_REAL || field->type == STORED_SCORE || field->type == STORED_ANSWER;
    value->is = STORED_NOTHING;
    value->integer = 0;
    value->real = NAN;
    if (is_real) {
        memcpy(&value->real, at, sizeof value->real);
    } else if (field->size == sizeof(int) || field->size == sizeof(int64_t)) {
        value->integer = member_integer((struct member){MEMBER_SIGNED, 0, field->size}, at);
    }
    switch (field->type) {
    case STORED_UUID:
        uuid_text(value->made, (const struct uuid *)at);
        say_text(value, value->made);
        break;
    case STORED_TEXT:
        say_text(value, field->optional && at[0] == '\0' ? NULL : at);
        break;
    case STORED_WORD:
        say_text(value, word_of(field->list, value->integer));
        break;
    case STORED_ANSWER:
        say_text(value, isnan(value->real) ? NULL : word_of(field->list, (int64_t)value->real));
        break;
    case STORED_KEY:
        say_text(value, field->keys->key((int)value->integer));
        break;
    case STORED_TRUTH:
        say_integer(value, *(const bool *)at, true);
        break;
    case STORED_INTEGER:
        say_integer(value, value->integer, !field->optional || value->integer != 0);
        break;
    case STORED_PLACE:
        say_integer(value, value->integer + 1, value->integer >= 0);
        break;
    case STORED_MOMENT:
        clock_wall_text(value->made, value->integer);
        say_text(value, value->made);
        break;
    case STORED_REAL:
    case STORED_SCORE:
        value->is = isfinite(value->real) ? STORED_IS_REAL : STORED_NOTHING;
        break;
    case STORED_GIVEN:
        say_given(value, field, at, index);
        break;
    case STORED_KEPT:
        break;
    }
}
