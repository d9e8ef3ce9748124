/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "bands_proposed.h"
#include "countdown.h"
#include "going_on.h"
#include "heights.h"
#include "machine_effects.h"
#include "parts_from.h"
#include "removal.h"
#include "say/say.h"
#include "say/taken_back.h"

#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The last act taken back, and put back again: its records as they were, from their images. What
 * follows from records is worked out anew, as it is after any other change. */

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
    going_on_take(session, image);
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
        if (!analysis_make_again(&session->record, session_samples, session, session->analysis,
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

/* Records have other places since: what points at them in an image says nothing now. */
static bool has_removed(const struct act *act)
{
    for (int i = 0; i < act->image_count; i++) {
        if (act->image[i].of == IMAGE_REMOVED) {
            return true;
        }
    }
    return false;
}

/* The setups beside this one that the act changed, where what was put right went on to them. */
static void describe_followed(const struct session *session, const struct act *act,
                              const struct act_image *main, char *text, size_t size)
{
    bool followed[SETUPS_MAX] = {false};
    size_t used = strlen(text);
    if (main->kind != EFFECT_SETUP || touches(act, EFFECT_BIKE)) {
        return;
    }
    for (int i = 0; i < act->image_count; i++) {
        const struct act_image *image = &act->image[i];
        if (image != main && image->of == IMAGE_RECORD && image->kind == EFFECT_SETUP) {
            followed[image->index] = true;
        }
    }
    parts_from_text(text + used, size - used, &session->record, followed);
}

/* While the act's records are as they are before it is taken back. */
static void describe(const struct session *session, const struct act *act, char *text, size_t size)
{
    const struct act_image *image = main_image(act);
    if (image != NULL && image->made) {
        say_back_made(text, size, &session->record, session->analysis, image->kind, image->index);
    } else if (image != NULL && !has_removed(act) &&
               say_back_changed(text, size, &session->record, image->kind, image->index,
                                image->bytes)) {
        describe_followed(session, act, image, text, size);
    } else {
        snprintf(text, size, "'%s'", act->line);
    }
}

static void tell(struct session *session, const struct act *act, bool put_back, const char *what)
{
    const char *how = put_back ? "put back" : "taken back";
    const struct act_image *image = main_image(act);
    char now[SAY_SIZE] = "", sentence[SAY_SIZE];
    if (image != NULL && image->kind == EFFECT_TARGET && !image->made) {
        say_back_target(now, sizeof now, &session->record.target[image->index],
                        session->doing.activity == ACTIVITY_TARGET);
    } else if (image != NULL) {
        say_back_now(now, sizeof now, &session->record, image->kind, put_back, session->build,
                     session->target, session->band);
    }
    snprintf(sentence, sizeof sentence, "%s%s", what, now);
    journal_say(session, EVENT_BACK, how, sentence);
    machine_say(session, "%s: %s", how, sentence);
}

/* ---- the commands ------------------------------------------------------------------------------
 */

static void images_back(struct session *session, struct act *act)
{
    session->acts->open = NULL;
    for (int i = act->image_count - 1; i >= 0; i--) {
        if (act->image[i].of == IMAGE_REMOVED) {
            removal_undo(session, &act->image[i]);
        } else if (act->image[i].of == IMAGE_RECORD && act->image[i].made) {
            take_out(session, &act->image[i]);
        } else {
            swap_image(session, &act->image[i]);
        }
    }
}

static void images_again(struct session *session, struct act *act)
{
    for (int i = 0; i < act->image_count; i++) {
        if (act->image[i].of == IMAGE_REMOVED) {
            removal_redo(session, &act->image[i]);
        } else if (act->image[i].of == IMAGE_RECORD && act->image[i].made) {
            put_in(session, &act->image[i]);
        } else {
            swap_image(session, &act->image[i]);
        }
    }
}

/* An act that has come to nothing but its countdown; where that can't begin again, it goes. */
static void take_from_acts(struct session *session)
{
    struct acts *acts = session->acts;
    acts->count--;
    acts->undone++;
    if (acts->act[acts->count].countdown == NULL) {
        acts_forget_undone(session);
    }
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
    if (act->countdown != NULL) {
        countdown_undo(session);
        return true;
    }
    const struct act_activity *stopped = going_on_stopped(act);
    const char *why_not = stopped != NULL ? going_on_why_not(session, stopped) : NULL;
    if (why_not != NULL) {
        snprintf(what, sizeof what, "%s", act->line);
        acts_drop_last(acts); /* what was taken back before can still be put back */
        machine_say(session,
                    "'%s' can't be taken back any more: %s; the next undo takes what was stopped "
                    "back",
                    what, why_not);
        session->message_is_problem = true;
        return true;
    }
    bool had_begun = !act->running || going_on_cancel(session, act);
    if (act->image_count == 0) { /* the countdown was stopped, and has said so */
        take_from_acts(session);
        return true;
    }
    if (had_begun) {
        describe(session, act, what, sizeof what);
    } else {
        snprintf(what, sizeof what, "'%s', before it began", act->line);
    }
    images_back(session, act);
    acts->count--;
    acts->undone++;
    journal_choice_taken_back(session, false);
    work_out_anew(session, act);
    tell(session, act, false, what);
    if (!had_begun && act->countdown == NULL) { /* it can't begin again */
        acts_forget_undone(session);
    }
    if (stopped != NULL && session->doing.activity != ACTIVITY_NONE) {
        going_on(session,
                 stopped->ended_sample); /* the image has the state after the stop by now */
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
    if (going_on_stopped(act) != NULL && session->doing.activity != ACTIVITY_NONE) {
        going_on_ends(session, act);
    }
    images_again(session, act);
    acts->count++;
    acts->undone--;
    const char *why_not = NULL;
    bool ridden = going_on_again(session, act, &why_not);
    journal_choice_taken_back(session, true);
    work_out_anew(session, act);
    if (made) {
        describe(session, act, what, sizeof what);
    }
    if (why_not != NULL) {
        size_t used = strlen(what);
        text_append(what, sizeof what, &used, "; it does not go on: %s", why_not);
    }
    tell(session, act, true, what);
    if (ridden) {
        int64_t ended_sample = act->thrown_away->ended_sample;
        free(act->thrown_away); /* not once more, when it is over */
        act->thrown_away = NULL;
        going_on(session, ended_sample);
    }
    if (act->countdown != NULL) {
        countdown_redo(session, act);
    }
    return true;
}
