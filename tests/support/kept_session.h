/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_KEPT_SESSION_H
#define HOLDLINE_TESTS_SUPPORT_KEPT_SESSION_H

#include "record/effect.h"
#include "session/session.h"

/* What goes out of a session, as a store keeps it, and its log: for tests of what must be the same
 * whether a session goes on, is read again or is replayed. */
#define KEPT_LINES 800
struct kept_session {
    struct session_record record;
    int effects; /* that went out so far */
    int count;
    struct command_record command[KEPT_LINES];
    bool full;        /* more lines than that: the rest of them is not here */
    bool misplaced;   /* a record came out with an index that its table has no room for */
    char damage[200]; /* why what was kept would be refused by a reader; "" else */
};

void kept_session_begin(struct kept_session *kept);
/* An effect_sink; the context is the struct. */
void kept_session_take(void *context, const struct effect *effect);
/* As it is read from the store again: looked through, as a loader does. The caller frees it. */
char *kept_session_text(struct kept_session *kept);

/* What a session has worked out by now is what follows from its records and samples, worked out
 * anew; but for a hold that goes on. False, with what differs. */
bool session_is_as_anew(struct session *session, char *difference, size_t size);

#endif
