/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_JOURNAL_H
#define HOLDLINE_SESSION_JOURNAL_H

#include "session/effect.h"
#include "session/view.h"

/* What has happened in a session and when: the order in which records came to be, by the time of
 * the stream. Only places in the records are kept; the words are made when a view asks. */
struct journal_entry {
    enum effect_kind kind;
    int index; /* in the record's array; EFFECT_SESSION: the number of the setup chosen */
    int64_t at_us;
};
struct journal {
    uint64_t serial; /* grows when an entry comes or its words may have changed */
    int count;
    struct journal_entry entry[VIEW_EVENTS];
    int known[EFFECT_CHECK + 1]; /* records of each kind that have their entry */
    int chosen_setup;
};

struct session;

/* A record is new or has changed. */
void journal_take(struct session *session, enum effect_kind kind, int index);
/* The view's events; nothing where they are there already. */
void journal_fill_view(const struct session *session, struct view *view);

#endif
