/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_JSON_SCHEMA_H
#define HOLDLINE_TESTS_SUPPORT_JSON_SCHEMA_H

#include <stdbool.h>

/* Is there a validator of JSON Schema? Else says that this is skipped. */
bool json_validator_or_skip(void);

/* Fails the test where the schema (a path from folder, or the whole one) is not sound, or one of
 * the files in folder (blanks between) is not as it says (tests/support/validate_json.py). Does
 * nothing where there is no validator. */
void json_validate(const char *folder, const char *schema, const char *files);

#endif
