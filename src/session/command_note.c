/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "base/numbers.h"
#include "base/text.h"
#include "capture.h"
#include "heights.h"
#include "hour.h"
#include "machine_effects.h"
#include "say/setup.h"

#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* Ratings, notes, what is left out, what the comparison is made with, and the session's end. */

static bool read_hold(struct session *session, const struct words *words, int *index,
                      struct problem *problem)
{
    int64_t number = 0;
    if (words->count < 2 || words->word[1].key != NULL ||
        !text_to_int64(words->word[1].value, &number)) {
        return problem_set(problem, "%s: say the hold's number", words->word[0].value);
    }
    for (int h = 0; h < session->record.hold_count; h++) {
        if (session->record.hold[h].number == number &&
            session->record.hold[h].status != HOLD_RUNNING) {
            *index = h;
            return true;
        }
    }
    return problem_set(problem, "%s: there is no finished hold %s", words->word[0].value,
                       words->word[1].value);
}

static void hold_changed(struct session *session, int hold)
{
    machine_emit(session, EFFECT_HOLD, hold);
    analysis_add_hold(&session->record, -1, session_samples, session, session->analysis, NULL);
}

/* reject 3 "reason" */
bool command_reject(struct session *session, const struct words *words, struct problem *problem)
{
    int index = -1;
    if (machine_names_run(words)) {
        return machine_reject_run(session, words, problem);
    }
    if (!read_hold(session, words, &index, problem)) {
        return false;
    }
    if (words->count < 3 || words->word[2].key != NULL || words->word[2].value[0] == '\0') {
        return problem_set(problem, "reject: say the reason, such as reject %s \"drank\"",
                           words->word[1].value);
    }
    struct hold_record *hold = &session->record.hold[index];
    hold->rejected = true;
    text_copy(hold->reject_reason, sizeof hold->reject_reason, words->word[2].value);
    hold_changed(session, index);
    machine_say(session, "hold %d is left out; u, or 'restore %d', takes it in again", hold->number,
                hold->number);
    return true;
}

/* restore 3 */
bool command_restore(struct session *session, const struct words *words, struct problem *problem)
{
    int index = -1;
    if (machine_names_run(words)) {
        return machine_restore_run(session, words, problem);
    }
    if (!read_hold(session, words, &index, problem)) {
        return false;
    }
    struct hold_record *hold = &session->record.hold[index];
    if (!hold->rejected && hold->resit == RESIT_NOT_SEEN) {
        hold->resit = RESIT_SAID;
        hold_changed(session, index);
        machine_say(session, "hold %d counts by itself: the rider sat up before it", hold->number);
        return true;
    }
    if (!hold->rejected) {
        return problem_set(problem, "restore: hold %d was not left out", hold->number);
    }
    hold->rejected = false;
    hold_changed(session, index);
    machine_say(session,
                hold->kept_afterwards
                    ? "hold %d is taken in again; kept afterwards, it is in no verdict"
                    : "hold %d counts again",
                hold->number);
    return true;
}

/* ---- ratings --------------------------------------------------------------------------------- */

static bool read_item(const struct words *words, int item, double *value, struct problem *problem)
{
    const struct rating_field *field = &rating_fields[item];
    const char *text = words_value(words, field->key);
    if (field->kind == RATING_WORD && text != NULL) {
        char known[128];
        int found = word_find(field->list, text, -1);
        word_list_text(known, sizeof known, field->list);
        *value = found;
        return found >= 0 ||
               problem_set(problem, "%s: '%s' is none of %s", field->key, text, known);
    }
    const struct typed_number number = {field->key, field->unit, field->least, field->most};
    if (!typed_read_key(words, field->key, &number, value, problem)) {
        return false;
    }
    if (field->kind == RATING_SCORE && text != NULL && *value != floor(*value)) {
        return problem_set(problem, "%s: a whole number from %g to %g", field->key, field->least,
                           field->most);
    }
    return true;
}

static bool read_truth(const struct words *words, const char *key, bool *truth,
                       struct problem *problem)
{
    const char *text = words_value(words, key);
    int answer = text != NULL ? word_find(&answer_words, text, -1) : ANSWER_NO;
    *truth = answer == ANSWER_YES;
    return answer >= 0 || problem_set(problem, "%s: yes or no, not '%s'", key, text);
}

static bool read_rating(const struct words *words, struct rating_record *rating,
                        struct problem *problem)
{
    const char *keys[RATING_ITEMS + 3] = {"morning", "sign"};
    for (int item = 0; item < RATING_ITEMS; item++) {
        keys[item + 2] = rating_fields[item].key;
    }
    bool read = machine_only_keys(words, keys, problem) &&
                read_truth(words, "morning", &rating->morning, problem) &&
                read_truth(words, "sign", &rating->sign, problem);
    for (int item = 0; read && item < RATING_ITEMS; item++) {
        read = read_item(words, item, &rating->value[item], problem);
    }
    return read;
}

/* This setup's latest, else the latest of all. */
static int latest_rating(const struct session_record *record, int setup)
{
    for (int r = record->rating_count - 1; r >= 0; r--) {
        if (record->rating[r].setup == setup) {
            return r;
        }
    }
    return record->rating_count - 1;
}

