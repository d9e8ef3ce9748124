/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/plain_columns.h"

#include "base/text.h"
#include "rig/plain_words.h"

#include <string.h>

bool plain_is_comment(struct span line)
{
    return line.length > 0 && (line.text[0] == '#' || line.text[0] == '%' ||
                               (line.length > 1 && line.text[0] == '/' && line.text[1] == '/'));
}

struct span plain_strip(struct span text)
{
    static const char left[] = " \t\"'#%/{[(,;:=|<>*-";
    static const char right[] = " \t\"'{[(,;:=|<>*-#";
    while (text.length > 0 && strchr(left, text.text[0]) != NULL && text.text[0] != '\0') {
        text.text++;
        text.length--;
    }
    while (text.length > 0 && strchr(right, text.text[text.length - 1]) != NULL &&
           text.text[text.length - 1] != '\0') {
        text.length--;
    }
    return text;
}

/* The next name of a heading: a field, or a word where blanks divide. */
static bool next_name(struct span *rest, struct plain_shape shape, struct span *name)
{
    if (shape.columns == 1) {
        *name = *rest;
        rest->length = 0;
        return name->length > 0;
    }
    if (shape.delimiter != ' ') {
        return span_next_field(rest, shape.delimiter, name);
    }
    while (rest->length > 0 && (rest->text[0] == ' ' || rest->text[0] == '\t')) {
        rest->text++;
        rest->length--;
    }
    name->text = rest->text;
    name->length = 0;
    while (name->length < rest->length && rest->text[name->length] != ' ' &&
           rest->text[name->length] != '\t') {
        name->length++;
    }
    rest->text += name->length;
    rest->length -= name->length;
    return name->length > 0;
}

int plain_heading_columns(struct span line, struct plain_shape shape)
{
    struct span rest = line;
    struct span name;
    int count = 0;
    if (plain_is_comment(rest)) {
        rest = plain_strip(rest);
    }
    while (next_name(&rest, shape, &name)) {
        struct token token;
        plain_read_field(name, shape.delimiter == ';' || shape.delimiter == '\t', &token);
        if (token.kind != TOKEN_TEXT || !plain_has_letter(name)) {
            return 0;
        }
        count++;
    }
    return count;
}

static void keep_unit(struct plain_column *column, struct span unit)
{
    /* The micro sign and the Greek letter. */
    if (span_is(unit, "\xC2\xB5s") || span_is(unit, "\xCE\xBCs")) {
        unit.text = "us";
        unit.length = 2;
    }
    if (column->unit[0] != '\0' || unit.length >= sizeof column->unit || !plain_is_unit(unit)) {
        return;
    }
    for (size_t i = 0; i < unit.length; i++) {
        char character = unit.text[i];
        column->unit[i] = character >= 'A' && character <= 'Z' ? (char)(character + 32) : character;
    }
    column->unit[unit.length] = '\0';
}

/* 'Range(head' is head: what stands before a bracket that is not closed names all of them. */
static struct span behind_open(struct span name)
{
    for (size_t i = name.length; i > 0 && name.text[i - 1] != ')'; i--) {
        if (name.text[i - 1] == '(') {
            return span_between(name.text + i, name.text + name.length);
        }
    }
    return name;
}

/* 'distance [cm]', 'distance (cm)', 'distance_cm', 'distance cm'. */
void plain_column_name(struct plain_column *column, struct span text)
{
    char raw[PLAIN_NAME_SIZE * 4];
    struct span name = plain_strip(text);
    if (!plain_has_letter(name)) {
        return;
    }
    name = plain_strip(behind_open(name));
    size_t length = name.length < sizeof raw - 1 ? name.length : sizeof raw - 1;
    memcpy(raw, name.text, length);
    raw[length] = '\0';
    text_clean(column->name, sizeof column->name, raw);
    struct span kept = {column->name, strlen(column->name)};
    column->name_length = kept.length;
    for (size_t i = 1; i < kept.length; i++) {
        char mark = kept.text[i];
        struct span unit = {kept.text + i + 1, kept.length - i - 1};
        if (mark == '[' || mark == '(') {
            while (unit.length > 0 &&
                   (unit.text[unit.length - 1] == ']' || unit.text[unit.length - 1] == ')')) {
                unit.length--;
            }
            if (plain_is_unit(span_trim(unit))) {
                keep_unit(column, span_trim(unit));
                column->name_length = i;
                break;
            }
        } else if (strchr("_/ \"", mark) != NULL) {
            bool plain_unit =
                mark == '_' || mark == '/' || span_equals(unit, "mm") || span_equals(unit, "cm");
            if (plain_unit && (plain_is_unit_of_length(unit) || plain_is_unit_of_time(unit))) {
                keep_unit(column, unit);
                column->name_length = i;
                break;
            }
        }
    }
    while (column->name_length > 0 &&
           strchr(" \":{", column->name[column->name_length - 1]) != NULL) {
        column->name_length--;
    }
}

void plain_columns_begin(struct plain_columns *columns, struct plain_shape shape)
{
    memset(columns, 0, sizeof *columns);
    columns->shape = shape;
    for (int i = 0; i < shape.columns; i++) {
        columns->column[i].is_bare = true;
        columns->column[i].rises = true;
    }
}

void plain_columns_name(struct plain_columns *columns, struct span heading)
{
    struct span rest = plain_is_comment(heading) ? plain_strip(heading) : heading;
    struct span name;
    for (int i = 0; i < columns->shape.columns && next_name(&rest, columns->shape, &name); i++) {
        plain_column_name(&columns->column[i], name);
    }
}

