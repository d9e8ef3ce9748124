/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/json_reader.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct reader {
    const char *start, *at;
    char *error;
    int depth;
};

static struct json_value *refuse(struct reader *reader, const char *why)
{
    if (reader->error[0] == '\0') {
        snprintf(reader->error, 160, "%s at byte %zu", why, (size_t)(reader->at - reader->start));
    }
    return NULL;
}

static void skip_white(struct reader *reader)
{
    while (*reader->at != '\0' && strchr(" \t\r\n", *reader->at) != NULL) {
        reader->at++;
    }
}

static struct json_value *make(enum json_kind kind)
{
    struct json_value *value = calloc(1, sizeof *value);
    if (value == NULL) {
        abort();
    }
    value->kind = kind;
    return value;
}

static int hex_digits(const char *at)
{
    int code = 0;
    for (int i = 0; i < 4; i++) {
        char c = at[i];
        int digit = c >= '0' && c <= '9'   ? c - '0'
                    : c >= 'a' && c <= 'f' ? c - 'a' + 10
                    : c >= 'A' && c <= 'F' ? c - 'A' + 10
                                           : -1;
        if (digit < 0) {
            return -1;
        }
        code = code * 16 + digit;
    }
    return code;
}

static size_t put_utf8(char *out, uint32_t code)
{
    if (code < 0x80) {
        out[0] = (char)code;
        return 1;
    }
    if (code < 0x800) {
        out[0] = (char)(0xC0 | code >> 6);
        out[1] = (char)(0x80 | (code & 0x3F));
        return 2;
    }
    if (code < 0x10000) {
        out[0] = (char)(0xE0 | code >> 12);
        out[1] = (char)(0x80 | (code >> 6 & 0x3F));
        out[2] = (char)(0x80 | (code & 0x3F));
        return 3;
    }
    out[0] = (char)(0xF0 | code >> 18);
    out[1] = (char)(0x80 | (code >> 12 & 0x3F));
    out[2] = (char)(0x80 | (code >> 6 & 0x3F));
    out[3] = (char)(0x80 | (code & 0x3F));
    return 4;
}

/* One escape behind the backslash into out; -1 when it is none. */
static int read_escape(struct reader *reader, char *out)
{
    static const char names[] = "\"\\/bfnrt", values[] = "\"\\/\b\f\n\r\t";
    const char *name = *reader->at != '\0' ? strchr(names, *reader->at) : NULL;
    if (name != NULL) {
        out[0] = values[name - names];
        reader->at++;
        return 1;
    }
    if (*reader->at != 'u') {
        return -1;
    }
    int code = hex_digits(reader->at + 1);
    if (code < 0) {
        return -1;
    }
    reader->at += 5;
    uint32_t point = (uint32_t)code;
    if (code >= 0xD800 && code < 0xDC00 && reader->at[0] == '\\' && reader->at[1] == 'u') {
        int low = hex_digits(reader->at + 2);
        if (low < 0xDC00 || low > 0xDFFF) {
            return -1;
        }
        point = 0x10000 + (((uint32_t)code - 0xD800) << 10) + ((uint32_t)low - 0xDC00);
        reader->at += 6;
    } else if (code >= 0xD800 && code <= 0xDFFF) {
        return -1;
    }
    return (int)put_utf8(out, point);
}

static char *read_text(struct reader *reader)
{
    char *text = malloc(strlen(reader->at) + 1);
    size_t used = 0;
    if (text == NULL) {
        abort();
    }
    reader->at++;
    while (*reader->at != '"') {
        int taken = 1;
        if ((unsigned char)*reader->at < 0x20) {
            free(text);
            refuse(reader, "a raw control character or the end within a string");
            return NULL;
        }
        if (*reader->at == '\\') {
            reader->at++;
            taken = read_escape(reader, text + used);
        } else {
            text[used] = *reader->at++;
        }
        if (taken < 0) {
            free(text);
            refuse(reader, "a wrong escape");
            return NULL;
        }
        used += (size_t)taken;
    }
    reader->at++;
    text[used] = '\0';
    return text;
}

static size_t digits(const char *at)
{
    return strspn(at, "0123456789");
}

/* number = [ minus ] int [ frac ] [ exp ] */
static struct json_value *read_number(struct reader *reader)
{
    const char *at = reader->at;
    at += *at == '-';
    size_t whole = digits(at);
    if (whole == 0 || (whole > 1 && *at == '0')) {
        return refuse(reader, "no number");
    }
    at += whole;
    if (*at == '.') {
        size_t fraction = digits(at + 1);
        if (fraction == 0) {
            return refuse(reader, "no digit behind the point");
        }
        at += 1 + fraction;
    }
    if (*at == 'e' || *at == 'E') {
        at++;
        at += *at == '+' || *at == '-';
        if (digits(at) == 0) {
            return refuse(reader, "no digit in the exponent");
        }
        at += digits(at);
    }
    struct json_value *value = make(JSON_NUMBER);
    size_t length = (size_t)(at - reader->at);
    value->text = strndup(reader->at, length);
    value->number = strtod(reader->at, NULL);
    reader->at = at;
    return value;
}

