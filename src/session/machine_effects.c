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

struct uuid machine_uuid(const struct session *session, enum effect_kind kind, int index)
{
    return seeded_uuid(session, kind, index,
                       session->has_sample ? session->last.time_us / 1000 : 0);
}

struct uuid machine_tie_uuid(const struct session *session, int build)
{
    const struct uuid *built = &session->record.build[build].uuid;
    struct uuid uuid =
        seeded_uuid(session, EFFECT_TIE_READING, session->record.tie_reading_count, 0);
    memcpy(uuid.bytes, built->bytes, 6); /* version 7: the first 48 bits are the time */
    return uuid;
}

enum stored_table_id effect_table(enum effect_kind kind)
{
    static const enum stored_table_id tables[] = {
        [EFFECT_SESSION] = TABLE_SESSION,
        [EFFECT_RIDER] = TABLE_SESSION_RIDER,
        [EFFECT_BIKE] = TABLE_SESSION_BIKE,
        [EFFECT_PLACING] = TABLE_PLACING,
        [EFFECT_SETUP] = TABLE_SETUP,
        [EFFECT_BUILD] = TABLE_BUILD,
        [EFFECT_TIE_READING] = TABLE_TIE_READING,
        [EFFECT_CAPTURE] = TABLE_CAPTURE,
        [EFFECT_TARGET] = TABLE_TARGET,
        [EFFECT_BAND] = TABLE_BAND,
        [EFFECT_HOLD] = TABLE_HOLD,
        [EFFECT_MARK] = TABLE_MARK,
        [EFFECT_RATING] = TABLE_RATING,
        [EFFECT_NOTE] = TABLE_NOTE,
        [EFFECT_COMMAND] = TABLE_COMMAND,
        [EFFECT_CHECK] = TABLE_SENSOR_CHECK,
        [EFFECT_CUE_SOUND] = TABLE_CUE_SOUND,
    };
    return tables[kind];
}

static void fill_effect(const struct session_record *record, struct effect *effect)
{
    if (effect->kind == EFFECT_SESSION) {
        session_record_header(record, &effect->record.session);
        return;
    }
    const struct stored_table *table = stored_tables[effect_table(effect->kind)];
    memcpy(&effect->record,
           (const char *)record + table->offset + (size_t)effect->index * table->size, table->size);
}

void machine_log_command(struct session *session)
{
    const char *line = session->pending_command;
    session->pending_command = NULL;
    session->command_ordinal++;
    struct effect effect = {.kind = EFFECT_COMMAND, .index = (int)session->command_ordinal - 1};
    effect.record.command.ordinal = session->command_ordinal;
    effect.record.command.after_sample = session->has_sample ? session->last.number : 0;
    text_copy(effect.record.command.text, sizeof effect.record.command.text, line);
    if (session->sink != NULL) {
        session->sink(session->sink_context, &effect);
    }
}

void machine_emit(struct session *session, enum effect_kind kind, int index)
{
    if (session->pending_command != NULL) {
        machine_log_command(session);
    }
    session->serial++;
    journal_take(session, kind, index);
    if (session->sink == NULL) {
        return;
    }
    struct effect effect;
    memset(&effect, 0, sizeof effect);
    effect.kind = kind;
    effect.index = index;
    fill_effect(&session->record, &effect);
    session->sink(session->sink_context, &effect);
}
