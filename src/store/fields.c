/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fields.h"

#include "base/clock.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void *field_at(const struct stored_field *field, void *base, int index)
{
    return (char *)base + field->offset + (size_t)index * field->stride;
}

/* ---- into a row -------------------------------------------------------------------------------
 */

void field_put(struct row *row, const struct stored_field *field, const void *base, int index)
{
    struct stored_value value;
    if (field->type == STORED_KEPT) {
        return;
    }
    stored_value(field, base, index, &value);
    if (value.is == STORED_IS_INTEGER) {
        row_put_integer(row, value.integer);
    } else if (value.is == STORED_IS_REAL) {
        row_put_real(row, value.real);
    } else {
        row_put_text(row, value.is == STORED_IS_TEXT ? value.text : NULL);
    }
}

void field_put_key(struct row *row, const struct stored_field *field, int index)
{
    if (field->type == STORED_KEY) {
        row_put_text(row, field->keys->key(index));
    } else {
        row_put_place(row, index);
    }
}

/* ---- out of one -------------------------------------------------------------------------------
 */

struct taking {
    sqlite3_stmt *statement;
    int column;
    const struct stored_field *field;
    char *why;
    int64_t last_sample;
};

static enum field_taken damaged(const struct taking *taking, const char *what)
{
    snprintf(taking->why, FIELD_WHY_SIZE, "its %s is %s", taking->field->key, what);
    return FIELD_DAMAGED;
}

static const char *text_of(const struct taking *taking)
{
    const unsigned char *text = sqlite3_column_text(taking->statement, taking->column);
    return text != NULL ? (const char *)text : "";
}

static int type_of(const struct taking *taking)
{
    return sqlite3_column_type(taking->statement, taking->column);
}

static enum field_taken take_text(const struct taking *taking, char *at)
{
    const char *text = text_of(taking);
    size_t length = (size_t)sqlite3_column_bytes(taking->statement, taking->column);
    if (length == strlen(text) && length < taking->field->size && text_is_clean(text)) {
        memcpy(at, text, length + 1);
        return FIELD_TAKEN;
    }
    text_clean(at, taking->field->size, text);
    snprintf(taking->why, FIELD_WHY_SIZE,
             "its %s has characters that no text here has, or too many", taking->field->key);
    return FIELD_CLEANED;
}

static enum field_taken take_word(const struct taking *taking, void *at)
{
    const struct stored_field *field = taking->field;
    int value = field->otherwise;
    if (type_of(taking) != SQLITE_NULL) {
        value = word_find(field->list, text_of(taking), STORED_REFUSED);
        if (value == STORED_REFUSED) {
            return damaged(taking, "a word that this program doesn't know");
        }
    }
    memcpy(at, &value, sizeof value);
    return FIELD_TAKEN;
}

static enum field_taken take_answer(const struct taking *taking, void *at)
{
    double value = (double)NAN;
    if (type_of(taking) != SQLITE_NULL) {
        int found = word_find(taking->field->list, text_of(taking), STORED_REFUSED);
        if (found == STORED_REFUSED) {
            return damaged(taking, "a word that this program doesn't know");
        }
        value = found;
    }
    memcpy(at, &value, sizeof value);
    return FIELD_TAKEN;
}

static enum field_taken take_moment(const struct taking *taking, void *at)
{
    const char *text = text_of(taking);
    int64_t moment_us = 0;
    if (!clock_parse_us(text, strlen(text), &moment_us)) {
        return damaged(taking, "no time");
    }
    moment_us /= 1000;
    memcpy(at, &moment_us, sizeof moment_us);
    return FIELD_TAKEN;
}

static bool in_range(const struct stored_field *field, double value)
{
    return (!field->has_least || value >= field->least) &&
           (!field->has_most || value <= field->most);
}

static enum field_taken take_place(const struct taking *taking, void *at)
{
    const struct stored_field *field = taking->field;
    int64_t place = sqlite3_column_int64(taking->statement, taking->column);
    int index = -1;
    if (type_of(taking) != SQLITE_NULL) {
        if (place < 1 || place > INT32_MAX || !in_range(field, (double)place)) {
            return damaged(taking, "out of range");
        }
        index = (int)place - 1;
    }
    memcpy(at, &index, sizeof index);
    return FIELD_TAKEN;
}

static enum field_taken take_key(const struct taking *taking, void *at)
{
    int found = taking->field->keys->find(text_of(taking));
    if (found < 0) {
        return FIELD_UNKNOWN;
    }
    memcpy(at, &found, sizeof found);
    return FIELD_TAKEN;
}

#define WHOLE_MOST 1000000 /* of what is counted or numbered */

