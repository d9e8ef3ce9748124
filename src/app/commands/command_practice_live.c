/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/carry.h"
#include "app/commands.h"
#include "app/live.h"
#include "app/options.h"
#include "app/practice_plan.h"
#include "app/practised.h"
#include "base/text.h"
#include "base/words.h"
#include "record/enum_words.h"
#include "record/record.h"
#include "say/learning.h"
#include "store/store.h"

#include <getopt.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* holdline practice RIDER [RIG]: the live session, led through what is due today. */

struct practice_asked {
    char store[4096];
    const char *health, *tones, *plan;
    bool ride, looked_at;
};

static const struct option_row options[] = {
    {"store", OPTION_COPY, OPTION_INTO(practice_asked, store)},
    {"health", OPTION_TEXT, OPTION_INTO(practice_asked, health)},
    {"tones", OPTION_TEXT, OPTION_INTO(practice_asked, tones)},
    {"ride", OPTION_YES, OPTION_INTO(practice_asked, ride)},
    {"looked-at", OPTION_YES, OPTION_INTO(practice_asked, looked_at)},
    {"plan", OPTION_TEXT, OPTION_INTO(practice_asked, plan)},
};

/* Has the plan a word of this? Then it goes before what follows from the tests. */
static bool planned(const struct practice_plan *plan, const char *key)
{
    struct words words;
    char line[sizeof plan->practice + 16];
    snprintf(line, sizeof line, "practice %s", plan->practice);
    return words_split(line, &words, NULL) && words_value(&words, key) != NULL;
}

static void due_line(char *line, size_t size, const struct learning *learning,
                     const struct practice_plan *plan, bool ride)
{
    char target[2 * sizeof plan->target], band[2 * sizeof plan->band];
    size_t used = 0;
    text_copy(line, size, "");
    text_append(line, size, &used, "practice base=%s held=%s",
                learning_base_wanted(learning) > 0 ? "yes" : "no",
                learning->asks != DISCOMFORT_NOTHING ? "yes" : "no");
    if (learning->target_from > 0) {
        text_append(line, size, &used, " carried=%lld", (long long)learning->target_from);
    }
    text_append(line, size, &used, "%s", ride ? " ride=yes" : "");
    if (!planned(plan, "row")) {
        text_append(line, size, &used, " row=%d", learning->feedback_row + 1);
    }
    if (!planned(plan, "length")) {
        text_append(line, size, &used, " length=%.0fs", round(learning->piece.length_s));
    }
    if (!planned(plan, "pieces")) {
        text_append(line, size, &used, " pieces=%d", learning_pieces(learning));
    }
    text_append(line, size, &used, "%s%s", plan->practice[0] != '\0' ? " " : "", plan->practice);
    if (plan->target[0] != '\0') {
        words_quote(target, sizeof target, plan->target);
        words_quote(band, sizeof band, plan->band);
        text_append(line, size, &used, " target=%s%s%s", target,
                    plan->band[0] != '\0' ? " band=" : "", plan->band[0] != '\0' ? band : "");
    }
    if (learning_asks_morning(learning)) {
        text_append(line, size, &used, " morning=yes");
    }
    if (isfinite(learning->board_mm)) {
        text_append(line, size, &used, " board=%.1f", learning->board_mm);
    }
    for (int c = 0; c < learning->board_count; c++) {
        text_append(line, size, &used, "%s%s:%.1f", c == 0 ? " board_was=" : ",",
                    learning->board_channel[c], learning->board_range_mm[c]);
    }
}

/* On standard output before the screen opens: it stands there again when that is left. */
static void say_due(const struct learning *learning, const struct practice_plan *plan)
{
    char next[NEXT_SENTENCES][512];
    int sentences = say_next_session(learning, next);
    for (int i = 0; i < sentences; i++) {
        text_print(stdout, "%s\n", next[i]);
    }
    const char *const lines[] = {plan->target, plan->band, plan->practice, plan->note};
    static const char *const words[] = {"target ", "band ", "practice ", ""};
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        if (lines[i][0] != '\0') {
            text_print(stdout, "The coach's plan: %s%s\n", words[i], lines[i]);
        }
    }
}

