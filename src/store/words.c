/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "database.h"

/* The words the schema uses for enums, in the enums' order; NULL where the enum means 'not known'.
 */
#define WORDS(name, ...)                                                                           \
    static const char *const name##_list[] = {__VA_ARGS__};                                        \
    const struct store_words name = {(int)(sizeof name##_list / sizeof name##_list[0]), name##_list}

WORDS(role_words, "body", "reference", "auxiliary");
WORDS(tie_reading_words, "plate", "tape");
WORDS(capture_words, "target", "hold", "plate", "check");
WORDS(hold_status_words, "running", "complete", "stopped", "cut short");
WORDS(answer_words, NULL, "yes", "no");
WORDS(sees_ahead_words, NULL, "yes", "strained", "no");
