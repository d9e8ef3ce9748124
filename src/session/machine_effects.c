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

static void fill_effect(const struct session_record *record, struct effect *effect)
{
    int i = effect->index;
    switch (effect->kind) {
    case EFFECT_SESSION:
        effect->record.session = (struct session_header){
            .uuid = record->uuid,
            .started_ms = record->started_ms,
            .seed = record->seed,
            .ended = record->ended,
            .settings = record->settings,
            .limits = record->limits,
        };
        memcpy(effect->record.session.version, record->version, sizeof record->version);
        break;
    case EFFECT_RIDER:
        effect->record.rider = record->rider;
        break;
    case EFFECT_BIKE:
        effect->record.bike = record->bike;
        break;
    case EFFECT_PLACING:
        effect->record.placing = record->placing[i];
        break;
    case EFFECT_SETUP:
        effect->record.setup = record->setup[i];
        break;
    case EFFECT_BUILD:
        effect->record.build = record->build[i];
        break;
    case EFFECT_TIE_READING:
        effect->record.tie_reading = record->tie_reading[i];
        break;
    case EFFECT_CAPTURE:
        effect->record.capture = record->capture[i];
        break;
    case EFFECT_TARGET:
        effect->record.target = record->target[i];
        break;
    case EFFECT_BAND:
        effect->record.band = record->band[i];
        break;
    case EFFECT_HOLD:
        effect->record.hold = record->hold[i];
        break;
    case EFFECT_MARK:
        effect->record.mark = record->mark[i];
        break;
    case EFFECT_RATING:
        effect->record.rating = record->rating[i];
        break;
    case EFFECT_NOTE:
        effect->record.note = record->note[i];
        break;
    case EFFECT_CHECK:
        effect->record.check = record->check[i];
        break;
    case EFFECT_COMMAND:
        break;
    }
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
