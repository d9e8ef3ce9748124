/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "session/session.h"

#include "base/nearest.h"
#include "base/text.h"
#include "capture.h"
#include "commands.h"
#include "countdown.h"
#include "hour.h"
#include "live.h"
#include "machine_effects.h"
#include "measure/rules.h"
#include "resit.h"
#include "told.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The session as others see it: made, given samples and commands. */

static const struct {
    const char *word;
    command_handler *handle;
    const char *stays; /* why it can't be taken back by 'undo'; NULL: it can */
} handlers[] = {
    {"rig", command_rig, "made by the program: what the rig said of itself"},
    {"rider", command_rider, NULL},
    {"bike", command_bike, NULL},
    {"sensor", command_sensor, NULL},
    {"setup", command_setup, NULL},
    {"build", command_build, NULL},
    {"correct", command_correct, NULL},
    {"plate", command_plate, NULL},
    {"tape", command_tape, NULL},
    {"target", command_target, NULL},
    {"band", command_band, NULL},
    {"cue", command_cue, NULL},
    {"hold", command_hold, NULL},
    {"guess", command_guess, NULL},
    {"practice", command_practice, NULL},
    {"ride", command_ride, NULL},
    {"stop", command_stop, NULL},
    {"keep", command_keep, NULL},
    {"mark", command_mark, NULL},
    {"reject", command_reject, NULL},
    {"restore", command_restore, NULL},
    {"rating", command_rating, NULL},
    {"note", command_note, NULL},
    {"matters", command_matters, NULL},
    {"baseline", command_baseline, NULL},
    {"choose", command_choose, NULL},
    {"slope", command_slope, NULL},
    {"minutes", command_minutes, NULL},
    {"known", command_known, NULL},
    {"placing", command_placing, NULL},
    {"limits", command_limits, NULL},
    {"torque", command_torque, NULL},
    {"resume", command_resume, "made by the program: the session goes on"},
    {"end", command_end,
     "the session is over; what ended by mistake is taken up again where it was"},
    {"check", command_check, NULL},
    {"calibrate", command_calibrate, NULL},
    {"moved", command_moved, NULL},
    {"learnt", command_learnt, NULL},
    {"slipped", command_slipped, NULL},
    {"sound", command_sound, NULL},
    {"undo", command_undo, "'redo' puts it back"},
    {"remove", command_remove, NULL},
    {"same", command_same, NULL},
    {"renumber", command_renumber, NULL},
    {"belongs", command_belongs, NULL},
    {"redo", command_redo, "'undo' takes it back"},
    {"pass", command_pass, NULL},
    {"mass", command_mass, NULL},
    {"course", command_course, NULL},
    {"air", command_air, NULL},
    {"run", command_ridden, NULL},
    {"leg", command_leg, NULL},
    {"pieces", command_pieces, NULL},
};
#define HANDLERS ((int)(sizeof handlers / sizeof handlers[0]))

