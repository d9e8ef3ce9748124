/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/json_read.h"

#include "base/text.h"

#include <stdlib.h>
#include <string.h>

#define JSMN_STATIC
#define JSMN_STRICT
#define JSMN_PARENT_LINKS
#include <jsmn.h>

struct json_document {
    const char *text;
    int count;
    jsmntok_t *token;
};

struct json_document *json_document_read(const char *text, size_t length, struct problem *problem)
{
    struct json_document *document = calloc(1, sizeof *document);
    if (document == NULL) {
        problem_set(problem, "no memory for a JSON text");
        return NULL;
    }
    jsmn_parser parser;
    jsmn_init(&parser);
    int wanted = jsmn_parse(&parser, text, length, NULL, 0);
    if (wanted > 0) {
        document->token = malloc((size_t)wanted * sizeof *document->token);
    }
    if (document->token != NULL) { /* what is not closed is seen only now */
        jsmn_init(&parser);
        document->count = jsmn_parse(&parser, text, length, document->token, (unsigned)wanted);
    }
    if (document->token == NULL || document->count < 1) {
        problem_set(problem, wanted > 0 && document->token == NULL ? "no memory for a JSON text"
                                                                   : "not a JSON text");
        json_document_free(document);
        return NULL;
    }
    document->text = text;
    return document;
}

void json_document_free(struct json_document *document)
{
    if (document != NULL) {
        free(document->token);
        free(document);
    }
}

static bool is_kind(const struct json_document *document, int value, jsmntype_t kind)
{
    return value >= 0 && value < document->count && document->token[value].type == kind;
}

int json_find(const struct json_document *document, int object, const char *name)
{
    if (!is_kind(document, object, JSMN_OBJECT)) {
        return -1;
    }
    size_t length = strlen(name);
    for (int i = object + 1; i < document->count; i++) {
        const jsmntok_t *token = &document->token[i];
        if (token->parent == object && (size_t)(token->end - token->start) == length &&
            memcmp(document->text + token->start, name, length) == 0 && token->size == 1) {
            return i + 1;
        }
        if (token->start > document->token[object].end) {
            break;
        }
    }
    return -1;
}

int json_element(const struct json_document *document, int array, int index)
{
    if (!is_kind(document, array, JSMN_ARRAY)) {
        return -1;
    }
    for (int i = array + 1;
         i < document->count && document->token[i].start < document->token[array].end; i++) {
        if (document->token[i].parent == array && index-- == 0) {
            return i;
        }
    }
    return -1;
}

int json_count(const struct json_document *document, int value)
{
    return is_kind(document, value, JSMN_ARRAY) || is_kind(document, value, JSMN_OBJECT)
               ? document->token[value].size
               : 0;
}

bool json_get_number(const struct json_document *document, int value, double *number)
{
    char text[64];
    if (!is_kind(document, value, JSMN_PRIMITIVE)) {
        return false;
    }
    const jsmntok_t *token = &document->token[value];
    size_t length = (size_t)(token->end - token->start);
    if (length >= sizeof text) {
        return false;
    }
    memcpy(text, document->text + token->start, length);
    text[length] = '\0';
    return text_to_double(text, number);
}

bool json_get_boolean(const struct json_document *document, int value, bool *truth)
{
    if (!is_kind(document, value, JSMN_PRIMITIVE)) {
        return false;
    }
    char first = document->text[document->token[value].start];
    if (first != 't' && first != 'f') {
        return false;
    }
    *truth = first == 't';
    return true;
}

static int hexadecimal(const char *text)
{
    int value = 0;
    for (int i = 0; i < 4; i++) {
        char c = text[i];
        int digit = c >= '0' && c <= '9'   ? c - '0'
                    : c >= 'a' && c <= 'f' ? c - 'a' + 10
                    : c >= 'A' && c <= 'F' ? c - 'A' + 10
                                           : -1;
        if (digit < 0) {
            return 0xFFFD;
        }
        value = value * 16 + digit;
    }
    return value;
}

static size_t put_character(char *bytes, int point)
{
    if (point < 0x80) {
        bytes[0] = (char)point;
        return 1;
    }
    if (point < 0x800) {
        bytes[0] = (char)(0xC0 | point >> 6);
        bytes[1] = (char)(0x80 | (point & 0x3F));
        return 2;
    }
    if (point < 0x10000) {
        bytes[0] = (char)(0xE0 | point >> 12);
        bytes[1] = (char)(0x80 | (point >> 6 & 0x3F));
        bytes[2] = (char)(0x80 | (point & 0x3F));
        return 3;
    }
    bytes[0] = (char)(0xF0 | point >> 18);
    bytes[1] = (char)(0x80 | (point >> 12 & 0x3F));
    bytes[2] = (char)(0x80 | (point >> 6 & 0x3F));
    bytes[3] = (char)(0x80 | (point & 0x3F));
    return 4;
}

/* One character or escape at *at; its bytes. */
static size_t next_character(const char *text, int end, int *at, char bytes[4])
{
    static const char escapes[] = "\"\\/bfnrt", meanings[] = "\"\\/\b\f\n\r\t";
    if (text[*at] != '\\') {
        bytes[0] = text[(*at)++];
        return 1;
    }
    char kind = text[*at + 1];
    if (kind != 'u') {
        const char *found = strchr(escapes, kind);
        *at += 2;
        bytes[0] = found != NULL ? meanings[found - escapes] : '?';
        return 1;
    }
    int point = *at + 6 <= end ? hexadecimal(text + *at + 2) : 0xFFFD;
    *at += 6;
    if (point >= 0xD800 && point < 0xDC00 && *at + 6 <= end && text[*at] == '\\' &&
        text[*at + 1] == 'u') {
        int low = hexadecimal(text + *at + 2);
        if (low >= 0xDC00 && low < 0xE000) { /* else it is a character of its own */
            *at += 6;
            point = 0x10000 + ((point - 0xD800) << 10) + (low - 0xDC00);
        }
    }
    if (point == 0 || (point >= 0xD800 && point < 0xE000)) {
        point = 0xFFFD;
    }
    return put_character(bytes, point);
}

bool json_get_string(const struct json_document *document, int value, char *text, size_t size)
{
    if (!is_kind(document, value, JSMN_STRING) || size == 0) {
        return false;
    }
    int at = document->token[value].start, end = document->token[value].end;
    size_t used = 0;
    while (at < end) {
        char bytes[4];
        size_t length = next_character(document->text, end, &at, bytes);
        if (used + length >= size) {
            break;
        }
        memcpy(text + used, bytes, length);
        used += length;
    }
    text[used] = '\0';
    return true;
}
