/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_JSON_H
#define HOLDLINE_BASE_JSON_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

/* Writes JSON (RFC 8259) to a stream: shortest digits that read back, never NaN or Inf (null
 * instead), strings escaped, commas and indentation kept by the writer. Nesting up to 32. */
struct json_writer {
    FILE *stream;
    bool pretty; /* two-space indentation and line ends; else one line */
    int depth;
    bool has_member[33];
    bool after_name;
};

void json_begin(struct json_writer *writer, FILE *stream, bool pretty);
/* A document that says what it is: opens its object, with `format` and `format_version`, by which
 * docs/NAME.schema.json describes it (docs/scripts.md says when a version goes up). */
void json_document_begin(struct json_writer *writer, FILE *stream, bool pretty, const char *format,
                         int version);
void json_object_begin(struct json_writer *writer);
void json_object_end(struct json_writer *writer);
void json_array_begin(struct json_writer *writer);
void json_array_end(struct json_writer *writer);
void json_name(struct json_writer *writer, const char *name);
void json_string(struct json_writer *writer, const char *text); /* NULL gives null */
void json_number(struct json_writer *writer, double value);     /* not finite gives null */
void json_rounded(struct json_writer *writer, double value, int decimals);
void json_integer(struct json_writer *writer, int64_t value);
void json_boolean(struct json_writer *writer, bool value);
void json_null(struct json_writer *writer);

/* Name and value at once. */
void json_member_string(struct json_writer *writer, const char *name, const char *text);
void json_member_number(struct json_writer *writer, const char *name, double value);
void json_member_integer(struct json_writer *writer, const char *name, int64_t value);
void json_member_boolean(struct json_writer *writer, const char *name, bool value);
void json_member_rounded(struct json_writer *writer, const char *name, double value, int decimals);
/* null where it is not there */
void json_member_if(struct json_writer *writer, const char *name, bool there, double value);
void json_object_member(struct json_writer *writer, const char *name); /* name and '{' */
/* null and false where it is not there */
bool json_object_member_if(struct json_writer *writer, const char *name, bool there);
void json_array_member(struct json_writer *writer, const char *name); /* name and '[' */

#endif
