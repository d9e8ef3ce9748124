/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "base/numbers.h"
#include "base/text.h"
#include "capture.h"
#include "machine_effects.h"
#include "measure/rules.h"

#include <math.h>
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
    hold->guessed_share = NAN;
    memset(&session->analysis->hold[session->doing.hold], 0, sizeof session->analysis->hold[0]);
    session->analysis->hold_from[session->doing.hold] = 0;
    return hold;
}

/* What a hold is asked to be. */
struct asked_hold {
    double length_s, settle_s;
    bool guided;
    enum hold_purpose purpose;
    enum told_way told;
    enum resit resit;
    bool unwatched;
};

/* free, guided, test, piece, or a length. */
static bool read_kind(const char *value, struct asked_hold *asked, struct problem *problem)
{
    int purpose = word_find(&purpose_words, value, -1);
    if (text_equal(value, "guided")) {
        asked->guided = true;
    } else if (purpose > PURPOSE_NONE && purpose < PURPOSES) {
        asked->purpose = (enum hold_purpose)purpose;
    } else if (!text_equal(value, "free") && !typed_length(value, &asked->length_s, problem)) {
        return problem_prefix(problem, "hold, which is free, guided, test, piece or ride");
    }
    return true;
}

/* What of it goes together. */
static bool check_kind(const struct session *session, struct asked_hold *asked,
                       struct problem *problem)
{
    bool seen = asked->told == TOLD_SEEN;
    if (asked->guided && asked->told != TOLD_UNSAID && !seen) {
        return problem_set(problem, "hold: a guided hold is told=seen");
    }
    asked->guided = asked->guided || seen;
    if (asked->purpose == PURPOSE_TEST && (asked->guided || told_during(asked->told))) {
        return problem_set(problem, "hold: nothing is shown or heard in a test");
    }
    if (asked->purpose == PURPOSE_TEST && asked->told == TOLD_UNSAID) {
        asked->told = TOLD_AFTER;
    }
    if (session->target < 0 && (asked->guided || asked->told == TOLD_HEARD)) {
        return problem_set(problem, "hold: a guided hold needs a target to guide to");
    }
    if (session->target < 0 && asked->purpose != PURPOSE_NONE) {
        return problem_set(problem, "hold: a %s needs a target to be held",
                           word_of(&purpose_words, asked->purpose));
    }
    return true;
}

/* sat=anew: the rider sat up before it, whatever was seen; sat=unknown: nothing of it is to be
 * seen, as in a recording that begins with the hold. */
static bool read_sat(const char *sat, struct asked_hold *asked, struct problem *problem)
{
    bool anew = sat != NULL && text_equal(sat, "anew");
    asked->unwatched = sat != NULL;
    asked->resit = anew ? RESIT_SAID : RESIT_UNKNOWN;
    return sat == NULL || anew || text_equal(sat, "unknown") ||
           problem_set(problem, "hold: sat=%s is none of anew, unknown", sat);
}

static bool read_hold(const struct session *session, const struct words *words,
                      struct asked_hold *asked, struct problem *problem)
{
    static const char *const keys[] = {"settle", "told", "sat", NULL};
    const char *told = words_value(words, "told");
    if (!machine_only_keys(words, keys, problem) ||
        !typed_read(words, TYPED_SETTLE, &asked->settle_s, problem)) {
        return false;
    }
    if (told != NULL) {
        int way = word_find(&told_words, told, -1);
        if (way < 0) {
            return problem_set(problem, "hold: told=%s is none of seen, heard, after, none", told);
        }
        asked->told = (enum told_way)way;
    }
    if (!read_sat(words_value(words, "sat"), asked, problem)) {
        return false;
    }
    asked->length_s = HOLD_LENGTH_S;
    for (int i = 1; i < words->count; i++) {
        if (text_equal(words->word[i].value, "test") && words->word[i].key == NULL) {
            asked->length_s = TEST_S;
        }
    }
    for (int i = 1; i < words->count; i++) {
        if (words->word[i].key == NULL && !read_kind(words->word[i].value, asked, problem)) {
            return false;
        }
    }
    return check_kind(session, asked, problem);
}

/* hold 60s free settle=5s; hold 3min test; hold 60s piece told=heard */
bool command_hold(struct session *session, const struct words *words, struct problem *problem)
{
    struct asked_hold asked = {.settle_s = SETTLE_S};
    if (!read_hold(session, words, &asked, problem)) {
        return false;
    }
    if (!acts_room(session, EFFECT_HOLD, 1)) {
        return problem_set(problem, "no more than %d holds in a session", HOLDS_MAX);
    }
    if (!capture_start(session, ACTIVITY_HOLD, CAPTURE_HOLD, asked.settle_s, asked.length_s,
                       problem)) {
        return false;
    }
    struct hold_record *hold = new_hold(session);
    hold->guided = asked.guided;
    hold->purpose = asked.purpose;
    hold->told = asked.told;
    hold->resit = asked.resit;
    hold->planned_s = asked.length_s;
    hold->status = HOLD_RUNNING;
    session->doing.guided = asked.guided;
    session->doing.unwatched = asked.unwatched;
    machine_say(session, "hold %d, %s: settle", hold->number,
                asked.purpose != PURPOSE_NONE ? word_of(&purpose_words, asked.purpose)
                : asked.guided                ? "guided"
                                              : "free");
    return true;
}

/* The last hold of practice that is over and was not guessed of; -1: none. */
static int to_guess(const struct session_record *record)
{
    for (int h = record->hold_count - 1; h >= 0; h--) {
        if (record->hold[h].purpose != PURPOSE_NONE) {
            return record->hold[h].status == HOLD_RUNNING ? -1 : h;
        }
    }
    return -1;
}

/* The guess beside what it was, part by part. */
static void say_guessed(struct session *session, int hold, int tenths)
{
    const struct analysis *analysis = session->analysis;
    char text[128] = "", share[SAY_SIZE];
    size_t used = 0;
    for (int c = 0; c < analysis->channel_count; c++) {
        const struct hold_summary *summary = &analysis->hold[hold].summary[c];
        if (analysis->body[c] && analysis->hold[hold].has[c] && summary->has_band) {
            say_percent(share, sizeof share, summary->in_band_share);
            text_append(text, sizeof text, &used, "%s%s %s", used > 0 ? ", " : "; it was ",
                        analysis->channel_name[c], share);
        }
    }
    machine_say(session, "guessed: %d tenths of hold %d%s", tenths,
                session->record.hold[hold].number, text);
}

/* guess 7: so many tenths of it were in the band, before it is told */
bool command_guess(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    int tenths = 0, hold = to_guess(record);
    if (words->count != 2 || words->word[1].key != NULL ||
        !typed_whole(words->word[1].value, TYPED_GUESS, &tenths)) {
        return problem_set(problem, "guess: how many tenths of it in the band? 0 to 10");
    }
    if (hold < 0) {
        return problem_set(problem, "guess: there is no test or piece to guess of yet");
    }
    record->hold[hold].guessed_share = tenths / 10.0;
    machine_emit(session, EFFECT_HOLD, hold);
    say_guessed(session, hold, tenths);
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
