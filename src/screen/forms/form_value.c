/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_value.h"

#include "base/text.h"
#include "record/typed.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

/* What stands in a field: numbers as people type them, and whether a value is sound. */

/* Is the rest after a number a word, such as a unit? */
static bool is_word(const char *rest)
{
    bool any = false;
    for (; *rest != '\0'; rest++) {
        any = any || *rest != ' ';
        if ((*rest >= '0' && *rest <= '9') || *rest == '.' || *rest == '-' || *rest == '+') {
            return false;
        }
    }
    return any;
}

/* As it is shown, in letters of either case, or as it is typed where a key for it is lacking. */
static bool is_own_unit(const struct form_field *field, const char *rest)
{
    static const char *const typed[][2] = {{"deg", "\u00B0"}, {"N\u00b7m", "Nm"}};
    char word[16];
    rest += strspn(rest, " ");
    size_t length = strcspn(rest, " ");
    if (length == 0 || length >= sizeof word || rest[length + strspn(rest + length, " ")] != '\0') {
        return false;
    }
    snprintf(word, sizeof word, "%.*s", (int)length, rest);
    bool own = strcasecmp(word, field->unit) == 0;
    for (size_t i = 0; i < sizeof typed / sizeof typed[0]; i++) {
        own = own || (strcmp(field->unit, typed[i][0]) == 0 && strcasecmp(word, typed[i][1]) == 0);
    }
    return own;
}

enum reading { READ_NUMBER, READ_OTHER_UNIT, READ_NO_NUMBER };

/* '10,5' and a typed minus sign are meant well, and so is '100mm' in a field of millimetres. */
static enum reading read_number(const struct form_field *field, double *value)
{
    char cleaned[FORM_VALUE_SIZE], text[FORM_VALUE_SIZE];
    size_t used = 0;
    text_clean(cleaned, sizeof cleaned, field->value);
    for (const char *next = cleaned; *next != '\0'; next++) {
        if (strncmp(next, "\u2212", 3) == 0) {
            text[used++] = '-';
            next += 2;
        } else {
            text[used++] = *next == ',' ? '.' : *next;
        }
    }
    text[used] = '\0';
    char *number = text[0] == '+' ? text + 1 : text;
    if (text[0] != '\0' && text_to_double(number, value)) {
        return READ_NUMBER;
    }
    char *rest = number + strspn(number, "0123456789.-");
    if (rest == number || !is_word(rest)) {
        return READ_NO_NUMBER;
    }
    bool own = is_own_unit(field, rest);
    *rest = '\0';
    if (!text_to_double(number, value)) {
        return READ_NO_NUMBER;
    }
    return own ? READ_NUMBER : field->unit[0] != '\0' ? READ_OTHER_UNIT : READ_NO_NUMBER;
}

double form_number(const struct form_field *field)
{
    double value;
    return read_number(field, &value) == READ_NUMBER ? value : NAN;
}

static bool blank(const char *text)
{
    return text[strspn(text, " ")] == '\0';
}

/* What is wrong with a value. */
enum trouble {
    TROUBLE_NONE,
    TROUBLE_MISSING,
    TROUBLE_UNIT,
    TROUBLE_NO_NUMBER,
    TROUBLE_RANGE,
    TROUBLE_NOT_WHOLE,
    TROUBLE_BOUNDS,
    TROUBLE_LENGTH,
    TROUBLE_LONG
};

void form_bounds_plain(char *text, size_t size, const struct form_field *field)
{
    char cleaned[FORM_VALUE_SIZE];
    size_t used = 0, unit = strlen(field->unit);
    text_clean(cleaned, sizeof cleaned, field->value);
    for (const char *next = cleaned; *next != '\0' && used + 1 < size; next++) {
        if (strncmp(next, "\u2212", 3) == 0) {
            text[used++] = '-';
            next += 2;
        } else if (*next != ' ') {
            text[used++] = *next == ',' ? '.' : *next;
        }
    }
    text[used] = '\0';
    if (used > unit && strcmp(text + used - unit, field->unit) == 0) {
        text[used - unit] = '\0';
    }
}

static enum trouble bounds_trouble(const struct form_field *field)
{
    struct bike_limits limits;
    char text[FORM_VALUE_SIZE];
    bike_limits_clear(&limits);
    form_bounds_plain(text, sizeof text, field);
    return bike_limits_read(&limits, field->key, text, NULL) ? TROUBLE_NONE : TROUBLE_BOUNDS;
}