static struct json_value *read_value(struct reader *reader);

static bool named_before(const struct json_value *parent, const char *name)
{
    for (const struct json_value *member = parent->first; member != NULL; member = member->next) {
        if (strcmp(member->name, name) == 0) {
            return true;
        }
    }
    return false;
}

static char *read_name(struct reader *reader, const struct json_value *parent)
{
    if (*reader->at != '"') {
        refuse(reader, "no name");
        return NULL;
    }
    char *name = read_text(reader);
    if (name == NULL) {
        return NULL;
    }
    skip_white(reader);
    if (*reader->at != ':' || named_before(parent, name)) {
        refuse(reader, *reader->at != ':' ? "no colon behind a name" : "a name given twice");
        free(name);
        return NULL;
    }
    reader->at++;
    return name;
}

static struct json_value *read_group(struct reader *reader, enum json_kind kind)
{
    struct json_value *group = make(kind), **last = &group->first;
    char end = kind == JSON_ARRAY ? ']' : '}';
    reader->at++;
    skip_white(reader);
    if (*reader->at == end) {
        reader->at++;
        return group;
    }
    for (;;) {
        char *name = NULL;
        skip_white(reader);
        if (kind == JSON_OBJECT && (name = read_name(reader, group)) == NULL) {
            break;
        }
        struct json_value *value = read_value(reader);
        if (value == NULL) {
            free(name);
            break;
        }
        value->name = name;
        *last = value;
        last = &value->next;
        group->count++;
        skip_white(reader);
        if (*reader->at == end) {
            reader->at++;
            return group;
        }
        if (*reader->at != ',') {
            refuse(reader, "neither comma nor end of the group");
            break;
        }
        reader->at++;
    }
    json_free(group);
    return NULL;
}

static struct json_value *read_word(struct reader *reader)
{
    static const struct {
        const char *word;
        enum json_kind kind;
    } words[] = {{"null", JSON_NULL}, {"false", JSON_FALSE}, {"true", JSON_TRUE}};
    for (size_t i = 0; i < 3; i++) {
        size_t length = strlen(words[i].word);
        if (strncmp(reader->at, words[i].word, length) == 0) {
            reader->at += length;
            return make(words[i].kind);
        }
    }
    return read_number(reader);
}

static struct json_value *read_value(struct reader *reader)
{
    struct json_value *value = NULL;
    skip_white(reader);
    if (reader->depth >= 64) {
        return refuse(reader, "too deep");
    }
    reader->depth++;
    if (*reader->at == '{' || *reader->at == '[') {
        value = read_group(reader, *reader->at == '[' ? JSON_ARRAY : JSON_OBJECT);
    } else if (*reader->at == '"') {
        char *text = read_text(reader);
        if (text != NULL) {
            value = make(JSON_STRING);
            value->text = text;
        }
    } else {
        value = read_word(reader);
    }
    reader->depth--;
    return value;
}

struct json_value *json_read(const char *text, char *error)
{
    struct reader reader = {text, text, error, 0};
    error[0] = '\0';
    struct json_value *value = read_value(&reader);
    skip_white(&reader);
    if (value != NULL && *reader.at != '\0') {
        refuse(&reader, "something behind the value");
        json_free(value);
        return NULL;
    }
    return value;
}

void json_free(struct json_value *value)
{
    while (value != NULL) {
        struct json_value *next = value->next;
        json_free(value->first);
        free(value->text);
        free(value->name);
        free(value);
        value = next;
    }
}

static const struct json_value *step(const struct json_value *value, const char *name,
                                     size_t length)
{
    size_t index = 0;
    for (const struct json_value *member = value->first; member != NULL; member = member->next) {
        char number[24];
        snprintf(number, sizeof number, "%zu", index++);
        const char *key = value->kind == JSON_OBJECT ? member->name : number;
        if (strlen(key) == length && strncmp(key, name, length) == 0) {
            return member;
        }
    }
    return NULL;
}

const struct json_value *json_at(const struct json_value *value, const char *path)
{
    while (value != NULL && *path != '\0') {
        size_t length = strcspn(path, "/");
        value = step(value, path, length);
        path += length + (path[length] == '/');
    }
    return value;
}

double json_number_at(const struct json_value *value, const char *path)
{
    const struct json_value *found = json_at(value, path);
    return found != NULL && found->kind == JSON_NUMBER ? found->number : (double)NAN;
}

const char *json_text_at(const struct json_value *value, const char *path)
{
    const struct json_value *found = json_at(value, path);
    return found != NULL && found->kind == JSON_STRING ? found->text : NULL;
}
