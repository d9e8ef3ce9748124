/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "plain_keys.h"

#include "base/text.h"
#include "plain_guess.h"
#include "plain_kinds.h"
#include "rig/plain_words.h"

#include <string.h>

#define LABEL_COLUMN (-1)
#define SENSORS_MOST 8 /* numbers or words of a column that are keys; labels: PLAIN_KEYS_MAX */
#define KEY_MOST_MILLI 99000
#define LINES_OF_KEYS 6
#define COLUMNS_OF_KEYS 8
#define TIMES_OF_A_KEY 2

/* A key as channels are called: 'Sensor 1' Sensor_1, '1' ch1. */
static void write_key(char key[CHANNEL_NAME_SIZE], struct span label, struct span number)
{
    char text[2 * CHANNEL_NAME_SIZE];
    size_t used = 0;
    struct span bare = plain_strip(label);
    bool in_words = plain_has_letter(bare) && !span_equals(bare, "id");
    text_append(text, sizeof text, &used, "%.*s%s%.*s", in_words ? (int)bare.length : 0,
                in_words ? bare.text : "", in_words && number.length > 0 ? "_" : "",
                (int)(number.length < 16 ? number.length : 16),
                number.length > 0 ? number.text : "");
    if (text[0] >= '0' && text[0] <= '9') {
        char numbered[sizeof text + 2] = "ch";
        text_copy(numbered + 2, sizeof numbered - 2, text);
        dialect_channel_name(key, numbered, strlen(numbered));
        return;
    }
    dialect_channel_name(key, text, strlen(text));
}

/* A column of words: '"id":"head"' is head. */
static void write_word_key(char key[CHANNEL_NAME_SIZE], struct span field)
{
    for (size_t i = field.length; i > 0; i--) {
        if (field.text[i - 1] == ':' || field.text[i - 1] == '=') {
            if (i < field.length) {
                field = span_between(field.text + i, field.text + field.length);
            }
            break;
        }
    }
    field = plain_strip(field);
    struct span none = {"", 0};
    const char *digit = field.text;
    while (digit < field.text + field.length && *digit >= '0' && *digit <= '9') {
        digit++;
    }
    bool number = field.length > 0 && digit == field.text + field.length;
    write_key(key, number ? none : field, number ? field : none);
}

static void take_column(const struct plain_keys *keys, int column, const struct token *token,
                        struct keyed_line *read)
{
    if (column == keys->column) {
        bool number = token->kind == TOKEN_NUMBER || token->kind == TOKEN_NUMBER_IN;
        if (number) {
            struct span figures = token->kind == TOKEN_NUMBER ? token->text : token->figures;
            write_key(read->key, token->before, figures);
        } else {
            write_word_key(read->key, token->text);
        }
    }
    if (column == keys->value_column) {
        read->value = *token;
        if (keys->column == LABEL_COLUMN) {
            struct span none = {"", 0};
            write_key(read->key, token->before, none);
        }
    }
}

/* 'Chest: timeout': a label, and words for nothing. */
static void read_words(struct span line, struct keyed_line *read)
{
    struct span none = {"", 0};
    for (size_t i = 0; i < line.length; i++) {
        if (line.text[i] == ':' || line.text[i] == '=') {
            struct span words = span_between(line.text + i + 1, line.text + line.length);
            if (plain_says_no_reading(span_trim(words)) || plain_says_bad(words)) {
                write_key(read->key, span_between(line.text, line.text + i), none);
                read->value.kind = TOKEN_NO_READING;
            }
            return;
        }
    }
}

void plain_keys_read(const struct plain_keys *keys, struct plain_shape shape, struct span line,
                     struct keyed_line *read, keyed_column *take, void *context)
{
    struct span rest = line;
    struct span field;
    struct token token;
    int column = 0;
    memset(read, 0, sizeof *read);
    read->value.kind = TOKEN_EMPTY;
    if (shape.delimiter == ' ') {
        while (plain_next_number(&rest, &token)) {
            take_column(keys, column, &token, read);
            if (take != NULL) {
                take(context, column, &token);
            }
            column++;
        }
        if (column == 0) {
            read_words(line, read);
        }
        return;
    }
    while (span_next_field(&rest, shape.delimiter, &field)) {
        plain_read_field(field, shape.delimiter != ',', &token);
        take_column(keys, column, &token, read);
        if (take != NULL) {
            take(context, column, &token);
        }
        column++;
    }
}

int plain_key_index(const struct plain_keys *keys, const char *key)
{
    for (int i = 0; i < keys->count; i++) {
        if (text_equal(keys->text[i], key)) {
            return i;
        }
    }
    return -1;
}