static void add_number(struct plain_column *column, const struct token *token)
{
    int64_t milli = 0;
    bool is_usual = decimal_scale(&token->number, 1000, INT64_MAX / 4, &milli);
    column->has_fraction = column->has_fraction || token->number.decimals > 0;
    column->rises = column->rises && is_usual;
    if (column->numbers == 0) {
        column->first_milli = milli;
    } else {
        int64_t step_milli = milli - column->last_milli;
        column->rises = column->rises && step_milli > 0;
        bool first_step = column->numbers == 1;
        column->least_step_milli = first_step || step_milli < column->least_step_milli
                                       ? step_milli
                                       : column->least_step_milli;
        column->largest_step_milli = first_step || step_milli > column->largest_step_milli
                                         ? step_milli
                                         : column->largest_step_milli;
    }
    column->last_milli = milli;
    if (column->numbers < HELD_LINES_MAX) {
        column->value_milli[column->numbers] = milli;
    }
    column->numbers++;
}

void plain_column_add(struct plain_column *column, const struct token *token)
{
    switch (token->kind) {
    case TOKEN_NUMBER_IN:
        column->is_bare = false;
        if (column->name[0] == '\0') {
            plain_column_name(column, token->before);
            column->opens_list = memchr(token->before.text, '[', token->before.length) != NULL;
        }
        keep_unit(column, token->after);
        add_number(column, token);
        break;
    case TOKEN_NUMBER:
        add_number(column, token);
        break;
    case TOKEN_CALENDAR:
        column->calendar_changes +=
            column->calendars > 0 && token->calendar_us != column->last_calendar_us ? 1 : 0;
        column->last_calendar_us = token->calendar_us;
        column->first_calendar_us =
            column->calendars == 0 ? token->calendar_us : column->first_calendar_us;
        column->calendars++;
        break;
    case TOKEN_TEXT:
    case TOKEN_SEVERAL:
        if (column->texts == 0) {
            char raw[64];
            size_t length =
                token->text.length < sizeof raw - 1 ? token->text.length : sizeof raw - 1;
            memcpy(raw, token->text.text, length);
            raw[length] = '\0';
            text_clean(column->text, sizeof column->text, raw);
        }
        column->texts++;
        break;
    case TOKEN_EMPTY:
    case TOKEN_NO_READING:
        break;
    }
}

void plain_columns_add(struct plain_columns *columns, struct span line)
{
    struct span rest = line;
    struct token token;
    columns->lines++;
    if (columns->shape.delimiter == ' ') {
        struct token whole;
        plain_read_field(line, false, &whole);
        if (whole.kind == TOKEN_NUMBER) { /* a lone number: nothing around it */
            plain_column_add(&columns->column[0], &whole);
            return;
        }
        for (int i = 0; i < columns->shape.columns && plain_next_number(&rest, &token); i++) {
            bool lone = token.before.length == 0 && token.after.length == 0;
            token.kind = token.kind == TOKEN_NUMBER_IN && lone ? TOKEN_NUMBER : token.kind;
            plain_column_add(&columns->column[i], &token);
        }
        columns->trailed += span_trim(rest).length > 0 ? 1 : 0;
        return;
    }
    struct span field;
    bool comma_too = columns->shape.delimiter != ',';
    for (int i = 0;
         i < columns->shape.columns && span_next_field(&rest, columns->shape.delimiter, &field);
         i++) {
        plain_read_field(field, comma_too, &token);
        plain_column_add(&columns->column[i], &token);
    }
}

bool plain_holds_numbers(const struct plain_column *column)
{
    return column->numbers > 0 && column->numbers >= column->texts &&
           column->numbers >= column->calendars;
}

bool plain_holds_times(const struct plain_column *column)
{
    return column->calendars > 0 && column->calendars >= column->texts &&
           column->calendars > column->numbers;
}

void plain_columns_unit_beside(struct plain_columns *columns)
{
    for (int i = 0; i < columns->shape.columns; i++) {
        const struct plain_column *beside = &columns->column[i];
        const char *colon = strrchr(beside->text, ':');
        const char *from = colon != NULL ? colon + 1 : beside->text;
        struct span unit = plain_strip(span_between(from, from + strlen(from)));
        while (unit.length > 0 && strchr("}]\"'", unit.text[unit.length - 1]) != NULL) {
            unit.length--;
        }
        for (int j = 0;
             beside->numbers == 0 && plain_is_unit_of_length(unit) && j < columns->shape.columns;
             j++) {
            struct plain_column *column = &columns->column[j];
            struct span no_unit = {"", 0};
            if (plain_holds_numbers(column) &&
                (column->name[0] == '\0' || plain_names_a_range(plain_name_of(column), no_unit))) {
                keep_unit(column, unit);
            }
        }
    }
}

void plain_columns_join_numbers(struct plain_columns *columns)
{
    for (int i = 0; i + 1 < columns->shape.columns; i++) {
        struct plain_column *number = &columns->column[i];
        struct plain_column *next = &columns->column[i + 1];
        int64_t whole = number->last_milli / 1000;
        bool still = number->numbers == columns->lines && number->numbers >= 4 &&
                     number->least_step_milli == 0 && number->largest_step_milli == 0;
        if (!still || number->has_fraction || number->is_bare || number->unit[0] != '\0' ||
            number->name[0] == '\0' || next->name[0] != '\0' || next->numbers == 0 || whole < 0 ||
            whole > 99) {
            continue;
        }
        size_t used = 0;
        text_append(next->name, sizeof next->name, &used, "%.*s %d", (int)number->name_length,
                    number->name, (int)whole);
        next->name_length = strlen(next->name);
        number->numbers = 0; /* no longer a column of numbers */
    }
}

struct span plain_name_of(const struct plain_column *column)
{
    struct span name = {column->name, column->name_length};
    return name;
}