/* What was taken over, and what must not be passed over. same_as: the rating it repeats, -1 = none.
 */
static void say_rated(struct session *session, const struct rating_record *rating, int same_as)
{
    const struct session_record *record = &session->record;
    bool blocked[] = {[BLOCKS_NOTHING] = false, [BLOCKS_SIGHT] = false, [BLOCKS_NUMB] = false};
    for (int item = 0; item < RATING_ITEMS; item++) {
        blocked[rating_fields[item].blocks] |= rating_blocks(item, rating->value[item]);
    }
    char as[48] = "";
    if (same_as >= 0) {
        snprintf(as, sizeof as, " as setup %d was before",
                 record->setup[record->rating[same_as].setup].number);
    }
    char numb[SAY_SIZE] = "";
    if (blocked[BLOCKS_NUMB]) {
        say_numb(numb, sizeof numb, SAY_NUMB_RATING, "");
    }
    machine_say(session, "setup %d rated%s%s%s", record->setup[rating->setup].number, as,
                blocked[BLOCKS_SIGHT] ? say_failed(SAY_FAILED_RATING) : "", numb);
    session->message_is_problem = blocked[BLOCKS_SIGHT] || blocked[BLOCKS_NUMB];
}

/* rating effort=4 neck=2 sees_ahead=yes ... | rating same */
bool command_rating(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    if (session->build < 0) {
        return problem_set(problem, "rating: there is no setup yet");
    }
    if (!acts_room(session, EFFECT_RATING, 1)) {
        return problem_set(problem, "no more than %d ratings in a session", RATINGS_MAX);
    }
    struct rating_record rating;
    int same_as = -1;
    rating_clear(&rating);
    if (words->count == 2 && words->word[1].key == NULL &&
        text_equal(words->word[1].value, "same")) {
        if (record->rating_count == 0) {
            return problem_set(problem, "rating: there is none before this one");
        }
        same_as = latest_rating(record, record->build[session->build].setup);
        rating = record->rating[same_as];
    } else if (words->count < 2 || words->word[1].key == NULL) {
        return problem_set(problem, "rating: say item=number, such as effort=4, or 'rating same'");
    } else if (!read_rating(words, &rating, problem)) {
        return false;
    }
    rating.uuid = machine_uuid(session, EFFECT_RATING, record->rating_count);
    rating.setup = record->build[session->build].setup;
    rating.sample = session->has_sample ? session->last.number : 0;
    record->rating[record->rating_count] = rating;
    machine_emit(session, EFFECT_RATING, record->rating_count++);
    insight_make(record, session->analysis); /* what it costs the rider counts at once */
    say_rated(session, &rating, same_as);
    return true;
}

/* note "..." */
bool command_note(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    if (words->count != 2 || words->word[1].key != NULL || words->word[1].value[0] == '\0') {
        return problem_set(problem, "note: say it in quotes, such as note \"saddle nose slides\"");
    }
    if (!acts_room(session, EFFECT_NOTE, 1)) {
        return problem_set(problem, "no more than %d notes in a session", NOTES_MAX);
    }
    struct note_record *note = &record->note[record->note_count];
    memset(note, 0, sizeof *note);
    note->uuid = machine_uuid(session, EFFECT_NOTE, record->note_count);
    note->sample = session->has_sample ? session->last.number : 0;
    text_copy(note->text, sizeof note->text, words->word[1].value);
    machine_emit(session, EFFECT_NOTE, record->note_count++);
    machine_say(session, "noted: %s", note->text);
    return true;
}

/* ---- what the comparison is made with -------------------------------------------------------- */

static void settings_changed(struct session *session)
{
    machine_emit(session, EFFECT_SESSION, 0);
    machine_ties_changed(session);
}

/* What is less than holds tell is a slip (centimetres): no comparison would come to an end. */
static bool check_matters(const struct words *words, int word, double matters_mm,
                          struct problem *problem)
{
    return matters_mm >= MATTERS_LEAST_MM ||
           problem_ask(problem,
                       "matters: %g mm for %s is less than holds can tell apart: centimetres, or "
                       "is it meant so?",
                       matters_mm, words->word[word].key);
}

/* matters head=10 chest=10 sure=yes; matters drag=0.005 */
bool command_matters(struct session *session, const struct words *words, struct problem *problem)
{
    struct comparison_settings settings = session->record.settings;
    if (words->count < 2) {
        return problem_set(problem,
                           "matters: say the smallest difference that matters, such as head=10");
    }
    if (words->count == 2 && words->word[1].key != NULL && text_equal(words->word[1].key, "drag") &&
        machine_channel(session, "drag", NULL) < 0) {
        return machine_matters_drag(session, words, problem);
    }
    for (int i = 1; i < words->count; i++) {
        const char *key = words->word[i].key;
        if (key == NULL) {
            return problem_set(problem, "matters: '%s' is no channel=mm", words->word[i].value);
        }
        if (text_equal(key, "sure")) {
            continue;
        }
        int channel = machine_channel(session, key, problem);
        if (channel < 0 ||
            !typed_read_key(words, key, &typed_numbers[TYPED_MATTERS],
                            &settings.matters_mm[channel], problem) ||
            (!machine_sure(session, words) &&
             !check_matters(words, i, settings.matters_mm[channel], problem))) {
            return false;
        }
    }
    session->record.settings = settings;
    settings_changed(session);
    return true;
}

