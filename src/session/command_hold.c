/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "base/text.h"
#include "capture.h"
#include "machine_effects.h"
#include "measure/rules.h"

#include <string.h>

/* Holds, and what is done during one. */

static struct hold_record *new_hold(struct session *session)
{
    struct session_record *record = &session->record;
    session->doing.hold = record->hold_count++;
    struct hold_record *hold = &record->hold[session->doing.hold];
    memset(hold, 0, sizeof *hold);
    hold->uuid = machine_uuid(session, EFFECT_HOLD, session->doing.hold);
    hold->number = record->hold_count;
    hold->capture = session->doing.capture;
    hold->build = session->build;
    hold->target = session->target;
    hold->band = session->band;
    return hold;
}

/* hold 60s free settle=5s */
bool command_hold(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"settle", NULL};
    double length_s = HOLD_LENGTH_S, settle_s = SETTLE_S;
    bool guided = false;
    if (!machine_only_keys(words, keys, problem) ||
        !typed_read(words, TYPED_SETTLE, &settle_s, problem)) {
        return false;
    }
    for (int i = 1; i < words->count; i++) {
        const char *value = words->word[i].value;
        if (words->word[i].key != NULL || text_equal(value, "free")) {
            continue;
        }
        if (text_equal(value, "guided")) {
            guided = true;
        } else if (!typed_length(value, &length_s, problem)) {
            return problem_prefix(problem, "hold, which is free or guided");
        }
    }
    if (guided && session->target < 0) {
        return problem_set(problem, "hold: a guided hold needs a target to guide to");
    }
    if (!acts_room(session, EFFECT_HOLD, 1)) {
        return problem_set(problem, "no more than %d holds in a session", HOLDS_MAX);
    }
    if (!capture_start(session, ACTIVITY_HOLD, CAPTURE_HOLD, settle_s, length_s, problem)) {
        return false;
    }
    struct hold_record *hold = new_hold(session);
    hold->guided = guided;
    hold->planned_s = length_s;
    hold->status = HOLD_RUNNING;
    session->doing.guided = guided;
    machine_say(session, "hold %d, %s: settle", hold->number, guided ? "guided" : "free");
    return true;
}

/* stop */
bool command_stop(struct session *session, const struct words *words, struct problem *problem)
{
    if (words->count > 1) {
        return problem_set(problem, "stop: takes no more words");
    }
    if (session->doing.activity == ACTIVITY_NONE) {
        return problem_set(problem, "stop: nothing is in progress");
    }
    if (session->doing.activity == ACTIVITY_TARGET) {
        capture_drop_target(session);
    } else {
        capture_stop(session, HOLD_STOPPED);
    }
    return true;
}

/* keep 60s */
bool command_keep(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    double length_s = HOLD_LENGTH_S;
    if (words->count > 1 && (words->word[1].key != NULL ||
                             !words_number(words->word[1].value, "s", &length_s, problem))) {
        return problem_set(problem, "keep: '%s' is no time such as 'keep 60s'",
                           words->word[1].value);
    }
    if (length_s < HOLD_LEAST_S || length_s > SAMPLE_MEMORY_S - HOLD_LEAST_S) {
        return problem_set(problem, "keep: %g s is not between %g and %g s", length_s, HOLD_LEAST_S,
                           SAMPLE_MEMORY_S - HOLD_LEAST_S);
    }
    if (!session->has_sample) {
        return problem_set(problem, "keep: there are no readings yet");
    }
    if (!acts_room(session, EFFECT_HOLD, 1) || !acts_room(session, EFFECT_CAPTURE, 1)) {
        return problem_set(problem, "no more than %d holds in a session", HOLDS_MAX);
    }
    if (!capture_start(session, ACTIVITY_HOLD, CAPTURE_HOLD, 0.0, length_s, problem)) {
        return false;
    }
    int64_t since_us = session->last.time_us - (int64_t)(length_s * 1e6);
    int64_t build_first = record->build[session->build].first_sample;
    int64_t first = memory_first_since(session->memory, since_us);
    first = first < build_first ? build_first : first;
    struct hold_record *hold = new_hold(session);
    hold->planned_s = length_s;
    hold->kept_afterwards = true;
    hold->status = HOLD_RUNNING;
    record->capture[session->doing.capture].first_sample = first > 0 ? first : session->last.number;
    session->begun = true;
    memory_pin_begin(session->memory, record->capture[session->doing.capture].first_sample);
    capture_stop(session, HOLD_COMPLETE);
    machine_say(session, "the last %.0f s are kept as hold %d (left out of verdicts)",
                session->analysis->hold[record->hold_count - 1].duration_s, hold->number);
    return true;
}

/* mark slid */
bool command_mark(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    int kind = words->count == 2 && words->word[1].key == NULL
                   ? word_find(&mark_words, words->word[1].value, -1)
                   : -1;
    if (kind < 0) {
        char all[128];
        word_list_text(all, sizeof all, &mark_words);
        return problem_set(problem, "mark: '%s' is none of %s",
                           words->count > 1 ? words->word[1].value : "", all);
    }
    if (!session->has_sample) {
        return problem_set(problem, "mark: there are no readings yet");
    }
    if (!acts_room(session, EFFECT_MARK, 1)) {
        return problem_set(problem, "no more than %d marks in a session", MARKS_MAX);
    }
    bool in_hold = session->doing.activity == ACTIVITY_HOLD && session->begun;
    record->mark[record->mark_count] = (struct mark_record){
        .kind = (enum mark_kind)kind,
        .hold = in_hold ? session->doing.hold : -1,
        .sample = session->last.number,
        .cut = in_hold,
    };
    machine_emit(session, EFFECT_MARK, record->mark_count++);
    machine_say(session, "marked: %s", word_of(&mark_words, kind));
    return true;
}
