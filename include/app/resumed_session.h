/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RESUMED_SESSION_H
#define HOLDLINE_APP_RESUMED_SESSION_H

#include "base/problem.h"
#include "store/store.h"

#include <stdbool.h>

/* Which session of a store is to be gone on with. */
struct resumed_wish {
    bool asked;        /* one is wanted: where none was cut short the latest, though it ended */
    const char *words; /* that one: '12', 'last', a rider's code; NULL: not said */
};
/* --resume and --resume=SESSION. False with a problem where nothing stands behind the '='. */
bool resumed_wish_read(struct resumed_wish *wish, const char *text, struct problem *problem);

/* The one that is named, else the one that was cut short. id 0: there is none, which is a problem
 * where one is wanted, as is a store that another holdline has. */
bool resumed_session_find(const char *store_path, const struct resumed_wish *wish,
                          struct store_session *session, struct problem *problem);

/* What was saved beside the store when it could not be stored (recorder.h), and how it is taken in;
 * "" where nothing was. */
#define RESUMED_SAVED_SIZE (2 * 4096 + 64)
void resumed_session_saved(const char *store_path, const struct store_session *session, char *text,
                           size_t size);

#endif
