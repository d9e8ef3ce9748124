/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_STORE_DAMAGE_H
#define HOLDLINE_STORE_DAMAGE_H

#include "database.h"

/* What is damaged in what is read; for the store's own room only. */

/* 'session 3: ' and the rest, to whoever listens. */
void damage_tell(struct store *store, int64_t session_id, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* Between the two something is read: false, with a sentence, where it was damaged and nobody
 * listened. */
int64_t damage_begin(const struct store *store);
bool damage_end(const struct store *store, int64_t begun, struct problem *problem);
/* ' (12.0 to 72.0 s)' of samples of a session; "" of none. */
#define DAMAGE_SPAN_SIZE 64
void damage_span(struct store *store, int64_t session_id, int64_t first, int64_t last, char *text,
                 size_t size);

#endif
