/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "machine_effects.h"

#include "base/random.h"
#include "base/text.h"

#include <string.h>

/* What the machine tells outside: each record by value, and its identifier. */

/* The random part follows from the seed, the kind and the place alone, so that a record has the
 * same identifier whether something else was entered before or after it. */
static struct uuid seeded_uuid(const struct session *session, enum effect_kind kind, int index,
                               int64_t since_start_ms)
{
    struct random_source random;
    random_seed(&random,
                session->origin.seed ^ ((uint64_t)kind << 56) ^ ((uint64_t)(uint32_t)index << 32));
    return uuid_make(&random, session->origin.wall_ms + since_start_ms);
}

struct uuid machine_uuid(struct session *session, enum effect_kind kind, int index)
{
    return seeded_uuid(session, kind, acts_place(session, kind, index),
                       session->has_sample ? session->last.time_us / 1000 : 0);
}

struct uuid machine_tie_uuid(struct session *session, int build)
{
    const struct uuid *built = &session->record.build[build].uuid;
    int place = acts_place(session, EFFECT_TIE_READING, session->record.tie_reading_count);
    struct uuid uuid = seeded_uuid(session, EFFECT_TIE_READING, place, 0);
    memcpy(uuid.bytes, built->bytes, 6); /* version 7: the first 48 bits are the time */
    return uuid;
}

static enum effect_kind kind_of(enum stored_table_id table)
{
    enum effect_kind kind = EFFECT_SESSION;
    while (kind + 1 < EFFECT_KINDS && effect_table(kind) != table) {
        kind++;
    }
    return kind;
}

/* A record as it is stored: with the places of those it points at, which are further on than those
 * here where some before them were taken back. */
static void fill_effect(struct session *session, int index, struct effect *effect)
{
    struct session_record *record = &session->record;
    if (effect->kind == EFFECT_SESSION) {
        session_record_header(record, &effect->record.session);
        return;
    }
    const struct stored_table *table = stored_tables[effect_table(effect->kind)];
    memcpy(&effect->record, acts_at(record, effect->kind, index), table->size);
    for (int f = 0; f < table->field_count; f++) {
        const struct stored_field *field = &table->field[f];
        if (field->type == STORED_PLACE && field->of != TABLE_SESSION) {
            int *place = (int *)(void *)((char *)&effect->record + field->offset);
            *place = *place >= 0 ? acts_place(session, kind_of(field->of), *place) : *place;
        }
    }
}

void machine_log_command(struct session *session)
{
    const char *line = session->pending_command;
    session->pending_command = NULL;
    session->command_ordinal++;
    struct effect effect = {.kind = EFFECT_COMMAND, .index = (int)session->command_ordinal - 1};
    effect.record.command.ordinal = session->command_ordinal;
    effect.record.command.after_sample =
        session->record.last_sample; /* also of those after the end */
    text_copy(effect.record.command.text, sizeof effect.record.command.text, line);
    if (session->sink != NULL) {
        session->sink(session->sink_context, &effect);
    }
}

void machine_send(struct session *session, enum effect_kind kind, int index)
{
    if (session->pending_command != NULL) {
        machine_log_command(session);
    }
    session->serial++;
    if (session->sink == NULL) {
        return;
    }
    struct effect effect;
    memset(&effect, 0, sizeof effect);
    effect.kind = kind;
    effect.index = acts_place(session, kind, index);
    fill_effect(session, index, &effect);
    session->sink(session->sink_context, &effect);
}

void machine_emit(struct session *session, enum effect_kind kind, int index)
{
    acts_record(session, kind, index);
    journal_take(session, kind, index);
    machine_send(session, kind, index);
}
