/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_CARRIED_H
#define HOLDLINE_SAY_CARRIED_H

#include "record/record.h"

#include <stdbool.h>
#include <stddef.h>

/* What a file may carry of a person, added up. */
enum carried {
    CARRIES_CODE = 1,
    CARRIES_NAME = 2,
    CARRIES_WATCH_FOR = 4,
    CARRIES_NOTES = 8,
    CARRIES_REASONS = 16, /* why holds were left out */
    CARRIES_RATINGS = 32,
    CARRIES_ALL = 63,
};

/* Which of them there are in a session. */
unsigned carried_there(const struct session_record *record);

/* 'carries of the rider: code, name, notes, ratings'; false (and "") where that is nothing. */
bool say_carried(char *text, size_t size, unsigned carries);

#endif
