/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "base/numbers.h"
#include "base/text.h"
#include "heights.h"
#include "hour.h"
#include "machine_effects.h"
#include "measure/rules.h"
#include "parts_from.h"
#include "parts_kept.h"
#include "parts_typed.h"
#include "say/say.h"
#include "say/setup.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Setups and builds: what is changed on the bike, and when it was put together. */

/* The latest build before this one where all sensors' heights are known; -1 = none. */
static int known_before(const struct session *session)
{
    const struct placing_record *placing = machine_placing(session);
    for (int b = session->build - 1; b >= 0; b--) {
        bool known = session->record.build[b].placing == session->placing;
        for (int c = 0; known && c < placing->channel_count; c++) {
            known = placing->channel[c].role != ROLE_BODY ||
                    isfinite(session->analysis->tie[b][c].shift_mm);
        }
        if (known) {
            return b;
        }
    }
    return -1;
}

/* '; sensors against setup 3: head +19 mm, chest +19 mm', of the sensors whose move follows from
 * the parts. */
static void say_moved(const struct session *session, char *text, size_t size)
{
    const struct session_record *record = &session->record;
    const struct placing_record *placing = machine_placing(session);
    int before = known_before(session);
    size_t used = 0;
    text_copy(text, size, "");
    for (int c = 0; before >= 0 && c < placing->channel_count; c++) {
        const struct tie *now = &session->analysis->tie[session->build][c];
        const struct tie *then = &session->analysis->tie[before][c];
        double moved_mm = now->shift_mm - then->shift_mm;
        if (placing->channel[c].role != ROLE_BODY || now->kind != TIE_COMPUTED) {
            continue;
        }
        if (used == 0) {
            text_append(text, size, &used, "; sensors against setup %d: ",
                        record->setup[record->build[before].setup].number);
        } else {
            text_append(text, size, &used, ", ");
        }
        char moved[32];
        say_signed(moved, sizeof moved, round(moved_mm), 0);
        text_append(text, size, &used, "%s %s mm", placing->channel[c].name, moved);
    }
}

/* Which sensors moved with the parts, and that a plate would tell by how much; where the parts
 * can't say it, which numbers are missing. */
static void say_build(struct session *session)
{
    const struct build_record *build = &session->record.build[session->build];
    const struct placing_record *placing = machine_placing(session);
    int number = session->record.setup[build->setup].number;
    char moved[160];
    bool plate_helps = false;
    for (int c = 0; c < placing->channel_count; c++) {
        const struct tie *tie = &session->analysis->tie[session->build][c];
        if (placing->channel[c].role != ROLE_BODY) {
            continue;
        }
        if (tie->kind == TIE_NONE) {
            const char *name = placing->channel[c].name;
            char found[SAY_SIZE];
            say_tie_finding(found, sizeof found, tie, name);
            machine_say(session, "setup %d, build %d; %s not tied: %s", number, build->ordinal,
                        name, found);
            return;
        }
        /* two readings, before and after, against what the parts are good for */
        plate_helps |=
            tie->kind == TIE_COMPUTED && tie_uncertainty_mm(tie) > M_SQRT2 * TIE_U_PLATE_MM;
    }
    say_moved(session, moved, sizeof moved);
    machine_say(session, "setup %d, build %d%s%s", number, build->ordinal, moved,
                !plate_helps ? "" : "; read the plate: it tells better");
}

/* A limit entered from a maker's papers that this setup passes is told at once, as a problem. */
static void say_limits(struct session *session, int setup)
{
    char passed[200];
    const struct setup_record *recorded = &session->record.setup[setup];
    if (bike_limits_passed(&session->record.limits, &recorded->bike, passed, sizeof passed) > 0) {
        machine_say(session, "setup %d: %s", recorded->number, passed);
        session->message_is_problem = true;
    }
}

/* Whether the bike may be put together anew now. */
static bool room_for_build(struct session *session, struct problem *problem)
{
    if (session->doing.activity != ACTIVITY_NONE) {
        return problem_set(problem, "a hold is in progress: stop it before the bike is changed");
    }
    return acts_room(session, EFFECT_BUILD, 1) ||
           problem_set(problem, "no more than %d builds in a session", BUILDS_MAX);
}

