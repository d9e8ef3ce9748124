/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "machine.h"

#include "base/text.h"
#include "bike/fields.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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
    {"check", command_check},       {"calibrate", command_calibrate},
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
    session->capture = session->hold = -1;
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
    for (int c = 0; c < CHANNELS_MAX; c++) {
        record->settings.matters_mm[c] = 10.0;
    }
    record->settings.baseline_setup = 1;
    record->settings.trunk_slope_deg = NAN;
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

/* ---- small things that the handlers share --------------------------------------------------- */

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

bool machine_ensure_build(struct session *session, struct problem *problem)
{
    if (session->build >= 0) {
        return true;
    }
    struct words words;
    return words_split("setup 1 \"as it came\"", &words, problem) &&
           command_setup(session, &words, problem);
}

bool machine_number(const struct words *words, const char *key, const char *unit, double minimum,
                    double maximum, double *value, struct problem *problem)
{
    const char *text = words_value(words, key);
    if (text == NULL) {
        return true;
    }
    double number = 0.0;
    if (!words_number(text, unit, &number, problem)) {
        return problem_prefix(problem, "%s", key);
    }
    if (number < minimum || number > maximum) {
        return problem_set(problem, "%s: %s is not between %g and %g %s", key, text, minimum,
                           maximum, unit);
    }
    *value = number;
    return true;
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

void machine_retarget(struct session *session)
{
    const struct placing_record *placing = machine_placing(session);
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        struct cue_settings settings = session->cue[c];
        double target_mm = NAN;
        if (session->target >= 0 && session->analysis->target[session->target][c].has) {
            target_mm = session->analysis->target[session->target][c].height_mm;
        }
        if (session->band >= 0 && session->record.band[session->band].limited[c]) {
            settings = session->record.band[session->band].cue[c];
        }
        cue_retarget(&session->channel[c].slow, &settings, target_mm);
    }
    session->serial++;
}

void machine_say_alarms(struct session *session, int build)
{
    const struct placing_record *placing = machine_placing(session);
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        const struct tie *tie = &session->analysis->tie[build][c];
        if (tie->alarm) {
            machine_say(session, "%s: %s", placing->channel[c].name, tie->reason);
            session->message_is_problem = true;
            return;
        }
    }
}

void machine_ties_changed(struct session *session)
{
    struct problem problem = {0};
    if (!analysis_make(&session->record, session_samples, session, session->analysis, &problem)) {
        machine_say(session, "%s", problem.sentence);
        session->message_is_problem = true;
    }
    session->journal.serial++;
    live_start(session); /* postures so far were in other heights */
    session->progress_second = session->check_quarter = -1;
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
    if (++session->rate_samples < MACHINE_RATE_SAMPLES) {
        return;
    }
    session->rate_measured = true;
    double span_s = (double)(sample->time_us - session->rate_from_us) / 1e6;
    if (span_s > 0.0) {
        double rate_hz = (double)(session->rate_samples - 1) / span_s;
        if (fabs(rate_hz - session->rate_hz) > 0.05 * session->rate_hz) {
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
    if (session->activity != ACTIVITY_NONE) {
        capture_sample(session, sample);
    }
}

enum view_phase session_phase(const struct session *session)
{
    if (session->record.ended) {
        return VIEW_ENDED;
    }
    if (session->activity == ACTIVITY_CHECK) {
        return VIEW_CHECK;
    }
    if (session->activity != ACTIVITY_NONE && !session->begun) {
        return VIEW_SETTLING;
    }
    switch (session->activity) {
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
    return memory_samples(session->memory, first, last, samples, count);
}

struct memory_reader *session_sample_reader(const struct session *session)
{
    return memory_reader_create(session->memory);
}
