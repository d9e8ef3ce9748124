/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_JOURNAL_H
#define HOLDLINE_SESSION_JOURNAL_H

#include "record/effect.h"
#include "say/event.h"

/* What has happened in a session and when: the order in which records came to be, by the time of
 * the stream. Only places in the records are kept; the words are made when a snapshot is. Words
 * that stay as they were said are kept: of what was put right since, or taken back, and of what is
 * no record. */
struct journal_entry {
    enum effect_kind kind;
    int index; /* in the record's array; EFFECT_SESSION: the number of the setup chosen */
    int64_t at_us;
    int said;         /* which of the words that are kept; -1: they are made of the record */
    bool gone;        /* taken back */
    bool said_before; /* its words were kept before it was taken back */
};
struct journal {
    uint64_t serial; /* grows when an entry comes or its words may have changed */
    int count;
    struct journal_entry entry[EVENTS_MAX];
    int known[EFFECT_KINDS]; /* records of each kind that have their entry */
    int chosen_setup;
    int said_count, said_room;
    struct event *said;
};

struct session;

/* A record is new or has changed. */
void journal_take(struct session *session, enum effect_kind kind, int index);
/* Something that is no record happened. */
void journal_say(struct session *session, enum event_kind kind, const char *what, const char *text);
/* A record's entry keeps the words it has now. */
void journal_keep_words(struct session *session, enum effect_kind kind, int index);
/* A record is about to be taken back, or was put back. */
void journal_taken_back(struct session *session, enum effect_kind kind, int index);
void journal_put_back(struct session *session, enum effect_kind kind, int index);
/* A record has left the middle of its array, or is there again. */
void journal_removed(struct session *session, enum effect_kind kind, int index, int place);
void journal_back_in(struct session *session, enum effect_kind kind, int index, int place);
/* The choice of a setup is as it was before, or as it was again. */
void journal_choice_taken_back(struct session *session, bool put_back);
void journal_end(struct session *session);
/* All of it in words: as many events as the journal has entries. */
void journal_events(const struct session *session, struct event *events);

#endif