struct tally {
    struct plain_keys keys;
    int times[PLAIN_KEYS_MAX], first[PLAIN_KEYS_MAX];
    int lines, changes;
    char last[CHANNEL_NAME_SIZE];
    bool overflows;
};

static void count_keys(struct tally *tally, const struct plain_lines *lines,
                       struct plain_shape shape)
{
    struct plain_keys *keys = &tally->keys;
    for (int i = 0; i < lines->count; i++) {
        struct keyed_line read;
        plain_keys_read(keys, shape, lines->line[i], &read, NULL, NULL);
        int index = plain_key_index(keys, read.key);
        if (index < 0 && keys->count < PLAIN_KEYS_MAX) {
            index = keys->count++;
            memcpy(keys->text[index], read.key, sizeof read.key);
            tally->first[index] = i;
        }
        tally->overflows = tally->overflows || index < 0;
        if (index >= 0) {
            tally->times[index]++;
        }
        tally->changes += i > 0 && !text_equal(read.key, tally->last) ? 1 : 0;
        memcpy(tally->last, read.key, sizeof read.key);
        tally->lines++;
    }
}

/* Of six lines and more: two keys and more, each of which has come twice, that take turns; or one
 * range, and a battery that is told at times. */
static bool tells_apart(const struct tally *tally)
{
    int often = 0, ranges = 0;
    int most = tally->keys.column == LABEL_COLUMN ? PLAIN_KEYS_MAX : SENSORS_MOST;
    for (int i = 0; i < tally->keys.count; i++) {
        const char *key = tally->keys.text[i];
        struct span name = {key, strlen(key)}, no_unit = {"", 0};
        bool fits = tally->times[i] >= TIMES_OF_A_KEY && key[0] != '\0';
        often += fits ? 1 : 0;
        ranges += plain_names_something_else(name, no_unit) ? 0 : 1;
        if (!fits && tally->first[i] < tally->lines / 2) {
            return false;
        }
    }
    return tally->lines >= LINES_OF_KEYS && !tally->overflows && often >= 2 && often <= most &&
           (2 * tally->changes >= tally->lines || ranges == 1);
}

/* Other columns that may be ranges by their numbers; *named: those that their names tell apart. */
static int others_that_may_be_ranges(const struct plain_columns *columns, int index, int *named)
{
    int found = 0, ranges = 0;
    *named = 0;
    for (int i = 0; i < columns->shape.columns; i++) {
        const struct plain_column *column = &columns->column[i];
        struct span name = plain_name_of(column);
        struct span unit = {column->unit, strlen(column->unit)};
        if (i != index && plain_holds_numbers(column) && !plain_names_something_else(name, unit) &&
            plain_is_plausible(column, unit)) {
            bool has_name = name.length > 0 && !plain_names_time(name, unit);
            found += !plain_stands_still(column) && !plain_goes_on(column) ? 1 : 0;
            *named += has_name ? 1 : 0;
            ranges += has_name && plain_names_a_range(name, unit) ? 1 : 0;
        }
    }
    *named = ranges > 0 ? ranges : *named;
    return found;
}

/* Can a column be the key? Words that are no status; or small whole numbers that take turns. Where
 * two ranges have names there are no more sensors to be told apart. */
static bool may_be_key(const struct plain_columns *columns, int index)
{
    const struct plain_column *column = &columns->column[index];
    int count = column->numbers < HELD_LINES_MAX ? column->numbers : HELD_LINES_MAX;
    int named;
    int others = others_that_may_be_ranges(columns, index, &named);
    if (named > 1) {
        return false;
    }
    if (column->numbers == 0) {
        struct span text = {column->text, strlen(column->text)};
        return column->texts > 0 && column->calendars == 0 && !plain_says_good(text) &&
               !plain_says_bad(text); /* one that is always the same word tells nothing apart */
    }
    struct span name = plain_name_of(column), no_unit = {"", 0};
    if (column->texts > 0 || column->has_fraction || column->unit[0] != '\0' ||
        plain_stands_still(column) || plain_names_a_status(name) ||
        plain_names_time(name, no_unit)) {
        return false;
    }
    /* Beside two ranges a number that varies may be anything: only figures of one place are keys.
     */
    int64_t most_milli = others > 1 ? 9000 : KEY_MOST_MILLI;
    for (int i = 0; i < count; i++) {
        if (column->value_milli[i] < 0 || column->value_milli[i] > most_milli) {
            return false;
        }
    }
    return index < columns->shape.columns - 1; /* a value stands behind it */
}

