/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/json.h"

#include "base/text.h"

#include <assert.h>
#include <inttypes.h>
#include <math.h>
#include <string.h>

#define DEPTH_MAX 32

void json_begin(struct json_writer *writer, FILE *stream, bool pretty)
{
    memset(writer, 0, sizeof *writer);
    writer->stream = stream;
    writer->pretty = pretty;
}

static void line_end(struct json_writer *writer)
{
    if (writer->pretty) {
        fputc('\n', writer->stream);
        for (int i = 0; i < writer->depth; i++) {
            fputs("  ", writer->stream);
        }
    }
}

/* What stands before a value or a name: nothing after a name, else a comma and the line's end. */
static void before_member(struct json_writer *writer)
{
    if (writer->after_name) {
        writer->after_name = false;
        return;
    }
    if (writer->has_member[writer->depth]) {
        fputc(',', writer->stream);
    }
    if (writer->depth > 0) {
        line_end(writer);
    }
    writer->has_member[writer->depth] = true;
}

static void open_with(struct json_writer *writer, char bracket)
{
    before_member(writer);
    fputc(bracket, writer->stream);
    assert(writer->depth < DEPTH_MAX);
    writer->depth++;
    writer->has_member[writer->depth] = false;
}

static void close_with(struct json_writer *writer, char bracket)
{
    assert(writer->depth > 0);
    bool had_member = writer->has_member[writer->depth];
    writer->depth--;
    if (had_member) {
        line_end(writer);
    }
    fputc(bracket, writer->stream);
    if (writer->depth == 0 && writer->pretty) {
        fputc('\n', writer->stream);
    }
}

void json_object_begin(struct json_writer *writer)
{
    open_with(writer, '{');
}

void json_object_end(struct json_writer *writer)
{
    close_with(writer, '}');
}

void json_array_begin(struct json_writer *writer)
{
    open_with(writer, '[');
}

void json_array_end(struct json_writer *writer)
{
    close_with(writer, ']');
}

/* As \uXXXX; beyond U+FFFF as a pair (RFC 8259, section 7). */
static void write_code(FILE *stream, uint32_t character)
{
    if (character > 0xFFFF) {
        uint32_t above = character - 0x10000;
        fprintf(stream, "\\u%04" PRIX32, 0xD800 + (above >> 10));
        character = 0xDC00 + (above & 0x3FF);
    }
    fprintf(stream, "\\u%04" PRIX32, character);
}

static void write_escaped(struct json_writer *writer, const char *text)
{
    FILE *stream = writer->stream;
    size_t length = strlen(text);
    fputc('"', stream);
    for (size_t at = 0; at < length;) {
        uint32_t character;
        size_t count = text_decode(text + at, length - at, &character);
        if (character == TEXT_NOT_SOUND) {
            fputs("\xEF\xBF\xBD", stream);
        } else if (character == '"' || character == '\\') {
            fprintf(stream, "\\%c", (char)character);
        } else if (character == '\n') {
            fputs("\\n", stream);
        } else if (character == '\t') {
            fputs("\\t", stream);
        } else if (!text_is_plain(character)) {
            write_code(stream, character);
        } else {
            fwrite(text + at, 1, count, stream);
        }
        at += count;
    }
    fputc('"', stream);
}

void json_name(struct json_writer *writer, const char *name)
{
    before_member(writer);
    write_escaped(writer, name);
    fputs(writer->pretty ? ": " : ":", writer->stream);
    writer->after_name = true;
}

void json_string(struct json_writer *writer, const char *text)
{
    if (text == NULL) {
        json_null(writer);
        return;
    }
    before_member(writer);
    write_escaped(writer, text);
}

void json_number(struct json_writer *writer, double value)
{
    if (!isfinite(value)) {
        json_null(writer);
        return;
    }
    char text[40];
    text_from_double_shortest(text, sizeof text, value);
    before_member(writer);
    fputs(text, writer->stream);
}

void json_rounded(struct json_writer *writer, double value, int decimals)
{
    if (!isfinite(value)) {
        json_null(writer);
        return;
    }
    char text[400];
    text_from_double(text, sizeof text, value, decimals);
    if (strchr(text, '.') != NULL) {
        char *end = text + strlen(text);
        while (end[-1] == '0') {
            end--;
        }
        end -= end[-1] == '.' ? 1 : 0;
        *end = '\0';
    }
    before_member(writer);
    fputs(text, writer->stream);
}

void json_integer(struct json_writer *writer, int64_t value)
{
    before_member(writer);
    fprintf(writer->stream, "%" PRId64, value);
}

void json_boolean(struct json_writer *writer, bool value)
{
    before_member(writer);
    fputs(value ? "true" : "false", writer->stream);
}

void json_null(struct json_writer *writer)
{
    before_member(writer);
    fputs("null", writer->stream);
}

void json_member_string(struct json_writer *writer, const char *name, const char *text)
{
    json_name(writer, name);
    json_string(writer, text);
}

void json_member_number(struct json_writer *writer, const char *name, double value)
{
    json_name(writer, name);
    json_number(writer, value);
}

void json_member_integer(struct json_writer *writer, const char *name, int64_t value)
{
    json_name(writer, name);
    json_integer(writer, value);
}

void json_member_boolean(struct json_writer *writer, const char *name, bool value)
{
    json_name(writer, name);
    json_boolean(writer, value);
}

void json_member_rounded(struct json_writer *writer, const char *name, double value, int decimals)
{
    json_name(writer, name);
    json_rounded(writer, value, decimals);
}

void json_member_if(struct json_writer *writer, const char *name, bool there, double value)
{
    json_member_number(writer, name, there ? value : (double)NAN);
}

void json_document_begin(struct json_writer *writer, FILE *stream, bool pretty, const char *format,
                         int version)
{
    json_begin(writer, stream, pretty);
    json_object_begin(writer);
    json_member_string(writer, "format", format);
    json_member_integer(writer, "format_version", version);
}

void json_object_member(struct json_writer *writer, const char *name)
{
    json_name(writer, name);
    json_object_begin(writer);
}

bool json_object_member_if(struct json_writer *writer, const char *name, bool there)
{
    json_name(writer, name);
    if (there) {
        json_object_begin(writer);
    } else {
        json_null(writer);
    }
    return there;
}

void json_array_member(struct json_writer *writer, const char *name)
{
    json_name(writer, name);
    json_array_begin(writer);
}
