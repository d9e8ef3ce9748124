/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/rescue.h"

#include "app/recheck.h"
#include "app/replay.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SAMPLES_A_TIME 4096

struct rescuing {
    struct store *from, *to;
    store_finding *told;
    void *context;
    const struct store_watch *watch;
    struct problem *problem;
    struct session_record *record;
    struct command_record *command;
    size_t command_count, command_room;
    struct effect *effect;
    int64_t last_us; /* time of the sample that was written last */
    bool refused;    /* an effect was, while a session is worked out again */
    bool stopped;
};

static bool goes_on(struct rescuing *rescuing)
{
    const struct store_watch *watch = rescuing->watch;
    if (watch != NULL && watch->progress != NULL && !watch->progress(watch->context, (double)NAN)) {
        rescuing->stopped = true;
    }
    return !rescuing->stopped;
}

/* ---- reading -----------------------------------------------------------------------------------
 */

static bool keep_command(void *context, const struct command_record *command,
                         struct problem *problem)
{
    struct rescuing *rescuing = context;
    if (rescuing->command_count == rescuing->command_room) {
        size_t room = rescuing->command_room == 0 ? 64 : 2 * rescuing->command_room;
        struct command_record *larger = realloc(rescuing->command, room * sizeof *larger);
        if (larger == NULL) {
            return problem_set(problem, "no memory for the session's commands");
        }
        rescuing->command = larger;
        rescuing->command_room = room;
    }
    rescuing->command[rescuing->command_count++] = *command;
    return true;
}

typedef bool take_samples(struct rescuing *rescuing, const struct sample *samples, size_t count,
                          struct problem *problem);

static bool each_sample(struct rescuing *rescuing, int64_t id, take_samples *take,
                        struct problem *problem)
{
    int64_t last = rescuing->record->last_sample;
    for (int64_t first = 1; first <= last; first += SAMPLES_A_TIME) {
        const struct sample *samples = NULL;
        size_t count = 0;
        if (!goes_on(rescuing) ||
            !store_samples(rescuing->from, id, first, first + SAMPLES_A_TIME - 1, &samples, &count,
                           problem) ||
            !take(rescuing, samples, count, problem)) {
            return false;
        }
    }
    return true;
}

static bool look_only(struct rescuing *rescuing, const struct sample *samples, size_t count,
                      struct problem *problem)
{
    (void)rescuing;
    (void)samples;
    (void)count;
    (void)problem;
    return true;
}

/* ---- writing -----------------------------------------------------------------------------------
 */

/* Between two that were read apart a time may fall. */
static bool write_samples(struct rescuing *rescuing, const struct sample *samples, size_t count,
                          struct problem *problem)
{
    bool done = true;
    for (size_t i = 0; done && i < count; i++) {
        struct sample sample = samples[i];
        if (sample.number > 1 && sample.time_us < rescuing->last_us) {
            sample.time_us = rescuing->last_us;
        }
        rescuing->last_us = sample.time_us;
        done = store_write_samples(rescuing->to, &sample, 1, problem);
    }
    return done;
}

static bool write_effect(struct rescuing *rescuing, enum effect_kind kind, int index,
                         struct problem *problem)
{
    rescuing->effect->kind = kind;
    rescuing->effect->index = index;
    return store_write_effect(rescuing->to, rescuing->effect, problem);
}