/* baseline 1 */
bool command_baseline(struct session *session, const struct words *words, struct problem *problem)
{
    int number = 0;
    if (words->count != 2 || words->word[1].key != NULL ||
        !typed_whole(words->word[1].value, TYPED_SETUP, &number) ||
        session_record_setup(&session->record, number) < 0) {
        return problem_set(problem, "baseline: '%s' is no number of a setup",
                           words->count > 1 ? words->word[1].value : "");
    }
    session->record.settings.baseline_setup = number;
    settings_changed(session);
    return true;
}

/* What speaks against it, where something does. */
static void say_chosen(struct session *session, int number)
{
    const struct session_record *record = &session->record;
    int setup = session_record_setup(record, number);
    if (number == 0) {
        machine_say(session, "no setup is chosen");
        return;
    }
    const char *but = say_complaint(setup_complaint(record, setup));
    if (but[0] == '\0' && record->run_count == 0 && session->analysis->free_holds[setup] == 0) {
        but = "no free hold of it counts yet";
    }
    machine_say(session, "setup %d is chosen: the rider's sheet is about it%s%s", number,
                but[0] != '\0' ? "; but " : "", but);
    session->message_is_problem = but[0] != '\0';
}

/* choose 2 found_by="chin a hand above the pads"; choose 0 takes it back */
bool command_choose(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"found_by", NULL};
    struct session_record *record = &session->record;
    struct comparison_settings *settings = &record->settings;
    const char *found_by = words_value(words, "found_by");
    int number = 0;
    bool read = words->count >= 2 && words->word[1].key == NULL &&
                (words->count == 2 || words->word[2].key != NULL) &&
                typed_whole(words->word[1].value, TYPED_CHOSEN, &number);
    if (!read || (number > 0 && session_record_setup(record, number) < 0)) {
        return problem_set(problem, "choose: '%s' is no number of a setup (0: none)",
                           words->count > 1 ? words->word[1].value : "");
    }
    if (!machine_only_keys(words, keys, problem)) {
        return false;
    }
    if (number != settings->chosen_setup || found_by != NULL) { /* it is told of one posture */
        text_copy(settings->found_by, sizeof settings->found_by,
                  number > 0 && found_by != NULL ? found_by : "");
    }
    settings->chosen_setup = number;
    session->settings.chosen.builds = record->build_count;
    session->settings.chosen.holds = record->hold_count;
    session->settings.chosen.targets = record->target_count;
    session->settings.chosen.bands = record->band_count;
    machine_emit(session, EFFECT_SESSION, 0);
    say_chosen(session, number);
    return true;
}

/* The one number behind a command. */
static bool read_number(const struct words *words, enum typed which, const char *what,
                        double *value, struct problem *problem)
{
    const struct typed_number *number = &typed_numbers[which];
    return (words->count == 2 && words->word[1].key == NULL &&
            typed_text(words->word[1].value, which, value)) ||
           problem_set(problem, "%s: %s, %g to %g %s", number->key, what, number->least,
                       number->most, number->unit);
}

/* slope 18 */
bool command_slope(struct session *session, const struct words *words, struct problem *problem)
{
    double *slope_deg = &session->record.settings.trunk_slope_deg;
    if (!read_number(words, TYPED_SLOPE, "the slope of the trunk", slope_deg, problem)) {
        return false;
    }
    settings_changed(session);
    return true;
}

/* minutes 60 */
bool command_minutes(struct session *session, const struct words *words, struct problem *problem)
{
    if (!read_number(words, TYPED_MINUTES, "how long the session may take",
                     &session->settings.minutes_planned, problem)) {
        return false;
    }
    hour_plan(session);
    return true;
}

/* resume: made by the program when a session that was cut short is taken up again */
bool command_resume(struct session *session, const struct words *words, struct problem *problem)
{
    if (words->count != 1) {
        return problem_set(problem, "resume: takes no more words");
    }
    bool in_hold = session->doing.activity == ACTIVITY_HOLD && session->begun;
    capture_end(session, HOLD_CUT_SHORT);
    if (session->record.ended) {
        session->record.ended = false;
        machine_emit(session, EFFECT_SESSION, 0);
    }
    char how[sizeof session->message] = "";
    if (in_hold) {
        memcpy(how, session->message, sizeof how);
    }
    machine_say(session, "taken up again where it was%s%.200s", in_hold ? "; " : "", how);
    return true;
}

/* end */
bool command_end(struct session *session, const struct words *words, struct problem *problem)
{
    if (words->count != 1) {
        return problem_set(problem, "end: takes no more words");
    }
    capture_end(session, HOLD_STOPPED);
    session->record.ended = true;
    machine_emit(session, EFFECT_SESSION, 0);
    machine_say(session, "the session has ended");
    return true;
}