static enum trouble find_trouble(const struct form_field *field)
{
    double value;
    char cleaned[FORM_VALUE_SIZE];
    if (blank(field->value)) {
        return field->required ? TROUBLE_MISSING : TROUBLE_NONE;
    }
    if (field->kind == FIELD_LENGTH) {
        text_clean(cleaned, sizeof cleaned, field->value);
        return typed_length(cleaned, &value, NULL) ? TROUBLE_NONE : TROUBLE_LENGTH;
    }
    if (field->kind == FIELD_TEXT && field->kept > 0) {
        text_clean(cleaned, sizeof cleaned, field->value);
        return strlen(cleaned) >= field->kept ? TROUBLE_LONG : TROUBLE_NONE;
    }
    if (field->kind == FIELD_TEXT || field->kind == FIELD_CHOICE ||
        (field->kind == FIELD_LIMIT && strcmp(field->value, "none") == 0)) {
        return TROUBLE_NONE;
    }
    if (field->kind == FIELD_BOUNDS) {
        return bounds_trouble(field);
    }
    switch (read_number(field, &value)) {
    case READ_NO_NUMBER:
        return TROUBLE_NO_NUMBER;
    case READ_OTHER_UNIT:
        return TROUBLE_UNIT;
    case READ_NUMBER:
        break;
    }
    if (field->kind == FIELD_LIMIT) {
        value = fabs(value);
    }
    if (value < field->minimum || value > field->maximum) {
        return TROUBLE_RANGE;
    }
    return field->kind == FIELD_WHOLE && value != floor(value) ? TROUBLE_NOT_WHOLE : TROUBLE_NONE;
}

/* A bike's measure in inches, or a stem's angle as it is printed: asked about. */
static const char *slip(const struct form_field *field)
{
    int key = form_bike_key(field);
    return key >= 0 ? bike_value_slip(key, form_number(field)) : "";
}

static const char *say_range(const struct form_field *field, char *text, size_t size,
                             const char *what)
{
    char low[32], high[32];
    text_from_double_shortest(low, sizeof low, field->minimum);
    text_from_double_shortest(high, sizeof high, field->maximum);
    snprintf(text, size, "%s%s to %s%s%s%s", what, low, high, field->unit[0] != '\0' ? " " : "",
             field->unit, field->kind == FIELD_LIMIT ? ", or none" : "");
    return text;
}

const char *form_field_trouble(const struct form_field *field, char *text, size_t size)
{
    char what[32], cleaned[FORM_VALUE_SIZE];
    switch (find_trouble(field)) {
    case TROUBLE_LONG:
        text_clean(cleaned, sizeof cleaned, field->value);
        text_too_long(text, size, cleaned, field->kept);
        return text;
    case TROUBLE_MISSING:
        text_copy(text, size, "must be filled in");
        return text;
    case TROUBLE_UNIT:
        snprintf(what, sizeof what, "type it in %s, ", field->unit);
        return say_range(field, text, size, what);
    case TROUBLE_NO_NUMBER:
        return say_range(field, text, size, "a number, ");
    case TROUBLE_RANGE: {
        size_t used = strlen(say_range(field, text, size, ""));
        text_append(text, size, &used, "%s", slip(field));
        return text;
    }
    case TROUBLE_NOT_WHOLE:
        return say_range(field, text, size, "a whole number, ");
    case TROUBLE_BOUNDS:
        return say_range(field, text, size, "at most 30, between 5..30, at least 5..; all ");
    case TROUBLE_LENGTH: {
        struct problem problem = {0};
        double length_s;
        text_clean(cleaned, sizeof cleaned, field->value);
        typed_length(cleaned, &length_s, &problem);
        text_copy(text, size, problem.sentence);
        return text;
    }
    case TROUBLE_NONE:
        break;
    }
    return NULL;
}

const char *form_field_trouble_short(const struct form_field *field, char *text, size_t size)
{
    char low[32], high[32];
    switch (find_trouble(field)) {
    case TROUBLE_MISSING:
        text_copy(text, size, "needed");
        return text;
    case TROUBLE_UNIT:
        snprintf(text, size, "in %s", field->unit);
        return text;
    case TROUBLE_NO_NUMBER:
        text_copy(text, size, "number");
        return text;
    case TROUBLE_RANGE:
        text_from_double_shortest(low, sizeof low, field->minimum);
        text_from_double_shortest(high, sizeof high, field->maximum);
        snprintf(text, size, "%s%s%s", low, low[0] == '-' ? " to " : "-", high);
        return text;
    case TROUBLE_NOT_WHOLE:
        text_copy(text, size, "whole");
        return text;
    case TROUBLE_BOUNDS:
        text_copy(text, size, "5..30");
        return text;
    case TROUBLE_LENGTH:
        text_copy(text, size, "as 90 s");
        return text;
    case TROUBLE_LONG:
        text_copy(text, size, "too long");
        return text;
    case TROUBLE_NONE:
        break;
    }
    return NULL;
}
