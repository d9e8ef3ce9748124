/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "countdown.h"

#include "machine_effects.h"

#include "base/text.h"

#include <stdlib.h>

bool countdown_is_on(const struct session *session)
{
    const struct act_activity *doing = &session->doing;
    return doing->activity != ACTIVITY_NONE && !session->begun &&
           (doing->activity != ACTIVITY_CHECK || doing->check_phase == 0);
}

void countdown_began(struct session *session, command_handler *handle, const char *line)
{
    struct act_countdown *began = &session->acts->began;
    began->handle = handle;
    text_copy(began->line, sizeof began->line, line);
}

/* What is left of it; NULL without memory. */
static struct act_countdown *left(const struct session *session)
{
    struct act_countdown *countdown = malloc(sizeof *countdown);
    if (countdown != NULL) {
        *countdown = session->acts->began;
        countdown->ended_us = session->last.time_us;
    }
    return countdown;
}

void countdown_stopped(struct session *session)
{
    struct act_countdown *countdown = left(session);
    if (countdown == NULL || !acts_close_countdown(session, countdown)) {
        free(countdown);
        acts_close_running(session, ACTS_END_THERE);
    }
}

void countdown_taken_back(struct session *session, struct act *act)
{
    free(act->countdown);
    act->countdown = countdown_is_on(session) ? left(session) : NULL;
}

/* The last act begins again what it began; what it says of that is the session's message. */
static bool begin_again(struct session *session, struct act *act, struct problem *problem)
{
    struct acts *acts = session->acts;
    struct words words;
    acts->began = *act->countdown;
    acts->open = &acts->act[acts->count - 1];
    acts->failed = false;
    acts->settings = session->settings;
    bool done = words_split(acts->began.line, &words, problem) &&
                acts->began.handle(session, &words, problem);
    acts_close(session, done, done);
    free(act->countdown);
    act->countdown = NULL;
    return done;
}

void countdown_undo(struct session *session)
{
    static const char back[] = "taken back", stop[] = "the stop; once more";
    struct acts *acts = session->acts;
    struct act *act = &acts->act[acts->count - 1];
    int64_t since_us = session->last.time_us - act->countdown->ended_us;
    char begins[sizeof session->message];
    if (since_us <= (int64_t)(SAMPLE_MEMORY_S * 1e6) && begin_again(session, act, NULL)) {
        text_copy(begins, sizeof begins, session->message);
        journal_say(session, EVENT_BACK, back, stop);
        machine_say(session, "%s: %s: %.200s", back, stop, begins);
        return;
    }
    free(act->countdown);
    act->countdown = NULL;
    if (act->image_count == 0) {
        acts_drop_last(acts);
    }
    machine_say(session, "the countdown that was stopped has left nothing to take back; the next "
                         "undo takes back what was done before it");
    session->message_is_problem = true;
}

void countdown_redo(struct session *session, struct act *act)
{
    char said[sizeof session->message], begins[sizeof session->message];
    struct problem problem = {0};
    text_copy(said, sizeof said, session->message);
    bool begun = begin_again(session, act, &problem);
    text_copy(begins, sizeof begins, begun ? session->message : problem.sentence);
    machine_say(session, "%.120s; %.130s", said, begins);
    session->message_is_problem = !begun;
}
