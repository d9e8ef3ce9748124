/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_APP_LISTEN_FIXTURE_H
#define HOLDLINE_TESTS_APP_LISTEN_FIXTURE_H

#include "support/json_reader.h"
#include "support/program.h"
#include "support/test_main.h"

#include <string.h>

/* What 'holdline listen' printed, and what its health says. */

static inline const char *contains(const char *text, const char *wanted)
{
    const char *found = strstr(text, wanted);
    ck_assert_msg(found != NULL, "'%s' is not in:\n%s", wanted, text);
    return found;
}

/* The last line of --json: the health. The caller frees it. */
static inline struct json_value *health_of(const char *const *arguments, int status)
{
    char error[160];
    struct program_result result = program_run(source_path("sessions"), NULL, arguments);
    ck_assert_msg(result.status == status, "status %d: %s", result.status, result.errors);
    char *last = result.output + strlen(result.output);
    ck_assert_ptr_ne(last, result.output);
    *--last = '\0'; /* its line end */
    while (last > result.output && last[-1] != '\n') {
        last--;
    }
    struct json_value *value = json_read(last, error);
    ck_assert_msg(value != NULL, "%s: %s", error, last);
    ck_assert_ptr_nonnull(json_at(value, "health"));
    program_free(&result);
    return value;
}

static inline void check_number(const struct json_value *value, const char *path, double wanted)
{
    double number = json_number_at(value, path);
    ck_assert_msg(number == wanted, "%s is %.6f, not %.6f", path, number, wanted);
}

#endif
