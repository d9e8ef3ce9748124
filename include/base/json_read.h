/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_JSON_READ_H
#define HOLDLINE_BASE_JSON_READ_H

#include "base/problem.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Reads one JSON text (RFC 8259) and looks things up in it. Values are known by their place, 0 is
 * the whole; -1 stands for what is not there and may be handed on, so that look-ups can be nested
 * without asking each time. */
struct json_document;

/* text is kept by the caller as long as the document. NULL with a problem when it is no JSON. */
struct json_document *json_document_read(const char *text, size_t length, struct problem *problem);
void json_document_free(struct json_document *document);

int json_find(const struct json_document *document, int object, const char *name);
int json_element(const struct json_document *document, int array, int index);
int json_count(const struct json_document *document,
               int value); /* members or elements; 0 for others */

/* False (and value untouched) where it is not there, null or of another kind. */
bool json_get_number(const struct json_document *document, int value, double *number);
bool json_get_boolean(const struct json_document *document, int value, bool *truth);
/* Escapes resolved, cut at size. */
bool json_get_string(const struct json_document *document, int value, char *text, size_t size);

#endif
