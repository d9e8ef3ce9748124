/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "bands_proposed.h"
#include "capture.h"
#include "heights.h"
#include "machine_effects.h"
#include "removal.h"
#include "resit.h"
#include "ride_measure.h"
#include "say/say.h"
#include "say/taken_back.h"

#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The last act taken back, and put back again: its records as they were, from their images. What
 * follows from records is worked out anew, as it is after any other change. */

/* ---- what is in progress -----------------------------------------------------------------------
 */

static void take_activity(struct session *session, const struct act_activity *activity)
{
    session->doing = *activity;
    session->begun = activity->activity != ACTIVITY_NONE;
    session->progress_second = session->check_quarter = -1;
}

/* The image of what it stopped; NULL: it stopped nothing. */
static const struct act_image *stopped_by(const struct act *act)
{
    for (int i = 0; i < act->image_count; i++) {
        if (act->image[i].of == IMAGE_ACTIVITY) {
            return &act->image[i];
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

/* Why it can't go on: it was too long ago, or the rider has got up since, whose readings would be
 * the hold's; NULL: it can. From the samples alone: the same when the session is replayed, where
 * more of them are at hand. */
static const char *why_not_gone_on(struct session *session, const struct act_activity *stopped)
{
    const struct sample *samples = NULL;
    size_t count = 0;
    bool hold = stopped->activity == ACTIVITY_HOLD;
    enum hold_purpose purpose = hold ? session->record.hold[stopped->hold].purpose : PURPOSE_NONE;
    int64_t first = session->record.capture[stopped->capture].first_sample;
    if (purpose == PURPOSE_RIDE) {
        first = stopped->ended_sample; /* before that it is read again in pieces */
    }
    if (session->last.time_us - stopped->ended_us > (int64_t)(SAMPLE_MEMORY_S * 1e6) ||
        !session_samples(session, first, session->last.number, &samples, &count)) {
        return "the readings since are not in memory";
    }
    bool up = hold && purpose == PURPOSE_NONE &&
              resit_was_since(session, stopped->hold, stopped->ended_sample);
    return up ? "the rider has sat up since" : NULL;
}

/* What was stopped goes on as if it had not been: with the readings since. */
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

/* ---- images ------------------------------------------------------------------------------------
 */

static void swap(void *a, void *b, size_t size)
{
    unsigned char *one = a, *other = b;
    for (size_t i = 0; i < size; i++) {
        unsigned char byte = one[i];
        one[i] = other[i];
        other[i] = byte;
    }
}

static void swap_header(struct session *session, struct session_header *image)
{
    struct session_record *record = &session->record;
    struct session_header now, next = *image;
    memset(&now, 0, sizeof now);
    session_record_header(record, &now);
    memcpy(next.settings.learnt, now.settings.learnt, sizeof next.settings.learnt);
    session_record_take_header(record, &next);
    memset(now.settings.learnt, 0, sizeof now.settings.learnt);
    *image = now;
}

static void swap_settings(struct session *session, struct act_settings *image)
{
    struct act_settings now = session->settings;
    session->settings = *image;
    *image = now;
}

static void swap_activity(struct session *session, struct act_activity *image)
{
    struct act_activity now = session->doing;
    now.ended_sample = image->ended_sample;
    now.ended_us = image->ended_us;
    take_activity(session, image);
    *image = now;
}

static void swap_image(struct session *session, struct act_image *image)
{
    if (image->of == IMAGE_SETTINGS) {
        swap_settings(session, image->bytes);
    } else if (image->of == IMAGE_ACTIVITY) {
        swap_activity(session, image->bytes);
    } else if (image->kind == EFFECT_SESSION) {
        swap_header(session, image->bytes);
        acts_record(session, EFFECT_SESSION, 0);
        machine_send(session, EFFECT_SESSION, 0);
    } else {
        swap(acts_at(&session->record, image->kind, image->index), image->bytes, image->size);
        acts_record(session, image->kind, image->index);
        machine_send(session, image->kind, image->index);
    }
}

static const struct stored_table *table_of(const struct act_image *image)
{
    return stored_tables[effect_table(image->kind)];
}

/* It stays in the store with its mark, and is no more in the session. */
static void take_out(struct session *session, struct act_image *image)
{
    struct session_record *record = &session->record;
    void *made = acts_at(record, image->kind, image->index);
    int *count = acts_count_of(record, image->kind);
    memcpy(image->bytes, made, image->size);
    stored_set_undone(table_of(image), made, true);
    machine_send(session, image->kind, image->index);
    journal_taken_back(session, image->kind, image->index);
    if (count != NULL) {
        *count = image->index;
    } else if (image->kind == EFFECT_RIDER) {
        record->has_rider = false;
        memset(&record->rider, 0, sizeof record->rider);
    } else {
        record->has_bike = false;
        memset(&record->bike, 0, sizeof record->bike);
        bike_values_clear(&record->bike.frame);
    }
    acts_taken_out(session, image->kind, image->index);
}

static void put_in(struct session *session, struct act_image *image)
{
    struct session_record *record = &session->record;
    int *count = acts_count_of(record, image->kind);
    memcpy(acts_at(record, image->kind, image->index), image->bytes, image->size);
    if (count != NULL) {
        *count = image->index + 1;
    } else {
        *(image->kind == EFFECT_RIDER ? &record->has_rider : &record->has_bike) = true;
    }
    acts_put_in(session, image->kind, image->index, image->place);
    acts_record(session, image->kind, image->index);
    machine_send(session, image->kind, image->index);
    journal_put_back(session, image->kind, image->index);
}

/* ---- what follows ------------------------------------------------------------------------------
 */

static bool touches(const struct act *act, enum effect_kind kind)
{
    for (int i = 0; i < act->image_count; i++) {
        bool of_record = act->image[i].of == IMAGE_RECORD || act->image[i].of == IMAGE_REMOVED;
        if (of_record && act->image[i].kind == kind) {
            return true;
        }
    }
    return false;
}

static void work_out_anew(struct session *session, const struct act *act)
{
    /* a bike that gives others is changed with its setups */
    static const enum effect_kind heights[] = {EFFECT_PLACING, EFFECT_SETUP, EFFECT_BUILD,
                                               EFFECT_TIE_READING};
    bool tied_anew = false;
    machine_find_in_force(session);
    for (size_t i = 0; i < sizeof heights / sizeof heights[0]; i++) {
        tied_anew = tied_anew || touches(act, heights[i]);
    }
    if (tied_anew) {
        machine_ties_changed(session);
    } else {
        struct problem problem = {0};
        if (!analysis_make(&session->record, session_samples, session, session->analysis,
                           &problem)) {
            machine_say(session, "%s", problem.sentence);
        }
        bands_propose(session);
    }
    machine_retarget(session);
    session->journal.serial++;
    session->progress_second = -1;
}

/* ---- in words ----------------------------------------------------------------------------------
 */

static const struct act_image *main_image(const struct act *act)
{
    const struct act_image *main = NULL;
    int most = -1;
    for (int i = 0; i < act->image_count; i++) {
        const struct act_image *image = &act->image[i];
        int rank = image->of == IMAGE_RECORD ? say_back_rank(image->kind, image->made) : -1;
        if (rank > most) {
            most = rank;
            main = image;
        }
    }
    return main;
}

/* While the act's records are as they are before it is taken back. */
static void describe(const struct session *session, const struct act *act, char *text, size_t size)
{
    const struct act_image *image = main_image(act);
    if (image != NULL && image->made) {
        say_back_made(text, size, &session->record, session->analysis, image->kind, image->index);
    } else if (image == NULL || !say_back_changed(text, size, &session->record, image->kind,
                                                  image->index, image->bytes)) {
        snprintf(text, size, "'%s'", act->line);
    }
}

static void tell(struct session *session, const struct act *act, bool put_back, const char *what)
{
    const char *how = put_back ? "put back" : "taken back";
    const struct act_image *image = main_image(act);
    char now[SAY_SIZE] = "", sentence[SAY_SIZE];
    if (image != NULL) {
        say_back_now(now, sizeof now, &session->record, image->kind, put_back, session->build,
                     session->target, session->band);
    }
    snprintf(sentence, sizeof sentence, "%s%s", what, now);
    journal_say(session, EVENT_BACK, how, sentence);
    machine_say(session, "%s: %s", how, sentence);
}

/* What has been said of it stays, also where it is over by now. */
static void go_on_and_say(struct session *session, int64_t ended_sample)
{
    char said[sizeof session->message], ended[sizeof session->message];
    text_copy(said, sizeof said, session->message);
    go_on(session, ended_sample);
    if (session->doing.activity == ACTIVITY_NONE) {
        text_copy(ended, sizeof ended, session->message);
        machine_say(session, "%.250s; since then %.250s", said, ended);
    }
}

/* A hold or target that was taken back while it was ridden is put back as it was: it goes on, while
 * the readings since are there. Its records are there again. */
static bool ridden_again(struct session *session, struct act *act)
{
    const struct act_activity *was = act->thrown_away;
    bool ridden =
        was != NULL && (was->activity == ACTIVITY_HOLD || was->activity == ACTIVITY_TARGET);
    if (!ridden || session->doing.activity != ACTIVITY_NONE ||
        why_not_gone_on(session, was) != NULL) {
        return false;
    }
    session->record.capture[was->capture].last_sample = 0; /* it runs */
    machine_emit(session, EFFECT_CAPTURE, was->capture);
    if (was->activity == ACTIVITY_HOLD) {
        session->record.hold[was->hold].status = HOLD_RUNNING;
        machine_emit(session, EFFECT_HOLD, was->hold);
    }
    take_activity(session, was);
    return true;
}

/* ---- the commands ------------------------------------------------------------------------------
 */

/* What was begun by mistake: a countdown that had recorded nothing leaves nothing. */
static bool cancel_running(struct session *session, struct act *act)
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
    if (session->doing.activity != ACTIVITY_NONE) {
        capture_cancel(session);
    }
    return begun;
}

static void drop_last(struct acts *acts)
{
    acts->count--;
    acts->undone++;
    acts_forget_last_undone(acts);
}

/* undo */
bool command_undo(struct session *session, const struct words *words, struct problem *problem)
{
    struct acts *acts = session->acts;
    struct act *act = acts->count > 0 ? &acts->act[acts->count - 1] : NULL;
    char what[SAY_SIZE];
    if (words->count > 1) {
        return problem_set(problem, "undo: takes no more words: the last act is taken back first");
    }
    if (act == NULL) {
        return problem_set(problem, "undo: there is nothing left to take back");
    }
    const struct act_image *stopped = stopped_by(act);
    const char *why_not = stopped != NULL ? why_not_gone_on(session, stopped->bytes) : NULL;
    if (why_not != NULL) {
        snprintf(what, sizeof what, "%s", act->line);
        drop_last(acts); /* what was taken back before can still be put back */
        machine_say(session,
                    "'%s' can't be taken back any more: %s; the next undo takes what was stopped "
                    "back",
                    what, why_not);
        session->message_is_problem = true;
        return true;
    }
    bool had_begun = !act->running || cancel_running(session, act);
    if (act->image_count == 0) {
        acts_forget_undone(session);
        drop_last(acts);
        return true; /* the countdown was stopped, and has said so */
    }
    if (had_begun) {
        describe(session, act, what, sizeof what);
    } else {
        snprintf(what, sizeof what, "'%s', before it began", act->line);
    }
    acts->open = -1;
    for (int i = act->image_count - 1; i >= 0; i--) {
        if (act->image[i].of == IMAGE_REMOVED) {
            removal_undo(session, &act->image[i]);
        } else if (act->image[i].of == IMAGE_RECORD && act->image[i].made) {
            take_out(session, &act->image[i]);
        } else {
            swap_image(session, &act->image[i]);
        }
    }
    acts->count--;
    acts->undone++;
    journal_choice_taken_back(session, false);
    work_out_anew(session, act);
    tell(session, act, false, what);
    if (!had_begun) {
        acts_forget_undone(session);
    }
    if (stopped != NULL) {
        /* the swap left the state after the stop in the image */
        const struct act_activity *after = stopped->bytes;
        go_on_and_say(session, after->ended_sample);
    }
    return true;
}

/* redo */
bool command_redo(struct session *session, const struct words *words, struct problem *problem)
{
    struct acts *acts = session->acts;
    char what[SAY_SIZE];
    if (words->count > 1) {
        return problem_set(problem, "redo: takes no more words: what was taken back last comes "
                                    "first");
    }
    if (acts->undone == 0) {
        return problem_set(problem, "redo: nothing was taken back since the last act");
    }
    struct act *act = &acts->act[acts->count];
    const struct act_image *image = main_image(act);
    bool made = image != NULL && image->made;
    if (!made) {
        describe(session, act, what, sizeof what);
    }
    if (stopped_by(act) != NULL && session->doing.activity != ACTIVITY_NONE) {
        struct act *begun = act_of_capture(acts, session->doing.capture);
        memory_pin_end(session->memory, session->last.number);
        if (begun != NULL) {
            begun->running = false;
        }
    }
    for (int i = 0; i < act->image_count; i++) {
        if (act->image[i].of == IMAGE_REMOVED) {
            removal_redo(session, &act->image[i]);
        } else if (act->image[i].of == IMAGE_RECORD && act->image[i].made) {
            put_in(session, &act->image[i]);
        } else {
            swap_image(session, &act->image[i]);
        }
    }
    acts->count++;
    acts->undone--;
    bool ridden = ridden_again(session, act);
    journal_choice_taken_back(session, true);
    work_out_anew(session, act);
    if (made) {
        describe(session, act, what, sizeof what);
    }
    tell(session, act, true, what);
    if (ridden) {
        int64_t ended_sample = act->thrown_away->ended_sample;
        free(act->thrown_away); /* not once more, when it is over */
        act->thrown_away = NULL;
        go_on_and_say(session, ended_sample);
    }
    return true;
}
