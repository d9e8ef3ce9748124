/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fields.h"

#include "base/clock.h"

#include <math.h>
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

static enum field_taken take_word(struct row *row, const struct stored_field *field, void *at,
                                  struct problem *problem)
{
    char text[64];
    row_take_text(row, text, sizeof text);
    int value = word_find(field->list, text, field->otherwise);
    if (value == STORED_REFUSED) {
        problem_set(problem, "%s: there is a %s '%s', which this program doesn't know",
                    row->store->path, field->key, text);
        return FIELD_REFUSED;
    }
    memcpy(at, &value, sizeof value);
    return FIELD_TAKEN;
}

static void take_answer(struct row *row, const struct stored_field *field, void *at)
{
    char text[64];
    row_take_text(row, text, sizeof text);
    int found = word_find(field->list, text, STORED_REFUSED);
    double value = found != STORED_REFUSED ? found : (double)NAN;
    memcpy(at, &value, sizeof value);
}

static enum field_taken take_moment(struct row *row, void *at, struct problem *problem)
{
    char text[CLOCK_TEXT_SIZE];
    int64_t moment_us = 0;
    row_take_text(row, text, sizeof text);
    if (!clock_parse_us(text, strlen(text), &moment_us)) {
        problem_set(problem, "%s: a session began at '%s', which is no time", row->store->path,
                    text);
        return FIELD_REFUSED;
    }
    moment_us /= 1000;
    memcpy(at, &moment_us, sizeof moment_us);
    return FIELD_TAKEN;
}

static enum field_taken take_place(struct row *row, const struct stored_field *field, void *at)
{
    int index = row_take_place(row);
    bool none = index < 0 && field->optional;
    memcpy(at, &index, sizeof index);
    return none || !field->has_most || (index >= 0 && index < (int)field->most) ? FIELD_TAKEN
                                                                                : FIELD_UNKNOWN;
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

static void set_integer(const struct stored_field *field, void *at, int64_t value)
{
    int number = (int)value;
    if (field->size == sizeof value) {
        memcpy(at, &value, sizeof value);
    } else {
        memcpy(at, &number, sizeof number);
    }
}

enum field_taken field_take(struct row *row, const struct stored_field *field, void *base,
                            int index, struct problem *problem)
{
    void *at = field_at(field, base, index);
    double real;
    int found;
    switch (field->type) {
    case STORED_UUID:
        row_take_uuid(row, at);
        break;
    case STORED_TEXT:
        row_take_text(row, at, field->size);
        break;
    case STORED_WORD:
        return take_word(row, field, at, problem);
    case STORED_KEY:
        found = field_take_key(row, field);
        if (found < 0) {
            return FIELD_UNKNOWN;
        }
        memcpy(at, &found, sizeof found);
        break;
    case STORED_TRUTH:
        *(bool *)at = row_take_integer(row) != 0;
        break;
    case STORED_INTEGER:
        set_integer(field, at, row_take_integer(row));
        break;
    case STORED_MOMENT:
        return take_moment(row, at, problem);
    case STORED_PLACE:
        return take_place(row, field, at);
    case STORED_REAL:
    case STORED_SCORE:
        real = row_take_real(row, field->unlimited ? (double)INFINITY : (double)NAN);
        memcpy(at, &real, sizeof real);
        break;
    case STORED_ANSWER:
        take_answer(row, field, at);
        break;
    case STORED_GIVEN:
        row_skip(row);
        break;
    case STORED_KEPT:
        break;
    }
    return FIELD_TAKEN;
}