#define EACH(upper, lower)                                                                         \
    for (int i = 0; done && i < record->lower##_count; i++) {                                      \
        rescuing->effect->record.lower = record->lower[i];                                         \
        done = write_effect(rescuing, EFFECT_##upper, i, problem);                                 \
    }
#define ONE(upper, lower)                                                                          \
    if (done && record->has_##lower) {                                                             \
        rescuing->effect->record.lower = record->lower;                                            \
        done = write_effect(rescuing, EFFECT_##upper, 0, problem);                                 \
    }

static bool write_records(struct rescuing *rescuing, struct problem *problem)
{
    const struct session_record *record = rescuing->record;
    session_record_header(record, &rescuing->effect->record.session);
    bool done = write_effect(rescuing, EFFECT_SESSION, 0, problem);
    ONE(RIDER, rider)
    ONE(BIKE, bike)
    EACH(PLACING, placing)
    EACH(SETUP, setup)
    EACH(BUILD, build)
    EACH(TIE_READING, tie_reading)
    EACH(CAPTURE, capture)
    EACH(TARGET, target)
    EACH(BAND, band)
    EACH(HOLD, hold)
    EACH(MARK, mark)
    EACH(RATING, rating)
    EACH(NOTE, note)
    EACH(CHECK, check)
    EACH(CUE_SOUND, cue_sound)
    EACH(AIR, air)
    EACH(RUN, run)
    EACH(LEG, leg)
    for (size_t i = 0; done && i < rescuing->command_count; i++) {
        rescuing->effect->record.command = rescuing->command[i];
        done = write_effect(rescuing, EFFECT_COMMAND, (int)i, problem);
    }
    return done;
}

/* In one transaction: the session as it was read. */
static bool write_session(struct rescuing *rescuing, int64_t id, struct problem *problem)
{
    bool done = store_begin(rescuing->to, problem) && write_records(rescuing, problem) &&
                each_sample(rescuing, id, write_samples, problem) &&
                store_commit(rescuing->to, problem);
    if (!done) {
        store_rollback(rescuing->to);
    }
    return done;
}

/* ---- worked out again --------------------------------------------------------------------------
 */

static void on_effect(void *context, const struct effect *effect)
{
    struct rescuing *rescuing = context;
    rescuing->refused = rescuing->refused || !store_write_effect(rescuing->to, effect, NULL);
}

static bool on_sample(void *context, const struct sample *sample, struct problem *problem)
{
    struct rescuing *rescuing = context;
    return (sample->number % SAMPLES_A_TIME != 0 || goes_on(rescuing)) &&
           store_write_samples(rescuing->to, sample, 1, problem);
}

/* From start, seed, samples and log; false where that is not the session that is stored. */
static bool work_out(struct rescuing *rescuing, int64_t id)
{
    const struct session_record *record = rescuing->record;
    const struct session_origin origin = {record->started_ms, record->seed};
    rescuing->refused = false;
    if (rescuing->command_count == 0 || !store_begin(rescuing->to, NULL)) {
        return false;
    }
    struct session *session = session_create(&origin, on_effect, rescuing);
    bool done = session != NULL &&
                replay_session(rescuing->from, id, record->last_sample, session, on_sample,
                               rescuing, NULL) &&
                !rescuing->refused &&
                memcmp(&session_records(session)->uuid, &record->uuid, sizeof record->uuid) == 0 &&
                session_records(session)->ended == record->ended &&
                store_commit(rescuing->to, NULL);
    if (!done) {
        store_rollback(rescuing->to);
    }
    session_destroy(session);
    return done;
}

/* ---- a session ---------------------------------------------------------------------------------
 */

/* What is left agrees with itself: no capture goes beyond the samples, nothing runs in a session
 * that has ended; and it says that it is not all. */
static void make_part(struct session_record *record)
{
    char version[sizeof record->version];
    int room = (int)(sizeof version - sizeof STORE_IN_PART);
    snprintf(version, sizeof version, "%.*s%s", room, record->version, STORE_IN_PART);
    memcpy(record->version, version, sizeof version);
    for (int i = 0; i < record->capture_count; i++) {
        struct capture_record *capture = &record->capture[i];
        int64_t last = record->last_sample;
        capture->last_sample = capture->last_sample > last ? last : capture->last_sample;
        capture->first_sample = capture->first_sample > last + 1 ? last + 1 : capture->first_sample;
    }
    for (int i = 0; record->ended && i < record->hold_count; i++) {
        struct hold_record *hold = &record->hold[i];
        hold->status = hold->status == HOLD_RUNNING ? HOLD_CUT_SHORT : hold->status;
    }
}

static void tell_lost(struct rescuing *rescuing, int64_t id, const char *why)
{
    char sentence[700];
    snprintf(sentence, sizeof sentence, "session %lld is lost: %s", (long long)id, why);
    rescuing->told(rescuing->context, sentence);
}

static void count_only(void *context, const char *sentence)
{
    (void)context;
    (void)sentence;
}

/* What can be read may still not be what was written: then samples and log give other records, or
 * can't be looked at at one moment. False when it was stopped. */
static bool agrees(struct rescuing *rescuing, int64_t id, bool *does)
{
    struct problem why = {0};
    int64_t differences = 0;
    bool done = recheck_session(rescuing->from, id, rescuing->record->ended, count_only, NULL,
                                rescuing->watch, &differences, &why);
    *does = done && differences == 0;
    if (done && differences > 0) {
        char sentence[120];
        snprintf(sentence, sizeof sentence,
                 "session %lld: its samples and its log give other records than there are",
                 (long long)id);
        rescuing->told(rescuing->context, sentence);
    }
    if (!goes_on(rescuing)) {
        return false;
    }
    if (!done) {
        char sentence[700];
        snprintf(sentence, sizeof sentence, "session %lld can't be worked out again: %s",
                 (long long)id, why.sentence);
        rescuing->told(rescuing->context, sentence);
    }
    return true;
}

/* False only when the writing failed. */
static bool rescue(struct rescuing *rescuing, int64_t id, struct rescued *rescued)
{
    struct problem why = {0};
    int64_t begun = store_damage_count(rescuing->from);
    rescuing->command_count = 0;
    bool readable = store_load(rescuing->from, id, rescuing->record, &why);
    int64_t in_records = store_damage_count(rescuing->from) - begun;
    readable = readable && store_commands(rescuing->from, id, keep_command, rescuing, &why) &&
               each_sample(rescuing, id, look_only, &why);
    int64_t behind = store_damage_count(rescuing->from) - begun - in_records;
    if (!readable) {
        tell_lost(rescuing, id, why.sentence);
        rescued->lost++;
        return !rescuing->stopped;
    }
    if (in_records > 0 && behind == 0 && work_out(rescuing, id)) {
        rescued->anew++;
        return true;
    }
    bool whole = in_records + behind == 0;
    if (whole && !agrees(rescuing, id, &whole)) {
        return false;
    }
    if (!whole) {
        make_part(rescuing->record);
    }
    if (write_session(rescuing, id, &why)) {
        rescued->in_part += whole ? 0 : 1;
        rescued->whole += whole ? 1 : 0;
        return true;
    }
    if (!store_refused_record(rescuing->to)) {
        return problem_set(rescuing->problem, "%s", why.sentence);
    }
    tell_lost(rescuing, id, why.sentence);
    rescued->lost++;
    return true;
}

bool rescue_sessions(struct store *from, struct store *to, store_finding *told, void *context,
                     const struct store_watch *watch, struct rescued *rescued,
                     struct problem *problem)
{
    struct rescuing rescuing = {.from = from,
                                .to = to,
                                .told = told,
                                .context = context,
                                .watch = watch,
                                .problem = problem,
                                .record = malloc(sizeof *rescuing.record),
                                .effect = calloc(1, sizeof *rescuing.effect)};
    int64_t id = 0;
    *rescued = (struct rescued){0};
    bool done = (rescuing.record != NULL && rescuing.effect != NULL) ||
                problem_set(problem, "no memory for a session");
    while (done && store_next_session(from, &id, NULL)) {
        done = goes_on(&rescuing) && rescue(&rescuing, id, rescued);
    }
    if (rescuing.stopped) {
        done = problem_set(problem, "stopped");
    }
    free(rescuing.record);
    free(rescuing.effect);
    free(rescuing.command);
    return done;
}
