/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "journal.h"

#include "machine.h"

static void add_entry(struct session *session, enum effect_kind kind, int index)
{
    struct journal *journal = &session->journal;
    if (journal->count == EVENTS_MAX) {
        return; /* cannot be: it has a place for every record there can be, and 100 choices */
    }
    journal->entry[journal->count++] = (struct journal_entry){
        .kind = kind,
        .index = index,
        .at_us = session->has_sample ? session->last.time_us : 0,
    };
}

/* Several channels read at once are one entry; so are a new setup and its first build. */
static bool belongs_to_entry(const struct session *session, enum effect_kind kind, int index)
{
    const struct journal *journal = &session->journal;
    const struct session_record *record = &session->record;
    const struct journal_entry *last =
        journal->count > 0 ? &journal->entry[journal->count - 1] : NULL;
    if (last == NULL) {
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
    if (kind == EFFECT_CUE_SOUND) {
        return; /* in the record only: there are many, and they follow from the hold */
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

void journal_events(const struct session *session, struct event *events)
{
    const struct journal *journal = &session->journal;
    for (int i = 0; i < journal->count; i++) {
        const struct journal_entry *entry = &journal->entry[i];
        events[i].at_s = (double)entry->at_us / 1e6;
        say_event(&session->record, session->analysis, entry->kind, entry->index, &events[i]);
    }
}
