/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "base/text.h"
#include "machine_effects.h"
#include "parts_typed.h"
#include "ridden_once.h"

#include <math.h>
#include <string.h>

/* Runs over the course and their laps or legs. */

static bool read_speed_from(const struct session *session, const struct words *words,
                            struct run_record *run, struct problem *problem)
{
    const struct session_record *record = &session->record;
    const char *text = words_value(words, "speed");
    int found = word_find(&ride_source_words, text, -1);
    if (text != NULL && found < 0) {
        return problem_set(problem, "speed: '%s' is neither wheel nor satellites", text);
    }
    run->speed_from = found >= 0              ? (enum ride_source)found
                      : record->run_count > 0 ? record->run[record->run_count - 1].speed_from
                                              : RIDE_SOURCE_NOT_SAID;
    return run->speed_from != RIDE_SOURCE_NOT_SAID ||
           problem_set(problem, "run: does its speed come from a sensor at the wheel, or from "
                                "satellites? Say speed=wheel or speed=satellites, once");
}

/* By the parts on the bike, where they name one setup alone. */
static bool setup_of_parts(const struct session_record *record, const struct bike_values *parts,
                           int *setup, struct problem *problem)
{
    *setup = -1;
    for (int s = 0; s < record->setup_count; s++) {
        if (!bike_values_have(&record->setup[s].bike, parts)) {
            continue;
        }
        if (*setup >= 0) {
            return problem_set(problem,
                               "run: setups %d and %d both have these parts: say which, as "
                               "setup=%d, or name more of the parts",
                               record->setup[*setup].number, record->setup[s].number,
                               record->setup[*setup].number);
        }
        *setup = s;
    }
    return *setup >= 0 || problem_set(problem, "run: no setup has these parts: enter it first, "
                                               "with 'setup', as it was ridden");
}

/* Its number, its parts, or both where they agree. */
static bool read_setup(const struct session *session, const struct words *words, bool steps,
                       int *index, struct problem *problem)
{
    static const char *const others[] = {"setup",  "file",  "sum",   "laps",   "at",
                                         "speed",  "power", "heart", "effort", "rested",
                                         "passed", "steps", NULL};
    const struct session_record *record = &session->record;
    const char *setup = words_value(words, "setup");
    struct bike_values parts;
    int number = 0, named = 0;
    bike_values_clear(&parts);
    if (!parts_typed_read(words, 1, others, &parts, &named, problem)) {
        return false;
    }
    if (setup == NULL && named > 0) {
        return setup_of_parts(record, &parts, index, problem);
    }
    if (setup == NULL && steps && record->setup_count > 0) { /* any: it is in no comparison */
        *index = session_record_baseline(record);
        return true;
    }
    *index = setup != NULL && typed_whole(setup, TYPED_SETUP, &number)
                 ? session_record_setup(record, number)
                 : -1;
    if (*index < 0) {
        return problem_set(problem, "run: %s%s", setup != NULL ? "there is no setup " : "",
                           setup != NULL ? setup
                                         : "say which setup it is of, as setup=1, or by its "
                                           "parts, as pad_rise=20");
    }
    return bike_values_have(&record->setup[*index].bike, &parts) ||
           problem_set(problem, "run: setup %d has other parts than these", number);
}

static bool read_run(struct session *session, const struct words *words, struct run_record *run,
                     struct problem *problem)
{
    const char *file = words_value(words, "file");
    const char *sum = words_value(words, "sum"), *laps = words_value(words, "laps");
    if (!machine_read_yes(words, "steps", &run->steps, problem) ||
        !read_setup(session, words, run->steps, &run->setup, problem)) {
        return false;
    }
    text_copy(run->file, sizeof run->file, file != NULL ? file : "");
    text_copy(run->file_sum, sizeof run->file_sum, sum != NULL ? sum : "");
    text_copy(run->laps, sizeof run->laps, laps != NULL ? laps : "");
    return read_speed_from(session, words, run, problem) &&
           machine_read_clock(words, &run->at_min, problem) &&
           typed_read(words, TYPED_RUN_POWER, &run->power_w, problem) &&
           typed_read(words, TYPED_RUN_HEART, &run->heart_per_min, problem) &&
           typed_read(words, TYPED_RUN_EFFORT, &run->effort, problem);
}

/* Runs are told in the order in which they were ridden, since what warms up and wears off on such a
 * day goes by it: the latest one before that has a time. 0: none begins later than this one. */
static int begins_later(const struct session_record *record, const struct run_record *run)
{
    for (int r = record->run_count - 1; r >= 0; r--) {
        if (isfinite(record->run[r].at_min)) {
            return record->run[r].at_min > run->at_min ? record->run[r].number : 0;
        }
    }
    return 0;
}

