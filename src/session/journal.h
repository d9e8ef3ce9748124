/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_JOURNAL_H
#define HOLDLINE_SESSION_JOURNAL_H

#include "record/effect.h"
#include "say/event.h"

/* What has happened in a session and when: the order in which records came to be, by the time of
 * the stream. Only places in the records are kept; the words are made when a snapshot is. */
struct journal_entry {
    enum effect_kind kind;
    int index; /* in the record's array; EFFECT_SESSION: the number of the setup chosen */
    int64_t at_us;
};
struct journal {
    uint64_t serial; /* grows when an entry comes or its words may have changed */
    int count;
    struct journal_entry entry[EVENTS_MAX];
    int known[EFFECT_KINDS]; /* records of each kind that have their entry */
    int chosen_setup;
};

struct session;

/* A record is new or has changed. */
void journal_take(struct session *session, enum effect_kind kind, int index);
/* All of it in words: as many events as the journal has entries. */
void journal_events(const struct session *session, struct event *events);

#endif
