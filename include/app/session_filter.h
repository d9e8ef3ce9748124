/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_SESSION_FILTER_H
#define HOLDLINE_APP_SESSION_FILTER_H

#include "app/options.h"
#include "store/store.h"

/* Which sessions are meant: by rider, bike and day. Alike for list, show and compare. */
struct session_filter {
    const char *rider;          /* the code; NULL: any */
    const char *bike;           /* part of its name, whatever the letters' case; NULL: any */
    int64_t since_ms, until_ms; /* begun at or after, before; 0: any */
};

enum { FILTER_OPTIONS = 4 };
extern const struct option_row filter_options[FILTER_OPTIONS];

#define FILTER_USAGE                                                                               \
    "  --rider CODE   only this rider's sessions\n"                                                \
    "  --bike NAME    only those with this in the bike's name\n"                                   \
    "  --since DAY    only those begun on this day (2026-01-10) or later\n"                        \
    "  --until DAY    only those begun on this day or before\n"

/* '2026-01-10' as its first moment, where the reader is. */
#define FILTER_DAY "a day such as 2026-01-10"
bool filter_read_day(const char *text, int64_t *unix_ms);
/* Is anything asked for? */
bool filter_is_set(const struct session_filter *filter);
bool filter_fits(const struct session_filter *filter, const struct store_session *session);

/* Ids of the sessions that fit, newest first, at most most of them; *count how many there are.
 * False with a problem, also where none fits. */
bool filter_find(struct store *store, const struct session_filter *filter, int64_t *ids, int most,
                 int *count, struct problem *problem);

#endif