/* run setup=1 file=a.csv sum=... laps=2..5 at=14:10 speed=wheel power=241W heart=150 effort=6 */
bool command_ridden(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    struct run_record run;
    bool rested = false;
    run_record_clear(&run);
    if (!read_run(session, words, &run, problem) ||
        !machine_read_yes(words, "rested", &rested, problem)) {
        return false;
    }
    if (!ridden_once(record, &run, rested, problem)) {
        return false;
    }
    int later = begins_later(record, &run);
    if (later > 0) {
        return problem_set(problem,
                           "run: it begins at %d:%02d, before run %d: tell runs in the order in "
                           "which they were ridden, or put the time right with at=",
                           (int)run.at_min / 60, (int)run.at_min % 60, later);
    }
    if (!acts_room(session, EFFECT_RUN, 1)) {
        return problem_set(problem, "no more than %d runs in a session", RUNS_MAX);
    }
    run.uuid = machine_uuid(session, EFFECT_RUN, record->run_count);
    run.number = record->run_count > 0 ? record->run[record->run_count - 1].number + 1 : 1;
    record->run[record->run_count] = run;
    machine_emit(session, EFFECT_RUN, record->run_count++);
    machine_drag_changed(session);
    const char *passed = words_value(words, "passed");
    machine_say(session, "run %d of setup %d%s%s%s", run.number, record->setup[run.setup].number,
                run.steps ? ", steps of speed" : "", passed != NULL ? "; passed over: " : "",
                passed != NULL ? passed : "");
    return true;
}

/* Of the run before it; which course there is says what a leg is. */
static bool read_leg(const struct session_record *record, const struct words *words,
                     struct leg_record *leg, struct problem *problem)
{
    static const char *const keys[] = {"way",      "pair",    "length", "time", "work",
                                       "mean",     "squared", "in",     "out",  "climb",
                                       "left_out", "pieces",  NULL};
    const char *way = words_value(words, "way"), *left_out = words_value(words, "left_out");
    double pieces_m = 0.0;
    bool laps = record->drag.course == COURSE_LAPS;
    bool good = way != NULL &&
                (laps ? text_equal(way, "lap") : text_equal(way, "out") || text_equal(way, "back"));
    if (!machine_only_keys(words, keys, problem)) {
        return false;
    }
    if (!good) {
        return problem_set(problem, "leg: %s", laps ? "say way=lap" : "say way=out or way=back");
    }
    leg->back = text_equal(way, "back");
    const char *pair = words_value(words, "pair");
    if (pair != NULL && !typed_whole(pair, TYPED_LEG_PAIR, &leg->pair)) {
        return problem_set(problem, "leg: '%s' is no number of a pair", pair);
    }
    leg->left_out = left_out != NULL;
    text_copy(leg->reason, sizeof leg->reason, left_out != NULL ? left_out : "");
    struct drag_leg *sums = &leg->sums;
    const struct {
        enum typed which;
        double *to;
    } numbers[] = {{TYPED_LEG_LENGTH, &sums->length_m},
                   {TYPED_LEG_TIME, &sums->duration_s},
                   {TYPED_LEG_WORK, &sums->work_j},
                   {TYPED_LEG_MEAN, &sums->speed_m_per_s},
                   {TYPED_LEG_SQUARED, &sums->speed_squared},
                   {TYPED_LEG_IN, &sums->in_m_per_s},
                   {TYPED_LEG_OUT, &sums->out_m_per_s},
                   {TYPED_LEG_CLIMB, &sums->climb_m},
                   {TYPED_LEG_PIECES, &pieces_m}};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        if (!typed_read(words, numbers[i].which, numbers[i].to, problem)) {
            return false;
        }
    }
    leg->piece_m = pieces_m;
    return left_out != NULL ||
           (sums->length_m > 0.0 && sums->duration_s > 0.0 && sums->speed_squared > 0.0) ||
           problem_set(problem, "leg: its length, time, work and speeds are not all there");
}

/* leg way=lap length=250.3 time=22.9 work=5600 mean=10.9 squared=119.2 in=10.9 out=11.0: made by
 * the program from the ride's file, behind its run */
bool command_leg(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    struct leg_record leg;
    leg_record_clear(&leg);
    leg.run = record->run_count - 1;
    if (record->run_count == 0) {
        return problem_set(problem, "leg: there is no run that it could be of");
    }
    if (!read_leg(record, words, &leg, problem)) {
        return false;
    }
    if (!ridden_once_leg(record, &leg, problem)) {
        return false;
    }
    if (!acts_room(session, EFFECT_LEG, 1)) {
        return problem_set(problem, "no more than %d laps or legs in a session", LEGS_MAX);
    }
    leg.number = 1;
    for (int l = 0; l < record->leg_count; l++) {
        leg.number += record->leg[l].run == leg.run ? 1 : 0;
    }
    leg.uuid = machine_uuid(session, EFFECT_LEG, record->leg_count);
    record->leg[record->leg_count] = leg;
    machine_emit(session, EFFECT_LEG, record->leg_count++);
    machine_drag_changed(session);
    return true;
}

