/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "base/text.h"
#include "heights.h"
#include "hour.h"
#include "machine_effects.h"
#include "parts_from.h"
#include "removal.h"

#include "analysis/slip.h"
#include "say/say.h"
#include "say/setup.h"

#include <stdio.h>

/* Setups put in order: one that nobody wanted goes away, two that are one become one, a number is
 * put right, a build is another setup's. */

/* The index of the setup of this number behind the command; -1 with a problem. */
static int setup_named(const struct session *session, const struct words *words, int word,
                       struct problem *problem)
{
    int number = 0;
    bool read = words->count > word && words->word[word].key == NULL &&
                typed_whole(words->word[word].value, TYPED_SETUP, &number);
    int index = read ? session_record_setup(&session->record, number) : -1;
    if (index < 0) {
        problem_set(problem, "%s: there is no setup '%s'", words->word[0].value,
                    words->count > word ? words->word[word].value : "");
    }
    return index;
}

static bool at_rest(const struct session *session, const struct words *words,
                    struct problem *problem)
{
    return session->doing.activity == ACTIVITY_NONE ||
           problem_set(problem, "%s: a hold is in progress: stop it first", words->word[0].value);
}

/* What the comparison names by a number follows it. */
static void follow_number(struct session *session, int from, int to)
{
    struct comparison_settings *settings = &session->record.settings;
    bool named = settings->baseline_setup == from || settings->chosen_setup == from;
    settings->baseline_setup = settings->baseline_setup == from ? to : settings->baseline_setup;
    settings->chosen_setup = settings->chosen_setup == from ? to : settings->chosen_setup;
    if (named) {
        machine_emit(session, EFFECT_SESSION, 0);
    }
}

static void remove_builds(struct session *session, int setup)
{
    struct session_record *record = &session->record;
    for (int t = record->tie_reading_count - 1; t >= 0; t--) {
        if (record->build[record->tie_reading[t].build].setup == setup) {
            removal_take(session, EFFECT_TIE_READING, t);
        }
    }
    for (int t = record->target_count - 1; t >= 0; t--) { /* entered ones need no build */
        int build = record->target[t].build;
        if (build >= 0 && record->build[build].setup == setup) {
            record->target[t].build = -1;
            machine_emit(session, EFFECT_TARGET, t);
        }
    }
    for (int b = record->build_count - 1; b >= 0; b--) {
        if (record->build[b].setup == setup) {
            removal_take(session, EFFECT_BUILD, b);
        }
    }
}

/* remove 22 */
bool command_remove(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    int index = setup_named(session, words, 1, problem);
    if (index < 0 || !at_rest(session, words, problem)) {
        return false;
    }
    int number = record->setup[index].number;
    char why[SAY_SIZE];
    bool has_captures;
    if (words->count > 2) {
        return problem_set(problem, "remove: takes no more than a setup's number");
    }
    if (say_setup_stays(why, sizeof why, record, index, &has_captures)) {
        return has_captures
                   ? problem_set(problem,
                                 "remove: %s: 'same %d M' makes it one with setup M, 'reject' "
                                 "leaves its holds out",
                                 why, number)
                   : problem_set(problem, "remove: %s", why);
    }
    for (int r = record->rating_count - 1; r >= 0; r--) {
        if (record->rating[r].setup == index) {
            removal_take(session, EFFECT_RATING, r);
        }
    }
    remove_builds(session, index);
    parts_from_gone(session, index, -1);
    removal_take(session, EFFECT_SETUP, index);
    machine_find_in_force(session);
    machine_ties_changed(session);
    char now[64] = "";
    if (session->build >= 0) {
        snprintf(now, sizeof now, "; setup %d is on the bike",
                 record->setup[record->build[session->build].setup].number);
    }
    machine_say(session, "setup %d is removed%s", number, now);
    return true;
}

/* Its builds stand in their order among the other's. */
static void join_builds(struct session *session, int from, int to)
{
    struct session_record *record = &session->record;
    int ordinal = 0;
    for (int b = 0; b < record->build_count; b++) {
        struct build_record *build = &record->build[b];
        if (build->setup == from || build->setup == to) {
            build->setup = to;
            build->ordinal = ++ordinal;
            machine_emit(session, EFFECT_BUILD, b);
        }
    }
}

/* same 3 2: setup 3 is setup 2 */
bool command_same(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    int from = setup_named(session, words, 1, problem);
    int to = from < 0 ? -1 : setup_named(session, words, 2, problem);
    if (to < 0 || !at_rest(session, words, problem)) {
        return false;
    }
    int number = record->setup[from].number, other = record->setup[to].number;
    if (from == to || words->count > 3) {
        return problem_set(problem, "same: say two setups, such as 'same 3 2'");
    }
    if (!bike_values_equal(&record->setup[from].bike, &record->setup[to].bike)) {
        char apart[SAY_SIZE];
        say_other_parts(apart, sizeof apart, &record->setup[to], &record->setup[from].bike, number);
        return problem_set(
            problem, "same: %s: 'correct' a slip first; 'belongs' gives one build alone", apart);
    }
    join_builds(session, from, to);
    for (int r = 0; r < record->rating_count; r++) {
        if (record->rating[r].setup == from) {
            record->rating[r].setup = to;
            machine_emit(session, EFFECT_RATING, r);
        }
    }
    for (int r = 0; r < record->run_count; r++) {
        if (record->run[r].setup == from) {
            record->run[r].setup = to;
            machine_emit(session, EFFECT_RUN, r);
        }
    }
    follow_number(session, number, other);
    parts_from_gone(session, from, to);
    removal_take(session, EFFECT_SETUP, from);
    machine_find_in_force(session);
    machine_ties_changed(session);
    machine_say(session, "setup %d is setup %d: its holds and ratings are that one's", number,
                other);
    return true;
}

