/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "going_on.h"

#include "capture.h"
#include "countdown.h"
#include "machine_effects.h"
#include "resit.h"
#include "ride_measure.h"

#include "base/text.h"

#include <stdlib.h>
#include <string.h>

void going_on_take(struct session *session, const struct act_activity *activity)
{
    session->doing = *activity;
    session->begun = activity->activity != ACTIVITY_NONE;
    session->progress_second = session->check_quarter = -1;
}

struct act_activity *going_on_stopped(const struct act *act)
{
    for (int i = 0; i < act->image_count; i++) {
        if (act->image[i].of == IMAGE_ACTIVITY) {
            return act->image[i].bytes;
        }
    }
    return NULL;
}

/* The act that took this capture's place. */
static struct act *act_of_capture(struct acts *acts, int capture)
{
    for (int a = acts->count - 1; a >= 0; a--) {
        for (int i = 0; i < acts->act[a].image_count; i++) {
            const struct act_image *image = &acts->act[a].image[i];
            if (image->of == IMAGE_RECORD && image->kind == EFFECT_CAPTURE && image->made &&
                image->index == capture) {
                return &acts->act[a];
            }
        }
    }
    return NULL;
}

/* Is it lost where the rider gets up meanwhile? Practice leaves out by itself what was sat up. */
static bool is_lost_up(const struct session *session, const struct act_activity *stopped)
{
    return stopped->activity == ACTIVITY_TARGET ||
           (stopped->activity == ACTIVITY_HOLD &&
            session->record.hold[stopped->hold].purpose == PURPOSE_NONE);
}

/* It was too long ago, or the rider has got up since, or may have, whose readings would be the
 * hold's or target's. From the samples alone: the same when the session is replayed, where more of
 * them are at hand. */
const char *going_on_why_not(struct session *session, const struct act_activity *stopped)
{
    const struct sample *samples = NULL;
    size_t count = 0;
    if (stopped->activity == ACTIVITY_NONE) {
        return NULL;
    }
    bool hold = stopped->activity == ACTIVITY_HOLD;
    int64_t first = session->record.capture[stopped->capture].first_sample, from = first;
    if (hold && session->record.hold[stopped->hold].purpose == PURPOSE_RIDE) {
        from = stopped->ended_sample; /* before that it is read again in pieces */
    }
    if (session->last.time_us - stopped->ended_us > (int64_t)(SAMPLE_MEMORY_S * 1e6) ||
        !session_samples(session, from, session->last.number, &samples, &count)) {
        return "the readings since are not in memory";
    }
    int build = hold ? session->record.hold[stopped->hold].build : session->build;
    enum resit up = is_lost_up(session, stopped)
                        ? resit_since(session, build, first, stopped->ended_sample)
                        : RESIT_NOT_SEEN;
    return up == RESIT_SEEN      ? "the rider has sat up since"
           : up == RESIT_UNKNOWN ? "whether the rider has sat up since is not known"
                                 : NULL;
}

static void go_on(struct session *session, int64_t ended_sample)
{
    struct act *act = act_of_capture(session->acts, session->doing.capture);
    const struct sample *samples = NULL;
    struct sample now = session->last;
    size_t count = 0;
    struct sample *since = NULL;
    ride_measure_again(session, ended_sample);
    if (!ride_measure_is_on(session) || session->elsewhere == NULL) {
        memory_pin_begin(session->memory,
                         session->record.capture[session->doing.capture].first_sample);
    }
    if (act != NULL) {
        act->running = true;
    }
    if (session_samples(session, ended_sample + 1, now.number, &samples, &count)) {
        since = malloc((count + 1) * sizeof *since);
    }
    if (since != NULL && count > 0) {
        memcpy(since, samples, count * sizeof *since);
    }
    for (size_t i = 0; since != NULL && i < count && session->doing.activity != ACTIVITY_NONE;
         i++) {
        session->last = since[i];
        capture_sample(session, &since[i]);
    }
    session->last = now;
    free(since);
}

void going_on(struct session *session, int64_t ended_sample)
{
    char said[sizeof session->message], ended[sizeof session->message];
    text_copy(said, sizeof said, session->message);
    go_on(session, ended_sample);
    if (session->doing.activity == ACTIVITY_NONE) {
        text_copy(ended, sizeof ended, session->message);
        machine_say(session, "%.250s; since then %.250s", said, ended);
    }
}

void going_on_ends(struct session *session, const struct act *stop)
{
    struct act *begun = act_of_capture(session->acts, session->doing.capture);
    going_on_stopped(stop)->ended_us = session->last.time_us; /* until then it was kept in memory */
    memory_pin_end(session->memory, session->last.number);
    if (begun != NULL) {
        begun->running = false;
    }
}

bool going_on_cancel(struct session *session, struct act *act)
{
    bool begun = session->begun;
    act->running = false;
    free(act->thrown_away);
    act->thrown_away = begun ? malloc(sizeof *act->thrown_away) : NULL;
    if (act->thrown_away != NULL) { /* else it can't be gone on with */
        *act->thrown_away = session->doing;
        act->thrown_away->ended_sample = session->last.number;
        act->thrown_away->ended_us = session->last.time_us;
    }
    countdown_taken_back(session, act);
    if (session->doing.activity != ACTIVITY_NONE) {
        capture_cancel(session);
    }
    return begun;
}

bool going_on_again(struct session *session, const struct act *act, const char **why)
{
    const struct act_activity *was = act->thrown_away;
    bool ridden =
        was != NULL && (was->activity == ACTIVITY_HOLD || was->activity == ACTIVITY_TARGET);
    *why = NULL;
    if (!ridden || session->doing.activity != ACTIVITY_NONE) {
        return false;
    }
    *why = going_on_why_not(session, was);
    if (*why != NULL) {
        return false;
    }
    session->record.capture[was->capture].last_sample = 0; /* it runs */
    machine_emit(session, EFFECT_CAPTURE, was->capture);
    if (was->activity == ACTIVITY_HOLD) {
        session->record.hold[was->hold].status = HOLD_RUNNING;
        machine_emit(session, EFFECT_HOLD, was->hold);
    }
    going_on_take(session, was);
    return true;
}
