/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_JSON_READER_H
#define HOLDLINE_TESTS_SUPPORT_JSON_READER_H

#include <stdbool.h>
#include <stddef.h>

/* A strict reader of RFC 8259 for tests, apart from the program's writer: builds a tree, refuses
 * what the grammar does not allow (a comma too many, NaN, a name given twice, a raw control
 * character). */
enum json_kind {
    JSON_NULL,
    JSON_FALSE,
    JSON_TRUE,
    JSON_NUMBER,
    JSON_STRING,
    JSON_ARRAY,
    JSON_OBJECT
};
struct json_value {
    enum json_kind kind;
    double number;
    char *text; /* of a string; digits of a number */
    char *name; /* of a member */
    struct json_value *first, *next;
    size_t count; /* members or elements */
};

/* NULL with a sentence in error (at least 160 bytes). */
struct json_value *json_read(const char *text, char *error);
void json_free(struct json_value *value);
/* 'holds/0/channels/1/mean_mm'; NULL where the path does not lead anywhere. */
const struct json_value *json_at(const struct json_value *value, const char *path);
/* Number at a path; NAN when it is null, missing or no number. */
double json_number_at(const struct json_value *value, const char *path);
/* Text at a path; NULL when it is null, missing or no string. */
const char *json_text_at(const struct json_value *value, const char *path);

#endif
