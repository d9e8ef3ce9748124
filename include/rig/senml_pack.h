/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_SENML_PACK_H
#define HOLDLINE_RIG_SENML_PACK_H

#include "rig/decoder.h"
#include "rig/span.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A pack of SenML records (RFC 8428, JSON), resolved as its section 4.6 says: base name, time, unit
 * and value put into each record they hold for. Texts point into the line, escapes in them left as
 * they are. */

#define SENML_RECORDS_MAX 64
#define SENML_NAME_SIZE 96

enum senml_value {
    SENML_NO_VALUE, /* base fields only, or a sum only */
    SENML_NUMBER,
    SENML_STRING,
    SENML_BOOLEAN,
    SENML_DATA,
};

struct senml_record {
    char name[SENML_NAME_SIZE]; /* base name and name; "" where the pack names nothing */
    size_t name_length;
    size_t own_name_at; /* where the record's own name begins */
    struct span unit;   /* length 0: none */
    int64_t time_us;    /* since 1970, or where under 2^28 s relative to now (section 4.5.3) */
    bool has_time;      /* a time or base time was given */
    enum senml_value kind;
    int64_t value_nano; /* of a number: value and base value, in 1e-9 of the unit */
    struct span text;   /* of a string, boolean or data, as written */
};

struct senml_pack {
    int count;
    struct senml_record record[SENML_RECORDS_MAX];
};

/* REJECT_REASONS when the line is a sound pack, else why it is none. */
enum reject_reason senml_resolve(struct senml_pack *pack, const char *line, size_t length);

#endif