/* renumber 22 3 */
bool command_renumber(struct session *session, const struct words *words, struct problem *problem)
{
    struct session_record *record = &session->record;
    int index = setup_named(session, words, 1, problem), number = 0;
    if (index < 0) {
        return false;
    }
    if (words->count != 3 || words->word[2].key != NULL ||
        !typed_whole(words->word[2].value, TYPED_SETUP, &number)) {
        return problem_set(problem, "renumber: say its number, and the one that is right");
    }
    if (session_record_setup(record, number) >= 0) {
        return problem_set(problem,
                           "renumber: there is a setup %d already ('same %s %d' makes the "
                           "two one)",
                           number, words->word[1].value, number);
    }
    int former = record->setup[index].number;
    journal_keep_words(session, EFFECT_SETUP, index);
    record->setup[index].number = number;
    machine_emit(session, EFFECT_SETUP, index);
    follow_number(session, former, number);
    machine_ties_changed(session);
    machine_say(session, "setup %d is number %d from here on", former, number);
    return true;
}

/* The builds of a setup counted anew, in their order. */
static void count_builds(struct session *session, int setup)
{
    struct session_record *record = &session->record;
    int ordinal = 0;
    for (int b = 0; b < record->build_count; b++) {
        struct build_record *build = &record->build[b];
        if (build->setup == setup && build->ordinal != ++ordinal) {
            build->ordinal = ordinal;
            machine_emit(session, EFFECT_BUILD, b);
        }
    }
}

/* The build is that setup's. Whether a sensor slipped was said of each build against its setup's
 * build before: where that is another one now, it is not known. */
static void give_build(struct session *session, int build, int to)
{
    struct session_record *record = &session->record;
    int from = record->build[build].setup, before[BUILDS_MAX] = {0};
    for (int b = 0; b < record->build_count; b++) {
        before[b] = slip_build_before(record, b);
    }
    record->build[build].setup = to;
    machine_emit(session, EFFECT_BUILD, build);
    for (int b = 0; b < record->build_count; b++) {
        if (record->build[b].slipped != 0 && slip_build_before(record, b) != before[b]) {
            record->build[b].slipped = 0;
            machine_emit(session, EFFECT_BUILD, b);
        }
    }
    count_builds(session, from);
    count_builds(session, to);
}

/* What was said of the setup while the build was on the bike was said of the other one; how many
 * ratings. */
static int give_ratings(struct session *session, int build, int from)
{
    struct session_record *record = &session->record;
    bool last = build + 1 == record->build_count;
    int64_t first = record->build[build].first_sample,
            end = last ? INT64_MAX : record->build[build + 1].first_sample;
    int count = 0;
    for (int r = 0; r < record->rating_count; r++) {
        struct rating_record *rating = &record->rating[r];
        if (rating->setup == from && rating->sample >= first && rating->sample < end) {
            rating->setup = record->build[build].setup;
            machine_emit(session, EFFECT_RATING, r);
            count++;
        }
    }
    return count;
}

/* What the fitter sees of it: 'setup 1, build 2 was setup 2, build 2: 3 holds, 1 rating'. */
static void say_given(struct session *session, const char *was, int build, int ratings)
{
    const struct session_record *record = &session->record;
    const struct build_record *now = &record->build[build];
    int holds = 0;
    char told[160];
    for (int h = 0; h < record->hold_count; h++) {
        holds += record->hold[h].build == build ? 1 : 0;
    }
    snprintf(told, sizeof told, "%s was setup %d (its build %d, with %d hold%s and %d rating%s)",
             was, record->setup[now->setup].number, now->ordinal, holds, holds == 1 ? "" : "s",
             ratings, ratings == 1 ? "" : "s");
    journal_say(session, EVENT_ANSWER, "put right", told);
    machine_say(session, "%s; everything was worked out anew", told);
}

/* belongs 2 setup=1 build=2: that build was setup 2 */
bool command_belongs(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"setup", "build", NULL};
    const struct session_record *record = &session->record;
    int to = setup_named(session, words, 1, problem);
    if (to < 0 || !machine_only_keys(words, keys, problem) || !at_rest(session, words, problem)) {
        return false;
    }
    int build = machine_build_named(session, words, problem);
    if (!machine_build_made(session, &build, problem)) {
        return false;
    }
    int from = record->build[build].setup;
    char was[64];
    snprintf(was, sizeof was, "setup %d, build %d", record->setup[from].number,
             record->build[build].ordinal);
    if (from == to) {
        return problem_set(problem, "belongs: %s is of that setup; say the one it was", was);
    }
    journal_keep_words(session, EFFECT_BUILD, build);
    give_build(session, build, to);
    int ratings = give_ratings(session, build, from);
    machine_ties_changed(session);
    hour_plan(session);
    say_given(session, was, build, ratings);
    return true;
}
