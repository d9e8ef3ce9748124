/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_OWN_SAMPLES_H
#define HOLDLINE_APP_OWN_SAMPLES_H

#include "store/store.h"

#include <limits.h>

/* Samples of the session that is being recorded, out of its store: what the session does not keep
 * in memory (session_keep_elsewhere). The store is opened, to read, when the first are asked for,
 * and again where its file is another since, or fails. One thread uses it. */
struct own_samples {
    char store_path[PATH_MAX];
    int64_t session_id; /* 0: not in the store yet */
    struct store *store;
};

/* A sample_source; context is the own_samples. False where the store has not all of them (yet). */
bool own_samples_source(void *context, int64_t first, int64_t last, const struct sample **samples,
                        size_t *count);
void own_samples_close(struct own_samples *own);

#endif