/* The rider, and what was answered of discomfort: now, or else once before. */
static void rider_line(char *line, size_t size, const struct practice_asked *asked,
                       const char *code, const struct learning *learning)
{
    char quoted[2 * NAME_SIZE];
    const char *health = asked->health != NULL   ? asked->health
                         : learning->health != 0 ? word_of(&answer_words, learning->health)
                                                 : "";
    words_quote(quoted, sizeof quoted, code);
    snprintf(line, size, "rider %s%s%s", quoted, health[0] != '\0' ? " health=" : "", health);
}

static bool practise(const struct practice_asked *asked, const char *code, const char *rig,
                     const char *rider, const char *due, const struct practice_plan *plan,
                     struct problem *problem)
{
    char carry[64];
    const char *lines[] = {rider, due, plan->note[0] != '\0' ? plan->note : NULL, NULL};
    static struct live_outcome outcome;
    int64_t id = 0;
    if (!carry_find(asked->store, code, NULL, &id, problem)) {
        return false;
    }
    snprintf(carry, sizeof carry, "carry %lld", (long long)id);
    const struct live_options live = {.rig = rig,
                                      .store_path = asked->store,
                                      .origin = live_new_origin(),
                                      .first_commands = lines,
                                      .carry = carry,
                                      .outcome = &outcome,
                                      .tones = asked->tones};
    if (!live_run(&live, problem)) {
        return false;
    }
    live_say_where(&live);
    return true;
}

static int run(int argc, char **argv)
{
    struct practice_asked asked = {.store = ""};
    struct practice_plan plan = {.target = ""};
    struct problem problem = {PROBLEM_NONE, ""};
    const struct option_set sets[] = {OPTION_SET(options, &asked), {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    if (argc - optind < 1 || argc - optind > 2 ||
        (asked.health != NULL && word_find(&answer_words, asked.health, -1) < 0)) {
        problem_usage(&problem, "practice: say a rider's code (and the rig), such as 'practice "
                                "R-07'; --health is yes or no");
        return command_fail(&problem);
    }
    if (asked.store[0] == '\0' && !store_default_path(asked.store, sizeof asked.store, &problem)) {
        return command_fail(&problem);
    }
    if (asked.plan != NULL && !practice_plan_read(asked.plan, &plan, &problem)) {
        return command_fail(&problem);
    }
    struct learning *learning = practised_load(asked.store, argv[optind], &problem);
    if (learning == NULL) {
        return command_fail(&problem);
    }
    say_due(learning, &plan);
    /* whether somebody looked since only the rider can tell */
    bool may = learning->asks < DISCOMFORT_STUDIO || asked.looked_at;
    char rider[2 * NAME_SIZE + 32], due[1024];
    rider_line(rider, sizeof rider, &asked, argv[optind], learning);
    due_line(due, sizeof due, learning, &plan, asked.ride);
    free(learning);
    bool done = may ? practise(&asked, argv[optind], argc == optind + 2 ? argv[optind + 1] : NULL,
                               rider, due, &plan, &problem)
                    : problem_set(&problem, "no practice: see above; once the posture was "
                                            "looked at, --looked-at says so");
    return done ? EXIT_SUCCESS : command_fail(&problem);
}

const struct command command_practice_live = {
    .name = "practice",
    .summary = "a session at home, led through what is due today",
    .usage =
        "holdline practice RIDER [RIG] [options]\n"
        "Begins a session where the rider's last one ended and leads through what is due: the "
        "board\n"
        "on the pads, warm-up, the test of which nothing is shown, the pieces with what is told "
        "of\n"
        "each, how it felt. Space, a button that sends it, does the next step. What is due "
        "follows\n"
        "from the sessions before ('holdline progress'); docs/practice.md has the rules.\n"
        "  --health yes|no  may discomfort be kept? Asked for only after a yes; said once, it\n"
        "                   stays so until it is said otherwise\n"
        "  --looked-at      the studio or a licensed clinician looked at the posture since a sign\n"
        "                   to stop was told: practice goes on, a step shorter\n"
        "  --ride           a long ride without a test: board, ride, how it felt\n"
        "  --plan FILE      what a coach wants practised: target, band, practice, note (lines as "
        "in "
        "scripts)\n"
        "  --tones WHERE    as with 'live'\n"
        "  --store FILE     the store (default: HOLDLINE_STORE, else the data folder's)\n",
    .run = run,
};