static bool start_build(struct session *session, int setup, enum answer moved,
                        struct problem *problem)
{
    struct session_record *record = &session->record;
    if (!room_for_build(session, problem)) {
        return false;
    }
    if (session->placing < 0) {
        session->placing = machine_new_placing(session);
        machine_emit(session, EFFECT_PLACING, session->placing);
    }
    int ordinal = 1;
    for (int b = 0; b < record->build_count; b++) {
        ordinal += record->build[b].setup == setup ? 1 : 0;
    }
    session->build = record->build_count++;
    record->build[session->build] = (struct build_record){
        .uuid = machine_uuid(session, EFFECT_BUILD, session->build),
        .setup = setup,
        .placing = session->placing,
        .ordinal = ordinal,
        .moved = moved,
        .first_sample = session->has_sample ? session->last.number + 1 : 1,
    };
    machine_emit(session, EFFECT_BUILD, session->build);
    machine_ties_changed(session);
    hour_plan(session);
    say_build(session);
    say_limits(session, setup);
    return true;
}

static bool read_setup_number(const struct words *words, int *number, struct problem *problem)
{
    const char *text = words->count > 1 && words->word[1].key == NULL ? words->word[1].value : "";
    return typed_whole(text, TYPED_SETUP, number) ||
           problem_set(problem, "%s: '%s' is no number of a setup, %g to %g", words->word[0].value,
                       text, typed_numbers[TYPED_SETUP].least, typed_numbers[TYPED_SETUP].most);
}

/* The values that a new setup starts from, and the setup that has them (-1: none). */
static bool setup_start_values(struct session *session, const struct words *words,
                               struct bike_values *values, int *start, struct problem *problem)
{
    const struct session_record *record = &session->record;
    const char *from = words_value(words, "from");
    bike_values_clear(values);
    *start = session->build >= 0 ? record->build[session->build].setup : -1;
    if (from != NULL) {
        int64_t number = 0;
        *start = text_to_int64(from, &number) ? session_record_setup(record, (int)number) : -1;
        if (*start < 0) {
            return problem_set(problem, "from: there is no setup %s", from);
        }
    }
    if (*start >= 0) {
        *values = record->setup[*start].bike;
    } else if (record->has_bike) {
        *values = record->bike.frame;
    }
    return true;
}

/* The index of a new setup, which has its parts from that one (-1: none); -1 where there is no room
 * for one. */
static int add_setup(struct session *session, int number, int start, struct problem *problem)
{
    int index = session->record.setup_count;
    if (!acts_room(session, EFFECT_SETUP, 1)) {
        problem_set(problem, "no more than %d setups in a session", SETUPS_MAX);
        return -1;
    }
    session->record.setup_count++;
    session->record.setup[index] =
        (struct setup_record){.uuid = machine_uuid(session, EFFECT_SETUP, index), .number = number};
    parts_from_begin(session, index, start);
    /* the first one, whatever its number is, until another is named */
    if (index == 0 && session->record.settings.baseline_setup != number) {
        session->record.settings.baseline_setup = number;
        machine_emit(session, EFFECT_SESSION, 0);
    }
    return index;
}

/* The bike's values, and the intent where the words say one. */
static void write_setup(struct session *session, int index, const struct bike_values *values,
                        const struct words *words)
{
    struct setup_record *setup = &session->record.setup[index];
    setup->bike = *values;
    parts_from_typed(session, index, words);
    if (words->count > 2 && words->word[2].key == NULL) {
        text_copy(setup->intent, sizeof setup->intent, words->word[2].value);
    }
    machine_emit(session, EFFECT_SETUP, index);
}

int machine_answer(const char *text)
{
    return text_equal(text, "not_known") ? 0 : word_find(&answer_words, text, -1);
}

bool machine_read_moved(const char *text, enum answer *moved, struct problem *problem)
{
    int found = text == NULL ? (int)*moved : machine_answer(text);
    if (found < 0) {
        return problem_set(
            problem,
            "moved: did a sensor move? yes or no, not '%s' (not_known takes an answer back)", text);
    }
    *moved = (enum answer)found;
    return true;
}

