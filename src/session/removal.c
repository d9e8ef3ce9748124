/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "removal.h"

#include "journal.h"
#include "machine.h"
#include "machine_effects.h"

#include <string.h>

/* All in the session points at a place from this one on: by so many further. */
static void shift_pointers(struct session_record *record, enum effect_kind kind, int from, int by)
{
    for (enum effect_kind of = EFFECT_PLACING; of < EFFECT_KINDS; of++) {
        const struct stored_table *table = stored_tables[effect_table(of)];
        const int *count = acts_count_of(record, of);
        for (int f = 0; count != NULL && f < table->field_count; f++) {
            const struct stored_field *field = &table->field[f];
            bool points = field->type == STORED_PLACE && field->of == effect_table(kind) &&
                          field->of != TABLE_SESSION;
            for (int i = 0; points && i < *count; i++) {
                char *at = acts_at(record, of, i);
                int *place = (int *)(void *)(at + field->offset);
                *place += *place >= from ? by : 0;
            }
        }
    }
}

static void close_gap(struct session_record *record, enum effect_kind kind, int index)
{
    int *count = acts_count_of(record, kind);
    size_t size = stored_tables[effect_table(kind)]->size;
    --*count;
    memmove(acts_at(record, kind, index), acts_at(record, kind, index + 1),
            (size_t)(*count - index) * size);
    shift_pointers(record, kind, index + 1, -1);
}

static void make_gap(struct session_record *record, enum effect_kind kind, int index,
                     const void *bytes)
{
    int *count = acts_count_of(record, kind);
    size_t size = stored_tables[effect_table(kind)]->size;
    shift_pointers(record, kind, index, 1);
    memmove(acts_at(record, kind, index + 1), acts_at(record, kind, index),
            (size_t)(*count - index) * size);
    ++*count;
    memcpy(acts_at(record, kind, index), bytes, size);
}

static void take(struct session *session, enum effect_kind kind, int index, int place)
{
    struct acts *acts = session->acts;
    const struct stored_table *table = stored_tables[effect_table(kind)];
    acts_place(session, kind, *acts_count_of(&session->record, kind) - 1); /* all have theirs */
    stored_set_undone(table, acts_at(&session->record, kind, index), true);
    machine_send(session, kind, index);
    journal_removed(session, kind, index, place);
    close_gap(&session->record, kind, index);
    close_gap(acts->known, kind, index);
    acts->placed[kind]--;
    memmove(&acts->place[kind][index], &acts->place[kind][index + 1],
            (size_t)(acts->placed[kind] - index) * sizeof acts->place[kind][0]);
}

void removal_take(struct session *session, enum effect_kind kind, int index)
{
    int place = acts_place(session, kind, index);
    acts_removed(session, kind, index, place);
    take(session, kind, index, place);
}

void removal_redo(struct session *session, const struct act_image *image)
{
    take(session, image->kind, image->index, image->place);
}

void removal_undo(struct session *session, const struct act_image *image)
{
    struct acts *acts = session->acts;
    enum effect_kind kind = image->kind;
    int index = image->index;
    if (*acts_count_of(&session->record, kind) > 0) {
        acts_place(session, kind, *acts_count_of(&session->record, kind) - 1);
    }
    make_gap(&session->record, kind, index, image->bytes);
    make_gap(acts->known, kind, index, image->bytes);
    memmove(&acts->place[kind][index + 1], &acts->place[kind][index],
            (size_t)(acts->placed[kind] - index) * sizeof acts->place[kind][0]);
    acts->place[kind][index] = image->place;
    acts->placed[kind]++;
    journal_back_in(session, kind, index, image->place);
    machine_send(session, kind, index);
}