/* '56.2/10.9/10.95': work, mean speed, speed where it ends. */
static bool read_piece(const char *text, struct leg_piece *piece)
{
    double *to[] = {&piece->work_j, &piece->speed_m_per_s, &piece->out_m_per_s};
    const char *at = text;
    for (int i = 0; i < 3; i++) {
        char number[32];
        size_t length = strcspn(at, "/");
        if (length == 0 || length >= sizeof number || (at[length] == '/') != (i < 2)) {
            return false;
        }
        memcpy(number, at, length);
        number[length] = '\0';
        if (!text_to_double(number, to[i]) || fabs(*to[i]) > STORED_REAL_MOST) {
            return false;
        }
        at += length + 1;
    }
    return true;
}

/* pieces 56.2/10.9/10.95 ...: of the leg before it, for the picture of what is left unexplained */
bool command_pieces(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    if (record->leg_count == 0 || !(record->leg[record->leg_count - 1].piece_m > 0.0)) {
        return problem_set(problem, "pieces: there is no leg that they could be of");
    }
    struct leg_record leg = record->leg[record->leg_count - 1];
    for (int i = 1; i < words->count; i++) {
        if (leg.piece_count == LEG_PIECES_MAX) {
            return problem_set(problem, "pieces: no more than %d of a leg", LEG_PIECES_MAX);
        }
        if (words->word[i].key != NULL ||
            !read_piece(words->word[i].value, &leg.piece[leg.piece_count])) {
            return problem_set(problem, "pieces: '%s' is no work/speed/speed at its end",
                               words->word[i].value);
        }
        leg.piece_count++;
    }
    if (words->count < 2) {
        return problem_set(problem, "pieces: say them, such as 56.2/10.9/10.95");
    }
    record->leg[record->leg_count - 1] = leg;
    machine_emit(session, EFFECT_LEG, record->leg_count - 1);
    machine_drag_changed(session);
    return true;
}

/* ---- left out and taken in again ------------------------------------------------------------ */

bool machine_names_run(const struct words *words)
{
    return words->count > 1 && words->word[1].key == NULL &&
           text_equal(words->word[1].value, "run");
}

static bool named_ride(struct session *session, const struct words *words, int *run, int *leg,
                       struct problem *problem)
{
    const char *text = words->count > 2 && words->word[2].key == NULL ? words->word[2].value : "";
    return session_record_ridden(&session->record, text, run, leg) ||
           problem_set(problem, "%s run: '%s' is no run, nor a lap or leg of one, such as 3 or 3.2",
                       words->word[0].value, text);
}

/* reject run 3.2 "a car passed" */
bool machine_reject_run(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    int run = -1, leg = -1;
    if (!named_ride(session, words, &run, &leg, problem)) {
        return false;
    }
    const char *reason =
        words->count == 4 && words->word[3].key == NULL ? words->word[3].value : "";
    if (reason[0] == '\0') {
        return problem_set(problem,
                           "reject: say the reason, such as reject run %s \"a car passed\"",
                           words->word[2].value);
    }
    if (leg >= 0) {
        record->leg[leg].left_out = true;
        text_copy(record->leg[leg].reason, sizeof record->leg[leg].reason, reason);
        machine_emit(session, EFFECT_LEG, leg);
    } else {
        record->run[run].rejected = true;
        text_copy(record->run[run].reject_reason, sizeof record->run[run].reject_reason, reason);
        machine_emit(session, EFFECT_RUN, run);
    }
    machine_drag_changed(session);
    machine_say(session, "run %s is left out; u, or 'restore run %s', takes it in again",
                words->word[2].value, words->word[2].value);
    return true;
}

/* restore run 3.2 */
bool machine_restore_run(struct session *session, const struct words *words,
                         struct problem *problem)
{
    struct session_record *record = &session->record;
    int run = -1, leg = -1;
    if (!named_ride(session, words, &run, &leg, problem)) {
        return false;
    }
    bool out = leg >= 0 ? record->leg[leg].left_out : record->run[run].rejected;
    if (words->count > 3 || !out) {
        return problem_set(problem, "restore: run %s was not left out", words->word[2].value);
    }
    if (leg >= 0 && !(record->leg[leg].sums.speed_squared > 0.0)) {
        return problem_set(problem, "restore: nothing can be worked out of run %s (%s)",
                           words->word[2].value, record->leg[leg].reason);
    }
    if (leg >= 0) {
        record->leg[leg].left_out = false;
        machine_emit(session, EFFECT_LEG, leg);
    } else {
        record->run[run].rejected = false;
        machine_emit(session, EFFECT_RUN, run);
    }
    machine_drag_changed(session);
    machine_say(session, "run %s counts again", words->word[2].value);
    return true;
}
