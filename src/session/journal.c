/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "journal.h"

#include "base/text.h"
#include "machine.h"

#include <stdlib.h>
#include <string.h>

static void add_entry(struct session *session, enum effect_kind kind, int index)
{
    struct journal *journal = &session->journal;
    if (journal->count == EVENTS_MAX) {
        return; /* it has a place for every record there can be, and 1000 more */
    }
    journal->entry[journal->count++] = (struct journal_entry){
        .kind = kind,
        .index = index,
        .at_us = session->has_sample ? session->last.time_us : 0,
        .said = -1,
    };
}

/* Several channels read at once are one entry; so are a new setup and its first build. */
static bool belongs_to_entry(const struct session *session, enum effect_kind kind, int index)
{
    const struct journal *journal = &session->journal;
    const struct session_record *record = &session->record;
    const struct journal_entry *last =
        journal->count > 0 ? &journal->entry[journal->count - 1] : NULL;
    if (last == NULL || last->gone || last->said >= 0) {
        return false;
    }
    if (kind == EFFECT_BUILD) {
        return last->kind == EFFECT_SETUP && last->index == record->build[index].setup &&
               record->build[index].ordinal == 1;
    }
    if (kind == EFFECT_TIE_READING && last->kind == EFFECT_TIE_READING) {
        const struct tie_reading_record *a = &record->tie_reading[last->index];
        const struct tie_reading_record *b = &record->tie_reading[index];
        return a->kind == b->kind && a->build == b->build && a->at_sample == b->at_sample;
    }
    return false;
}

void journal_take(struct session *session, enum effect_kind kind, int index)
{
    struct journal *journal = &session->journal;
    if (kind == EFFECT_CUE_SOUND || kind == EFFECT_LEG) {
        return; /* in the record only: there are many, and they follow from the hold or the run */
    }
    journal->serial++;
    switch (kind) {
    case EFFECT_SESSION:
        if (session->record.settings.chosen_setup != journal->chosen_setup) {
            journal->chosen_setup = session->record.settings.chosen_setup;
            add_entry(session, kind, journal->chosen_setup);
        }
        return;
    case EFFECT_CAPTURE: /* it is told with what it was made for */
    case EFFECT_COMMAND:
        return;
    default:
        break;
    }
    if (index < journal->known[kind]) {
        return;
    }
    journal->known[kind] = index + 1;
    if (!belongs_to_entry(session, kind, index)) {
        add_entry(session, kind, index);
    }
}

/* Room for words that are kept; NULL without memory. */
static struct event *new_said(struct journal *journal, struct journal_entry *entry)
{
    if (journal->said_count == journal->said_room) {
        int room = journal->said_room == 0 ? 16 : journal->said_room * 2;
        struct event *larger = realloc(journal->said, (size_t)room * sizeof *larger);
        if (larger == NULL) {
            return NULL;
        }
        journal->said = larger;
        journal->said_room = room;
    }
    entry->said = journal->said_count;
    return &journal->said[journal->said_count++];
}

void journal_say(struct session *session, enum event_kind kind, const char *what, const char *text)
{
    struct journal *journal = &session->journal;
    int count = journal->count;
    journal->serial++;
    add_entry(session, EFFECT_COMMAND, 0);
    struct event *event = journal->count > count ? new_said(journal, &journal->entry[count]) : NULL;
    if (event == NULL) {
        journal->count = count;
        return;
    }
    *event = (struct event){.kind = kind};
    text_copy(event->what, sizeof event->what, what);
    text_copy(event->text, sizeof event->text, text);
}

/* The latest entry of the record that stands (or does not). */
static struct journal_entry *find_entry(struct session *session, enum effect_kind kind, int index,
                                        bool gone)
{
    struct journal *journal = &session->journal;
    for (int i = journal->count - 1; i >= 0; i--) {
        struct journal_entry *entry = &journal->entry[i];
        if (entry->kind == kind && entry->index == index && entry->gone == gone) {
            return entry;
        }
    }
    return NULL;
}

static void keep_words(struct session *session, struct journal_entry *entry)
{
    struct event *event = entry->said < 0 ? new_said(&session->journal, entry) : NULL;
    if (event != NULL) {
        say_event(&session->record, session->analysis, entry->kind, entry->index, event);
    }
}

void journal_keep_words(struct session *session, enum effect_kind kind, int index)
{
    struct journal_entry *entry = find_entry(session, kind, index, false);
    if (entry != NULL) {
        keep_words(session, entry);
    }
}

static void entry_gone(struct session *session, struct journal_entry *entry)
{
    session->journal.serial++;
    if (entry != NULL) {
        entry->said_before = entry->said >= 0;
        keep_words(session, entry);
        entry->gone = entry->said >= 0;
    }
}

static void entry_back(struct session *session, struct journal_entry *entry)
{
    session->journal.serial++;
    if (entry != NULL) {
        entry->gone = false;
        entry->said = entry->said_before ? entry->said : -1;
    }
}

void journal_taken_back(struct session *session, enum effect_kind kind, int index)
{
    int *known = &session->journal.known[kind];
    entry_gone(session, find_entry(session, kind, index, false));
    *known = index < *known ? index : *known;
}

void journal_put_back(struct session *session, enum effect_kind kind, int index)
{
    int *known = &session->journal.known[kind];
    entry_back(session, find_entry(session, kind, index, true));
    *known = index >= *known ? index + 1 : *known;
}

/* What is removed is known by its place in the store meanwhile. */
#define REMOVED(place) (-2 - (place))

static void shift_entries(struct journal *journal, enum effect_kind kind, int from, int by)
{
    for (int i = 0; i < journal->count; i++) {
        struct journal_entry *entry = &journal->entry[i];
        if (entry->kind == kind && entry->index >= from) {
            entry->index += by;
        }
    }
    journal->known[kind] += by;
}

void journal_removed(struct session *session, enum effect_kind kind, int index, int place)
{
    struct journal_entry *entry = find_entry(session, kind, index, false);
    entry_gone(session, entry);
    if (entry != NULL) {
        entry->index = REMOVED(place);
    }
    shift_entries(&session->journal, kind, index + 1, -1);
}

void journal_back_in(struct session *session, enum effect_kind kind, int index, int place)
{
    shift_entries(&session->journal, kind, index, 1);
    struct journal_entry *entry = find_entry(session, kind, REMOVED(place), true);
    if (entry != NULL) {
        entry->index = index;
    }
    entry_back(session, entry);
}

void journal_choice_taken_back(struct session *session, bool put_back)
{
    struct journal *journal = &session->journal;
    int chosen = session->record.settings.chosen_setup;
    if (chosen == journal->chosen_setup) {
        return;
    }
    if (put_back) {
        entry_back(session, find_entry(session, EFFECT_SESSION, chosen, true));
    } else {
        entry_gone(session, find_entry(session, EFFECT_SESSION, journal->chosen_setup, false));
    }
    journal->chosen_setup = chosen;
}

void journal_end(struct session *session)
{
    free(session->journal.said);
}

void journal_events(const struct session *session, struct event *events)
{
    const struct journal *journal = &session->journal;
    for (int i = 0; i < journal->count; i++) {
        const struct journal_entry *entry = &journal->entry[i];
        if (entry->said >= 0) {
            events[i] = journal->said[entry->said];
        } else {
            say_event(&session->record, session->analysis, entry->kind, entry->index, &events[i]);
        }
        if (entry->gone) {
            say_event_taken_back(&events[i]);
        }
        events[i].at_s = (double)entry->at_us / 1e6;
    }
}
