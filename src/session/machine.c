/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "machine.h"

#include "base/text.h"
#include "machine_effects.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* The small things that all who work on the session share. */

double machine_now_s(const struct session *session)
{
    return session->has_sample ? (double)session->last.time_us / 1e6 : 0.0;
}

void machine_say(struct session *session, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(session->message, sizeof session->message, format, arguments);
    va_end(arguments);
    session->message_serial++;
    session->message_is_problem = false;
    session->serial++;
}

const struct placing_record *machine_placing(const struct session *session)
{
    return session->placing >= 0 ? &session->record.placing[session->placing] : NULL;
}

int machine_channel(const struct session *session, const char *name, struct problem *problem)
{
    const struct placing_record *placing = machine_placing(session);
    char known[256] = "";
    size_t used = 0;
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        if (text_equal(placing->channel[c].name, name)) {
            return c;
        }
        text_append(known, sizeof known, &used, "%s%s", c > 0 ? ", " : "",
                    placing->channel[c].name);
    }
    problem_set(problem, "there is no channel '%s'; the sensors are: %s", name,
                known[0] != '\0' ? known : "none so far");
    return -1;
}

int machine_height_channel(const struct session *session, const char *name, struct problem *problem)
{
    int channel = machine_channel(session, name, problem);
    if (channel >= 0 && machine_placing(session)->channel[channel].role == ROLE_AUXILIARY) {
        problem_set(problem, "'%s' is no height: it is shown, and nothing is cued on it", name);
        return -1;
    }
    return channel;
}

bool machine_only_keys(const struct words *words, const char *const *keys, struct problem *problem)
{
    for (int i = 1; i < words->count; i++) {
        const char *key = words->word[i].key;
        bool known = key == NULL;
        for (int k = 0; !known && keys[k] != NULL; k++) {
            known = text_equal(keys[k], key);
        }
        if (!known) {
            return problem_set(problem, "'%s' does not know '%s='", words->word[0].value, key);
        }
    }
    return true;
}

bool machine_sure(const struct session *session, const struct words *words)
{
    const char *sure = words_value(words, "sure");
    return session->trusting || acts_takes_earlier(session) ||
           (sure != NULL && text_equal(sure, "yes"));
}

bool machine_has_target(const struct session *session, int channel)
{
    return session->target >= 0 && session->analysis->target[session->target][channel].has &&
           (session->build < 0 ||
            analysis_target_is_beside(&session->record, session->analysis, session->target,
                                      session->build, channel));
}

void machine_retarget(struct session *session)
{
    const struct placing_record *placing = machine_placing(session);
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        struct cue_settings settings = session->settings.cue[c];
        double target_mm = NAN;
        if (machine_has_target(session, c)) {
            target_mm = session->analysis->target[session->target][c].height_mm;
        }
        if (session->band >= 0 && session->record.band[session->band].limited[c]) {
            settings = session->record.band[session->band].cue[c];
        }
        cue_retarget(&session->channel[c].slow, &settings, target_mm);
    }
    session->serial++;
}

int machine_new_placing(struct session *session)
{
    struct session_record *record = &session->record;
    struct placing_record *placing = &record->placing[record->placing_count];
    memset(placing, 0, sizeof *placing);
    placing->uuid = machine_uuid(session, EFFECT_PLACING, record->placing_count);
    placing->first_sample = session->has_sample ? session->last.number + 1 : 1;
    return record->placing_count++;
}

void machine_find_in_force(struct session *session)
{
    const struct session_record *record = &session->record;
    session->placing = record->placing_count - 1;
    session->build = record->build_count - 1;
    session->band = record->band_count - 1;
    session->target = record->target_count - 1;
    while (session->target >= 0 && !record->target[session->target].kept) {
        session->target--;
    }
}

/* ---- what others may read ---- */

const char *session_message(const struct session *session, uint64_t *serial)
{
    *serial = session->message_serial;
    return session->message;
}

enum view_phase session_phase(const struct session *session)
{
    if (session->record.ended) {
        return VIEW_ENDED;
    }
    if (session->doing.activity == ACTIVITY_CHECK) {
        return VIEW_CHECK;
    }
    if (session->doing.activity != ACTIVITY_NONE && !session->begun) {
        return VIEW_SETTLING;
    }
    switch (session->doing.activity) {
    case ACTIVITY_HOLD:
        return VIEW_HOLD;
    case ACTIVITY_TARGET:
        return VIEW_TARGET;
    case ACTIVITY_PLATE:
        return VIEW_PLATE;
    case ACTIVITY_CHECK:
    case ACTIVITY_NONE:
        break;
    }
    return session->has_sample ? VIEW_LIVE : VIEW_WAITING;
}

const struct session_record *session_records(const struct session *session)
{
    return &session->record;
}

const struct analysis *session_analysis(const struct session *session)
{
    return session->analysis;
}

bool session_samples(void *context, int64_t first, int64_t last, const struct sample **samples,
                     size_t *count)
{
    struct session *session = context;
    return memory_samples(session->memory, first, last, samples, count) ||
           (session->elsewhere != NULL &&
            session->elsewhere(session->elsewhere_context, first, last, samples, count));
}

void session_trust(struct session *session, bool trusting)
{
    session->trusting = trusting;
}

void session_keep_elsewhere(struct session *session, sample_source *source, void *context)
{
    session->elsewhere = source;
    session->elsewhere_context = context;
}

struct memory_reader *session_sample_reader(const struct session *session)
{
    return memory_reader_create(session->memory);
}
