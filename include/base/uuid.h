/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_UUID_H
#define HOLDLINE_BASE_UUID_H

#include "base/random.h"

#include <stdbool.h>
#include <stdint.h>

/* RFC 9562 identifiers, version 7: 48 bits of Unix milliseconds, then seeded random bits, so that a
 * scripted session makes the same ones each time. */
struct uuid {
    uint8_t bytes[16];
};

#define UUID_TEXT_SIZE 37

struct uuid uuid_make(struct random_source *source, int64_t unix_ms);
void uuid_text(char text[UUID_TEXT_SIZE], const struct uuid *uuid); /* lower-case, with hyphens */
int64_t uuid_unix_ms(const struct uuid *uuid);                      /* the time in it */
bool uuid_parse(const char *text, struct uuid *uuid);
bool uuid_equal(const struct uuid *a, const struct uuid *b);

#endif