static void default_cues(struct session *session)
{
    for (int c = 0; c < CHANNELS_MAX; c++) {
        session->settings.cue[c] = cue_usual(false);
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
    if (session->analysis == NULL || session->memory == NULL || !acts_start(session)) {
        session_destroy(session);
        return NULL;
    }
    session->sink = sink;
    session->sink_context = context;
    session->origin = *origin;
    session_record_begin(&session->record);
    session->resit.hold = -1;
    session->placing = session->build = session->target = session->band = -1;
    session->doing.capture = session->doing.hold = session->ask.channel = -1;
    session->settings.minutes_planned = NAN;
    session->rate_hz = RATE_UNKNOWN_HZ;
    session->progress_second = session->check_quarter = -1;
    default_cues(session);
    live_start(session);
    hour_plan(session);

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
    journal_end(session);
    acts_end(session);
    memory_destroy(session->memory);
    hold_meter_destroy(session->meter);
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
    return find_handler(word) >= 0 || text_equal(word, "and");
}

bool session_no_command(const char *word, const char *const *others, struct problem *problem)
{
    char meant[NEAREST_TEXT_SIZE];
    struct nearest nearest = nearest_to(word);
    for (int i = 0; i < HANDLERS || (others != NULL && *others != NULL); i++) {
        nearest_try(&nearest, i < HANDLERS ? handlers[i].word : *others++);
    }
    return problem_set(problem, "there is no command '%s'%s", word,
                       nearest_text(&nearest, "", meant, sizeof meant));
}

int session_command_count(void)
{
    return HANDLERS;
}

const char *session_command_word(int index, const char **stays)
{
    *stays = handlers[index].stays;
    return handlers[index].word;
}

/* 'and LINE' belongs to the act before: words and line from the second on. */
static bool take_joined(struct words *words, const char **line)
{
    bool joined =
        words->count > 1 && words->word[0].key == NULL && text_equal(words->word[0].value, "and");
    if (joined) {
        words->count--;
        memmove(&words->word[0], &words->word[1], (size_t)words->count * sizeof words->word[0]);
        *line = session_line_alone(*line);
    }
    return joined;
}

const char *session_line_alone(const char *line)
{
    const char *at = line + strspn(line, " \t");
    if (strncmp(at, "and", 3) != 0 || (at[3] != ' ' && at[3] != '\t')) {
        return line;
    }
    return at + 3 + strspn(at + 3, " \t");
}

/* What it does to records is an act, and ends the one in progress where it ends that. */
static bool do_act(struct session *session, int found, const struct words *words, const char *line,
                   bool joined, struct problem *problem)
{
    struct act_activity before = session->doing;
    before.ended_sample = session->last.number;
    before.ended_us = session->last.time_us;
    bool running = session->doing.activity != ACTIVITY_NONE, begun = session->begun;
    bool countdown = countdown_is_on(session);
    acts_open(session, line, joined);
    bool done = handlers[found].handle(session, words, problem);
    bool over = running && session->doing.activity == ACTIVITY_NONE;
    if (!running && session->doing.activity != ACTIVITY_NONE) {
        countdown_began(session, handlers[found].handle, line);
    }
    if (done && over && begun) {
        acts_activity(session, &before);
    }
    acts_close(session, done, !running && session->doing.activity != ACTIVITY_NONE);
    if (over && countdown) {
        countdown_stopped(session);
    } else if (over) {
        acts_close_running(session, ACTS_END_THERE);
    }
    return done;
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
    const char *alone = clean;
    bool joined = take_joined(&words, &alone);
    int found = words.word[0].key == NULL ? find_handler(words.word[0].value) : -1;
    if (found < 0) {
        return session_no_command(words.word[0].value, NULL, problem);
    }
    if (session->record.ended && handlers[found].handle != command_resume) {
        return problem_set(problem, "this session has ended");
    }
    if (!machine_texts_fit(&words, problem)) {
        return false;
    }
    session->pending_command = clean;
    bool done = handlers[found].stays != NULL
                    ? handlers[found].handle(session, &words, problem)
                    : do_act(session, found, &words, alone, joined, problem);
    session->acts->joinable = session->acts->joinable && !(done && handlers[found].stays != NULL);
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
    /* What still comes after the end is recorded, so it counts, but nothing follows from it: unless
     * the session is gone on with and its last minute is kept. */
    session->record.last_sample = sample->number;
    session->record.last_time_us = sample->time_us;
    memory_add(session->memory, sample);
    if (session->record.ended) {
        return;
    }
    session->last = *sample;
    session->has_sample = true;
    session->serial++;
    measure_rate(session, sample);
    live_sample(session, sample);
    told_sample(session);
    ride_watch_sample(session);
    resit_sample(session, sample);
    if (session->doing.activity != ACTIVITY_NONE) {
        capture_sample(session, sample);
    }
}