/* The keys as columns, each with its own values, unit and name. */
static void turn(const struct plain_keys *keys, const struct plain_lines *lines,
                 const struct plain_columns *columns, struct plain_columns *pivot)
{
    struct plain_shape shape = {columns->shape.delimiter, keys->count};
    const char *unit = columns->column[keys->value_column].unit;
    plain_columns_begin(pivot, shape);
    for (int i = 0; i < lines->count; i++) {
        struct keyed_line read;
        plain_keys_read(keys, columns->shape, lines->line[i], &read, NULL, NULL);
        int index = plain_key_index(keys, read.key); /* it was counted (tells_apart) */
        if (read.key[0] == '\0') {
            continue; /* no key at all is no sensor */
        }
        struct plain_column *column = &pivot->column[index];
        if (column->name[0] == '\0') {
            plain_column_name(column, span_between(keys->text[index],
                                                   keys->text[index] + strlen(keys->text[index])));
        }
        plain_column_add(column, &read.value);
        if (column->unit[0] == '\0' && keys->column != LABEL_COLUMN) {
            text_copy(column->unit, sizeof column->unit, unit);
        }
        pivot->lines++;
    }
}

/* In the order in which they are called, where only a number or letter at their end differs: so
 * that a round begins with the first. */
static void sort_keys(struct plain_keys *keys)
{
    size_t length = strlen(keys->text[0]);
    for (int i = 1; i < keys->count; i++) {
        if (strlen(keys->text[i]) != length ||
            memcmp(keys->text[i], keys->text[0], length - 1) != 0) {
            return;
        }
    }
    for (int i = 1; i < keys->count; i++) {
        for (int j = i; j > 0 && strcmp(keys->text[j], keys->text[j - 1]) < 0; j--) {
            char other[CHANNEL_NAME_SIZE];
            memcpy(other, keys->text[j], sizeof other);
            memcpy(keys->text[j], keys->text[j - 1], sizeof other);
            memcpy(keys->text[j - 1], other, sizeof other);
        }
    }
}

static bool try_key(struct plain_keys *keys, int column, const struct plain_lines *lines,
                    const struct plain_columns *columns, const struct plain_layout *layout)
{
    struct tally tally;
    memset(&tally, 0, sizeof tally);
    tally.keys.column = column;
    bool by_label = column == LABEL_COLUMN;
    tally.keys.value_column = by_label ? 0 : plain_guess_value(columns, layout, column);
    if (tally.keys.value_column < 0 ||
        layout->column_use[tally.keys.value_column] != PLAIN_PASSED_OVER ||
        !plain_holds_numbers(&columns->column[tally.keys.value_column])) {
        return false;
    }
    count_keys(&tally, lines, columns->shape);
    if (!tells_apart(&tally)) {
        return false;
    }
    *keys = tally.keys;
    sort_keys(keys);
    return true;
}

bool plain_keys_find(struct plain_keys *keys, const struct plain_lines *lines,
                     const struct plain_columns *columns, const struct plain_layout *layout,
                     struct plain_columns *pivot)
{
    bool found = false;
    keys->count = 0;
    if (columns->shape.columns > COLUMNS_OF_KEYS) {
        return false;
    }
    for (int i = 0; i < columns->shape.columns && !found; i++) {
        found = layout->column_use[i] == PLAIN_PASSED_OVER && may_be_key(columns, i) &&
                try_key(keys, i, lines, columns, layout);
    }
    found = found || try_key(keys, LABEL_COLUMN, lines, columns, layout);
    if (found) {
        turn(keys, lines, columns, pivot);
    }
    return found;
}

bool plain_keys_are_possible(const struct plain_lines *lines, const struct plain_columns *columns,
                             bool *enough)
{
    bool possible = false;
    *enough = false;
    for (int i = 0; i < columns->shape.columns && columns->shape.columns <= COLUMNS_OF_KEYS; i++) {
        struct tally tally;
        if (may_be_key(columns, i)) {
            memset(&tally, 0, sizeof tally);
            tally.keys.column = i;
            count_keys(&tally, lines, columns->shape);
            *enough = *enough || tells_apart(&tally);
            possible = possible || tally.keys.count > 1;
        }
    }
    return possible;
}

bool plain_labels_differ(const struct plain_lines *lines, struct plain_shape shape, bool *enough)
{
    struct tally tally;
    memset(&tally, 0, sizeof tally);
    tally.keys.column = LABEL_COLUMN;
    count_keys(&tally, lines, shape);
    *enough = tells_apart(&tally);
    return tally.keys.count > 1;
}