/* setup N "intent" spacers=10 from=K */
bool command_setup(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const others[] = {"from", "moved", "sure", NULL};
    enum answer moved = 0;
    struct session_record *record = &session->record;
    int number = 0, changed = 0, start = -1;
    if (!read_setup_number(words, &number, problem) ||
        !machine_read_moved(words_value(words, "moved"), &moved, problem)) {
        return false;
    }
    int existing = session_record_setup(record, number);
    int said = words->count - (words_value(words, "sure") != NULL ? 1 : 0);
    bool says_more = said > (words_value(words, "moved") != NULL ? 3 : 2);
    if (existing >= 0 && !says_more) {
        bool on_it = session->build >= 0 && record->build[session->build].setup == existing;
        if (on_it && !session_record_build_has_captures(record, session->build)) {
            machine_say(session, "setup %d is on the bike", number);
            return true;
        }
        return start_build(session, existing, moved, problem);
    }
    if (existing >= 0 && session_record_has_captures(record, existing)) {
        return problem_set(
            problem,
            "setup %d has holds already: 'setup %d' alone goes back to it, 'correct %d' mends "
            "a typing slip, a new number makes a new setup",
            number, number, number);
    }
    struct bike_values values;
    if (existing >= 0) {
        values = record->setup[existing].bike;
    } else if (!setup_start_values(session, words, &values, &start, problem)) {
        return false;
    }
    const struct bike_values before = values;
    if (!parts_typed_read(words, 2, others, &values, &changed, problem) ||
        (!machine_sure(session, words) &&
         (!parts_typed_frame_check(record, "setup", &values, &before, problem) ||
          !parts_typed_check(record, &values, &before, existing, problem))) ||
        !room_for_build(session, problem)) {
        return false;
    }
    int index = existing >= 0 ? existing : add_setup(session, number, start, problem);
    if (index < 0) {
        return false;
    }
    write_setup(session, index, &values, words);
    bool built = session->build >= 0 && record->build[session->build].setup == index;
    if (!built) {
        return start_build(session, index, moved, problem);
    }
    machine_ties_changed(session);
    say_limits(session, index);
    return true;
}

/* known N "intent" spacers=10 ...: a setup of an earlier session, not on the bike now */
bool command_known(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    int number = 0, changed = 0;
    if (!read_setup_number(words, &number, problem)) {
        return false;
    }
    if (session_record_setup(record, number) >= 0) {
        return problem_set(problem, "known: there is a setup %d already", number);
    }
    struct bike_values values;
    bike_values_clear(&values);
    if (record->has_bike) {
        values = record->bike.frame;
    }
    int index = parts_typed_read(words, 2, NULL, &values, &changed, problem)
                    ? add_setup(session, number, -1, problem)
                    : -1;
    if (index < 0) {
        return false;
    }
    write_setup(session, index, &values, words);
    parts_from_earlier(session, index);
    acts_take_earlier(session);
    machine_ties_changed(session);
    return true;
}

/* placing: the sensors were taken off and fixed anew */
bool command_placing(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    if (words->count > 1) {
        return problem_set(problem,
                           "placing: takes no more words; 'sensor' says where each is now");
    }
    if (session->placing < 0 || session->build < 0) {
        return problem_set(problem, "placing: the sensors have not been described yet");
    }
    if (!session->has_rig && !session->trusting) { /* which they are is not known till then */
        return problem_set(problem, "placing: no sensor has been heard yet: 'sensor' says where "
                                    "each is now");
    }
    if (session->doing.activity != ACTIVITY_NONE) {
        return problem_set(problem, "placing: a hold is in progress: stop it first");
    }
    if (!acts_room(session, EFFECT_PLACING, 1) || !acts_room(session, EFFECT_BUILD, 1)) {
        return problem_set(problem, "no more than %d placings and %d builds in a session",
                           PLACINGS_MAX, BUILDS_MAX);
    }
    const struct placing_record former = record->placing[session->placing];
    session->placing = machine_new_placing(session);
    struct placing_record *placing = &record->placing[session->placing];
    memcpy(placing->rig_id, former.rig_id, sizeof placing->rig_id);
    placing->announced_rate_hz = former.announced_rate_hz;
    placing->channel_count = former.channel_count;
    memcpy(placing->channel, former.channel, sizeof placing->channel);
    machine_emit(session, EFFECT_PLACING, session->placing);
    return start_build(session, record->build[session->build].setup, 0, problem);
}

/* build: the same setup, parts off and on again */
bool command_build(struct session *session, const struct words *words, struct problem *problem)
{
    enum answer moved = 0;
    if (words->count > (words_value(words, "moved") != NULL ? 2 : 1)) {
        return problem_set(problem, "build: takes no more words than moved= ('setup N' goes back "
                                    "to a setup)");
    }
    if (session->build < 0) {
        return problem_set(problem, "build: there is no setup yet");
    }
    return machine_read_moved(words_value(words, "moved"), &moved, problem) &&
           start_build(session, session->record.build[session->build].setup, moved, problem);
}

/* What was put right in a setup is so in those that took it over; in the journal, and to the
 * fitter. */