static enum field_taken take_integer(const struct taking *taking, void *at)
{
    const struct stored_field *field = taking->field;
    int64_t value = sqlite3_column_int64(taking->statement, taking->column);
    int number = (int)value;
    bool good = in_range(field, (double)value);
    if (field->is_sample) {
        good = good && value >= 0 && value - STORED_SAMPLES_AHEAD <= taking->last_sample;
    } else if (field->size == sizeof number) {
        good = good && value >= -WHOLE_MOST && value <= WHOLE_MOST;
    }
    if (!good) {
        return damaged(taking, "out of range");
    }
    if (field->size == sizeof value) {
        memcpy(at, &value, sizeof value);
    } else {
        memcpy(at, &number, sizeof number);
    }
    return FIELD_TAKEN;
}

static enum field_taken take_real(const struct taking *taking, void *at)
{
    const struct stored_field *field = taking->field;
    double value = field->unlimited ? (double)INFINITY : (double)NAN;
    bool limited = field->read_least != 0 || field->read_most != 0;
    double least = limited ? field->read_least : -STORED_REAL_MOST;
    double most = limited ? field->read_most : STORED_REAL_MOST;
    if (type_of(taking) != SQLITE_NULL) {
        value = sqlite3_column_double(taking->statement, taking->column);
        if (!(value >= least && value <= most) || !in_range(field, value) ||
            (field->type == STORED_SCORE && value != floor(value))) {
            return damaged(taking, "out of range");
        }
    }
    memcpy(at, &value, sizeof value);
    return FIELD_TAKEN;
}

/* STRICT tables hold what their columns say, unless somebody wrote into the file past SQLite. */
static bool has_type(const struct taking *taking)
{
    const struct stored_field *field = taking->field;
    const char *wanted = stored_type_word(field);
    int type = type_of(taking);
    if (type == SQLITE_NULL) {
        return field->optional || field->type == STORED_GIVEN;
    }
    return text_equal(wanted, "TEXT")      ? type == SQLITE_TEXT
           : text_equal(wanted, "INTEGER") ? type == SQLITE_INTEGER
                                           : type == SQLITE_FLOAT || type == SQLITE_INTEGER;
}

int field_take_key(struct row *row, const struct stored_field *field)
{
    char key[64];
    if (field->type != STORED_KEY) {
        return row_take_place(row);
    }
    row_take_text(row, key, sizeof key);
    return field->keys->find(key);
}

static enum field_taken take_given(const struct taking *taking)
{
    const struct stored_field *field = taking->field;
    bool other = field->constant != 0 &&
                 sqlite3_column_int64(taking->statement, taking->column) != field->constant;
    return other ? damaged(taking, "not what it always is") : FIELD_TAKEN;
}

static enum field_taken take(const struct taking *taking, void *at)
{
    struct uuid uuid;
    bool truth;
    switch (taking->field->type) {
    case STORED_UUID:
        if (!uuid_parse(text_of(taking), &uuid)) {
            return damaged(taking, "no identifier");
        }
        memcpy(at, &uuid, sizeof uuid);
        return FIELD_TAKEN;
    case STORED_TEXT:
        return take_text(taking, at);
    case STORED_WORD:
        return take_word(taking, at);
    case STORED_KEY:
        return take_key(taking, at);
    case STORED_TRUTH:
        truth = sqlite3_column_int64(taking->statement, taking->column) == 1;
        if (!truth && sqlite3_column_int64(taking->statement, taking->column) != 0) {
            return damaged(taking, "neither yes nor no");
        }
        memcpy(at, &truth, sizeof truth);
        return FIELD_TAKEN;
    case STORED_INTEGER:
        return take_integer(taking, at);
    case STORED_MOMENT:
        return take_moment(taking, at);
    case STORED_PLACE:
        return take_place(taking, at);
    case STORED_REAL:
    case STORED_SCORE:
        return take_real(taking, at);
    case STORED_ANSWER:
        return take_answer(taking, at);
    case STORED_GIVEN:
        return take_given(taking);
    case STORED_KEPT:
        break;
    }
    return FIELD_TAKEN;
}

enum field_taken field_take(struct row *row, const struct stored_field *field, void *base,
                            int index, int64_t last_sample, char why[FIELD_WHY_SIZE])
{
    if (field->type == STORED_KEPT) { /* it is not among the columns */
        return FIELD_TAKEN;
    }
    const struct taking taking = {row->statement, row->column++, field, why, last_sample};
    if (!has_type(&taking)) {
        return damaged(&taking, "not what the column holds");
    }
    return take(&taking, field_at(field, base, index));
}
