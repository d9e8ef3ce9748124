/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_SESSION_FILTER_H
#define HOLDLINE_APP_SESSION_FILTER_H

#include "store/store.h"

/* Which sessions are meant: by rider, bike and day. Alike for list, show and compare. */
struct session_filter {
    const char *rider;          /* the code; NULL: any */
    const char *bike;           /* part of its name, whatever the letters' case; NULL: any */
    int64_t since_ms, until_ms; /* begun at or after, before; 0: any */
};

enum { FILTER_RIDER = 3000, FILTER_BIKE, FILTER_SINCE, FILTER_UNTIL };

#define FILTER_LONG_OPTIONS                                                                        \
    {"rider", required_argument, NULL, FILTER_RIDER},                                              \
        {"bike", required_argument, NULL, FILTER_BIKE},                                            \
        {"since", required_argument, NULL, FILTER_SINCE},                                          \
    {                                                                                              \
        "until", required_argument, NULL, FILTER_UNTIL                                             \
    }

#define FILTER_USAGE                                                                               \
    "  --rider CODE   only this rider's sessions\n"                                                \
    "  --bike NAME    only those with this in the bike's name\n"                                   \
    "  --since DAY    only those begun on this day (2026-01-10, UTC) or later\n"                   \
    "  --until DAY    only those begun on this day or before\n"

bool filter_is_option(int option);
/* Takes one of these options. False with a problem of wrong use. */
bool filter_argument(struct session_filter *filter, int option, const char *value,
                     struct problem *problem);
/* Is anything asked for? */
bool filter_is_set(const struct session_filter *filter);
bool filter_fits(const struct session_filter *filter, const struct store_session *session);

/* Ids of the sessions that fit, newest first, at most most of them; *count how many there are.
 * False with a problem, also where none fits. */
bool filter_find(struct store *store, const struct session_filter *filter, int64_t *ids, int most,
                 int *count, struct problem *problem);

#endif
