/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/carry.h"
#include "app/commands.h"
#include "app/decoder_arguments.h"
#include "app/live.h"
#include "app/resumed_session.h"
#include "app/tones.h"
#include "base/clock.h"
#include "base/text.h"
#include "store/store.h"

#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* holdline live [RIG]: the live session. */

struct arguments {
    struct live_options live;
    char store[4096];
    struct resumed_wish resume;
    bool fresh;
    const char *carry; /* words for the session that is carried over */
    int64_t on_bike;   /* number of the setup on the bike now; 0: the one built last */
    char carry_line[COMMAND_TEXT_SIZE];
    char saved[RESUMED_SAVED_SIZE]; /* what is told of the session that is gone on with */
};

static bool take_origin(void *of, const char *text, struct problem *problem)
{
    int64_t at_us = 0;
    (void)problem;
    bool read = clock_parse_us(text, strlen(text), &at_us);
    ((struct arguments *)of)->live.origin.wall_ms = at_us / 1000;
    return read;
}

static bool take_resume(void *of, const char *text, struct problem *problem)
{
    return resumed_wish_read(&((struct arguments *)of)->resume, text, problem);
}

static const struct option_row option_rows[] = {
    {"store", OPTION_COPY, OPTION_INTO(arguments, store)},
    {"resume", OPTION_OWN_EITHER, .take = take_resume},
    {"new", OPTION_YES, OPTION_INTO(arguments, fresh)},
    {"origin", OPTION_OWN, .wants = "a time such as 2026-01-10T18:00:00Z", .take = take_origin},
    {"seed", OPTION_WHOLE, OPTION_INTO(arguments, live.origin.seed), 0, INFINITY,
     "a whole number from 0"},
    {"carry", OPTION_TEXT, OPTION_INTO(arguments, carry)},
    {"on-bike", OPTION_WHOLE, OPTION_INTO(arguments, on_bike), 1, 99, "a setup's number"},
    {"tones", OPTION_TEXT, OPTION_INTO(arguments, live.tones)},
    {"trace", OPTION_TEXT, OPTION_INTO(arguments, live.trace_path)},
};

/* A session that was cut short is offered; yes is the answer to Enter. */
static bool ask_to_resume(const struct store_session *session, const char *saved)
{
    char started[64], line[64] = "";
    clock_local_text(started, sizeof started, session->started_ms);
    text_print(stdout,
               "The session %s%sbegun at %s was cut short (%d setups, %d holds, %.0f min).\n"
               "%s%sGo on with it where it was? [Y/n] ",
               session->rider_code, session->rider_code[0] != '\0' ? ", " : "", started,
               session->setups, session->holds, session->length_s / 60.0, saved,
               saved[0] != '\0' ? ".\n" : "");
    fflush(stdout);
    return fgets(line, sizeof line, stdin) != NULL && line[0] != 'n' && line[0] != 'N';
}

static bool choose_session(struct arguments *arguments, struct problem *problem)
{
    const struct resumed_wish *wish = &arguments->resume;
    struct store_session session;
    if (arguments->fresh) {
        return !wish->asked || problem_usage(problem, "live: --new begins a session, --resume goes "
                                                      "on with one: say one of them");
    }
    if (!resumed_session_find(arguments->store, wish, &session, problem)) {
        return false;
    }
    char *saved = arguments->saved;
    resumed_session_saved(arguments->store, &session, saved, sizeof arguments->saved);
    if (wish->asked && saved[0] != '\0') { /* it stands there when the screen is gone again */
        text_print(stdout, "%s.\n", saved);
    }
    if (session.id != 0 &&
        (wish->asked || (isatty(STDIN_FILENO) && ask_to_resume(&session, saved)))) {
        arguments->live.resume_session = session.id;
        arguments->live.first_news = saved;
    }
    return true;
}

/* What is carried over goes into a new session; a session that isn't there is told before the
 * screen opens. */
static bool choose_carried(struct arguments *arguments, struct problem *problem)
{
    char on[32] = "";
    int64_t id = 0;
    if (arguments->carry == NULL) {
        return arguments->on_bike == 0 ||
               problem_usage(problem, "live: --on-bike belongs to --carry SESSION");
    }
    if (arguments->resume.asked) {
        return problem_usage(problem, "live: --carry begins a new session, --resume goes on with "
                                      "one: say one of them");
    }
    bool found = carry_find(arguments->store, arguments->carry, NULL, &id, problem);
    if (found && arguments->on_bike > 0) {
        snprintf(on, sizeof on, " on=%lld", (long long)arguments->on_bike);
    }
    snprintf(arguments->carry_line, sizeof arguments->carry_line, "carry %lld%s", (long long)id,
             on);
    arguments->live.carry = arguments->carry_line;
    arguments->fresh = true;
    return found;
}

static int run(int argc, char **argv)
{
    struct problem problem = {0};
    struct arguments arguments;
    memset(&arguments, 0, sizeof arguments);
    arguments.live.origin = live_new_origin();
    const struct option_set sets[] = {OPTION_SET(option_rows, &arguments),
                                      DECODER_OPTION_SET(&arguments.live.decoder),
                                      {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    if (argc - optind > 1) {
        problem_usage(&problem, "live: one rig at a time ('%s'?)", argv[optind + 1]);
        return command_fail(&problem);
    }
    arguments.live.rig = argc > optind ? argv[optind] : NULL;
    if (arguments.resume.asked && arguments.live.rig != NULL &&
        access(arguments.live.rig, F_OK) != 0 &&
        strspn(arguments.live.rig, "0123456789") == strlen(arguments.live.rig)) {
        problem_usage(&problem, "live: '%s' is no rig; --resume=%s goes on with that session",
                      arguments.live.rig, arguments.live.rig);
        return command_fail(&problem);
    }
    if (arguments.store[0] == '\0' &&
        !store_default_path(arguments.store, sizeof arguments.store, &problem)) {
        return command_fail(&problem);
    }
    static struct live_outcome outcome;
    arguments.live.store_path = arguments.store;
    arguments.live.outcome = &outcome;
    if (!choose_carried(&arguments, &problem) || !choose_session(&arguments, &problem) ||
        !live_run(&arguments.live, &problem)) {
        return command_fail(&problem);
    }
    live_say_where(&arguments.live);
    return EXIT_SUCCESS;
}

const struct command command_live = {
    .name = "live",
    .summary = "the live session (also: holdline [RIG])",
    .usage =
        "holdline live [RIG] [options]\n"
        "RIG is serial:DEVICE or a device's path, auto (the one port where sensors are heard, the\n"
        "default), file:PATH, virtual:NAME, or - for standard input.\n"
        "  --store FILE         the store (default: HOLDLINE_STORE, else the data folder's)\n"
        "  --resume[=SESSION]   go on with that session (its number, a rider's code), or with the "
        "one\n"
        "                       that was cut short, or else with the latest, without asking\n"
        "  --new                a new session, without asking\n"
        "  --carry SESSION      a new session with rider, bike, sensors, setups and target of an\n"
        "                       earlier one: its number, 'last', a rider's code\n"
        "  --on-bike N          the earlier session's setup that is on the bike now (default: the\n"
        "                       one that was chosen, else the one built last)\n" TONES_USAGE
        "  --origin TIME        the session's start, for tests\n"
        "  --seed N             of its identifiers, for tests\n"
        "  --trace FILE         what was done and seen, line by line\n" DECODER_USAGE,
    .run = run,
};
