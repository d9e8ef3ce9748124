/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_STORE_TOLD_H
#define HOLDLINE_TESTS_STORE_TOLD_H

#include "fixture.h"

#include "store/care.h"

#include <string.h>

/* What the looking after a store tells, one sentence a line. */
static char told[8192];

static inline void hear(void *context, const char *sentence)
{
    size_t length = strlen(told);
    (void)context;
    snprintf(told + length, sizeof told - length, "%s\n", sentence);
}

/* How many things are wrong with the store at path; told has them. */
static inline int64_t check_store(void)
{
    struct store *store = open_store(STORE_READ);
    int64_t count = -1;
    told[0] = '\0';
    MUST(store_check(store, hear, NULL, NULL, &count, &problem));
    store_close(store);
    return count;
}

/* Three sessions at file; the last has more samples than SQLite writes between two looks at the
 * watch. */
static inline void make_long_store(const char *file)
{
    make_store(file, 1, 2);
    struct store *store = open_at(file, STORE_RECORD);
    struct session_record *record = full_session(3);
    write_session(store, record);
    MUST(store_begin(store, &problem));
    write_samples(store, 901, 60000);
    MUST(store_commit(store, &problem));
    store_close(store);
    free(record);
}

#endif