static void follow_correction(struct session *session, int index, const struct setup_record *former)
{
    const struct setup_record *now = &session->record.setup[index];
    bool parts = !bike_values_equal(&former->bike, &now->bike), followed[SETUPS_MAX];
    char changes[TEXT_SIZE], others[TEXT_SIZE], told[2 * TEXT_SIZE + 64], kept[TEXT_SIZE];
    bike_changes_text(changes, sizeof changes, &former->bike, &now->bike);
    parts_from_follow(session, index, &former->bike, followed);
    parts_from_text(others, sizeof others, &session->record, followed);
    snprintf(told, sizeof told, "setup %d: %s%s", now->number, parts ? changes : now->intent,
             others);
    journal_say(session, EVENT_ANSWER, "put right", told);
    machine_ties_changed(session);
    parts_kept_text(kept, sizeof kept, session, &former->bike, &now->bike, false);
    machine_say(session, "setup %d corrected%s%s%s%s; %s", now->number, parts ? " (" : "",
                parts ? changes : "", parts ? ")" : "", others,
                kept[0] != '\0' ? kept : "everything was worked out anew");
    for (int s = 0; s < session->record.setup_count; s++) {
        if (followed[s] || s == index) {
            say_limits(session, s);
        }
    }
}

/* correct N key=value ... sure=yes */
bool command_correct(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const others[] = {"sure", NULL};
    struct session_record *record = &session->record;
    int number = 0, changed = 0;
    if (!read_setup_number(words, &number, problem)) {
        return false;
    }
    int index = session_record_setup(record, number);
    if (index < 0) {
        return problem_set(problem, "correct: there is no setup %d", number);
    }
    struct bike_values values = record->setup[index].bike;
    if (!parts_typed_read(words, 2, others, &values, &changed, problem) ||
        (!machine_sure(session, words) &&
         (!parts_typed_frame_check(record, "correct", &values, &record->setup[index].bike,
                                   problem) ||
          !parts_typed_check(record, &values, &record->setup[index].bike, index, problem)))) {
        return false;
    }
    bool new_intent = words->count > 2 && words->word[2].key == NULL;
    if (changed == 0 && !new_intent) {
        return problem_set(problem, "correct: say what is to be corrected, such as spacers=10");
    }
    const struct setup_record former = record->setup[index];
    if (bike_values_equal(&former.bike, &values) &&
        (!new_intent || text_equal(former.intent, words->word[2].value))) {
        parts_from_typed(session, index, words);
        if (!acts_is_joined(session)) { /* else it followed what was put right just now */
            machine_say(session, "setup %d has that already", number);
        }
        return true;
    }
    journal_keep_words(session, EFFECT_SETUP, index);
    write_setup(session, index, &values, words);
    follow_correction(session, index, &former);
    return true;
}

/* limits spacers=30 pad_rise=5..65 column=85: from the makers' papers */
bool command_limits(struct session *session, const struct words *words, struct problem *problem)
{
    if (words->count < 2) {
        return problem_set(
            problem, "limits: say them as the makers' papers do, such as spacers=30 column=85");
    }
    if (!bike_limits_read_line(&session->record.limits, words, problem)) {
        return false;
    }
    machine_emit(session, EFFECT_SESSION, 0);
    int entered = bike_limits_entered(&session->record.limits);
    machine_say(session, "%d limit%s kept in sight", entered, entered == 1 ? " is" : "s are");
    if (session->build >= 0) {
        say_limits(session, session->record.build[session->build].setup);
    }
    return true;
}

/* torque stem_clamp=5 faceplate=5 sure=yes: as it stands on the parts */
bool command_torque(struct session *session, const struct words *words, struct problem *problem)
{
    struct bike_torques torques = session->record.torques;
    if (!bike_torques_read_line(&torques, words, problem) ||
        (!machine_sure(session, words) &&
         !bike_torques_check(&torques, &session->record.torques, problem))) {
        return false;
    }
    session->record.torques = torques;
    machine_emit(session, EFFECT_SESSION, 0);
    machine_say(session, "torques for the sheet: %d of %d",
                bike_torques_entered(&session->record.torques), BIKE_BOLTS);
    return true;
}

bool machine_ensure_build(struct session *session, struct problem *problem)
{
    if (session->build >= 0) {
        return true;
    }
    struct words words;
    char line[64];
    snprintf(line, sizeof line, "setup 1 \"%s\"", say_first_intent);
    return words_split(line, &words, problem) && command_setup(session, &words, problem);
}
