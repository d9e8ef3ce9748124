/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "session/session.h"

#include "base/text.h"
#include "capture.h"
#include "commands.h"
#include "live.h"
#include "machine_effects.h"
#include "measure/rules.h"
#include "told.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The session as others see it: made, given samples and commands. */

static const struct {
    const char *word;
    command_handler *handle;
} handlers[] = {
    {"rig", command_rig},           {"rider", command_rider},         {"bike", command_bike},
    {"sensor", command_sensor},     {"setup", command_setup},         {"build", command_build},
    {"correct", command_correct},   {"plate", command_plate},         {"tape", command_tape},
    {"target", command_target},     {"band", command_band},           {"cue", command_cue},
    {"hold", command_hold},         {"stop", command_stop},           {"keep", command_keep},
    {"mark", command_mark},         {"reject", command_reject},       {"restore", command_restore},
    {"rating", command_rating},     {"note", command_note},           {"matters", command_matters},
    {"baseline", command_baseline}, {"choose", command_choose},       {"slope", command_slope},
    {"minutes", command_minutes},   {"known", command_known},         {"placing", command_placing},
    {"limits", command_limits},     {"resume", command_resume},       {"end", command_end},
    {"check", command_check},       {"calibrate", command_calibrate}, {"moved", command_moved},
    {"learnt", command_learnt},     {"slipped", command_slipped},     {"sound", command_sound},
};
#define HANDLERS ((int)(sizeof handlers / sizeof handlers[0]))

static void default_cues(struct session *session)
{
    for (int c = 0; c < CHANNELS_MAX; c++) {
        session->cue[c] = cue_usual(false);
    }
}

struct session *session_create(const struct session_origin *origin, effect_sink *sink,
                               void *context)
{
    struct session *session = calloc(1, sizeof *session);
    if (session == NULL) {
        return NULL;
    }
    session->analysis = analysis_create();
    session->memory = memory_create();
    if (session->analysis == NULL || session->memory == NULL) {
        session_destroy(session);
        return NULL;
    }
    session->sink = sink;
    session->sink_context = context;
    session->origin = *origin;
    session_record_clear(&session->record);
    session->placing = session->build = session->target = session->band = -1;
    session->capture = session->hold = session->ask.channel = -1;
    session->minutes_planned = NAN;
    session->rate_hz = 50.0;
    session->progress_second = session->check_quarter = -1;
    default_cues(session);
    live_start(session);

    struct session_record *record = &session->record;
    record->uuid = machine_uuid(session, EFFECT_SESSION, 0);
    record->started_ms = origin->wall_ms;
    record->seed = origin->seed;
    text_copy(record->version, sizeof record->version, HOLDLINE_VERSION);
    machine_emit(session, EFFECT_SESSION, 0);
    return session;
}

void session_destroy(struct session *session)
{
    if (session == NULL) {
        return;
    }
    memory_destroy(session->memory);
    analysis_destroy(session->analysis);
    free(session);
}

/* ---- the public way in ---------------------------------------------------------------------- */

static int find_handler(const char *word)
{
    for (int i = 0; i < HANDLERS; i++) {
        if (text_equal(handlers[i].word, word)) {
            return i;
        }
    }
    return -1;
}

bool session_knows_command(const char *word)
{
    return find_handler(word) >= 0;
}

bool session_command(struct session *session, const char *line, struct problem *problem)
{
    struct words words;
    char clean[COMMAND_TEXT_SIZE];
    if (strlen(line) >= sizeof clean) {
        return problem_set(problem, "a command of over %d characters", COMMAND_TEXT_SIZE - 1);
    }
    text_clean(clean, sizeof clean, line);
    if (!words_split(clean, &words, problem)) {
        return false;
    }
    if (words.count == 0) {
        return true;
    }
    int found = words.word[0].key == NULL ? find_handler(words.word[0].value) : -1;
    if (found < 0) {
        return problem_set(problem, "there is no command '%s'", words.word[0].value);
    }
    if (session->record.ended) {
        return problem_set(problem, "this session has ended");
    }
    if (!machine_texts_fit(&words, problem)) {
        return false;
    }
    session->pending_command = clean;
    bool done = handlers[found].handle(session, &words, problem);
    if (done && session->pending_command != NULL) {
        machine_log_command(session);
    }
    session->pending_command = NULL;
    session->serial++;
    return done;
}

/* The rate from the time stamps, once: filters of a rig that announces another one are put right.
 */
static void measure_rate(struct session *session, const struct sample *sample)
{
    if (session->rate_measured) {
        return;
    }
    if (session->rate_samples == 0 || sample->link_gap_before || sample->lost_before > 0) {
        session->rate_from_us = sample->time_us;
        session->rate_samples = 1;
        return;
    }
    if (++session->rate_samples < RATE_SEEN_SAMPLES) {
        return;
    }
    session->rate_measured = true;
    double span_s = (double)(sample->time_us - session->rate_from_us) / 1e6;
    if (span_s > 0.0) {
        double rate_hz = (double)(session->rate_samples - 1) / span_s;
        if (fabs(rate_hz - session->rate_hz) > HEALTH_RATE_SHARE * session->rate_hz) {
            session->rate_hz = rate_hz;
            live_start(session);
        }
    }
}

void session_sample(struct session *session, const struct sample *sample)
{
    /* What still comes after the end is recorded, so it counts, but nothing follows from it. */
    session->record.last_sample = sample->number;
    session->record.last_time_us = sample->time_us;
    if (session->record.ended) {
        return;
    }
    session->last = *sample;
    session->has_sample = true;
    session->serial++;
    memory_add(session->memory, sample);
    measure_rate(session, sample);
    live_sample(session, sample);
    told_sample(session);
    if (session->activity != ACTIVITY_NONE) {
        capture_sample(session, sample);
    }
}
