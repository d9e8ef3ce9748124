/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/decoder_arguments.h"
#include "app/import_script.h"
#include "app/script_runner.h"
#include "base/clock.h"
#include "base/text.h"
#include "measure/rules.h"
#include "store/store.h"

#include <getopt.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* holdline import FILE...: recorded streams as holds of a new session, after the fact. */

enum {
    OPTION_STORE = 2,
    OPTION_STARTED,
    OPTION_SEED,
    OPTION_RIDER,
    OPTION_BIKE,
    OPTION_SENSOR,
    OPTION_CARRY,
    OPTION_SETUP,
    OPTION_BUILD,
    OPTION_GUIDED,
    OPTION_FREE,
    OPTION_LINE,
    OPTION_SECONDS,
    OPTION_RATE,
    OPTION_SCRIPT,
};

static const struct option long_options[] = {{"store", required_argument, NULL, OPTION_STORE},
                                             {"started", required_argument, NULL, OPTION_STARTED},
                                             {"seed", required_argument, NULL, OPTION_SEED},
                                             {"rider", required_argument, NULL, OPTION_RIDER},
                                             {"bike", required_argument, NULL, OPTION_BIKE},
                                             {"sensor", required_argument, NULL, OPTION_SENSOR},
                                             {"carry", required_argument, NULL, OPTION_CARRY},
                                             {"setup", required_argument, NULL, OPTION_SETUP},
                                             {"build", no_argument, NULL, OPTION_BUILD},
                                             {"guided", no_argument, NULL, OPTION_GUIDED},
                                             {"free", no_argument, NULL, OPTION_FREE},
                                             {"line", required_argument, NULL, OPTION_LINE},
                                             {"seconds", required_argument, NULL, OPTION_SECONDS},
                                             {"rate", required_argument, NULL, OPTION_RATE},
                                             {"script", no_argument, NULL, OPTION_SCRIPT},
                                             DECODER_LONG_OPTIONS,
                                             {NULL, 0, NULL, 0}};

struct importing {
    struct decoder_options decoder;
    char store[4096];
    int64_t started_ms, seed;
    bool script_only;
    /* in force for the files that follow */
    const char *rate;
    double seconds;
    bool guided;
};

/* The decoder's options count for all files: they are taken first. */
static bool read_decoder(int argc, char **argv, struct decoder_options *decoder,
                         struct problem *problem)
{
    int option = 0;
    optind = 1;
    while ((option = getopt_long(argc, argv, "-", long_options, NULL)) != -1) {
        if (option == '?' || option >= DECODER_COLUMNS) {
            if (!decoder_argument(option, optarg, decoder, problem)) {
                return false;
            }
        }
    }
    return true;
}

static bool take_number(const char *option, const char *text, double least, double most,
                        double *value, struct problem *problem)
{
    return (text_to_double(text, value) && *value >= least && *value <= most) ||
           problem_usage(problem, "import: --%s wants a number from %g to %g, not '%s'", option,
                         least, most, text);
}

static bool take_option(struct importing *importing, struct import_script *script, int option,
                        const char *value, struct problem *problem)
{
    double number = 0.0;
    int64_t at_us = 0;
    switch (option) {
    case 1: /* a file */
        return import_script_hold(script, value, importing->rate, importing->seconds,
                                  importing->guided, problem);
    case OPTION_STORE:
        text_copy(importing->store, sizeof importing->store, value);
        return true;
    case OPTION_STARTED:
        if (!clock_parse_us(value, strlen(value), &at_us)) {
            return problem_usage(problem, "--started: '%s' is no time such as 2026-01-10T18:00:00Z",
                                 value);
        }
        importing->started_ms = at_us / 1000;
        return true;
    case OPTION_SEED:
        return (text_to_int64(value, &importing->seed) && importing->seed >= 0) ||
               problem_usage(problem, "--seed: '%s' is no whole number from 0", value);
    case OPTION_RIDER:
        return import_script_line(script, "rider", value, problem);
    case OPTION_BIKE:
        return import_script_line(script, "bike", value, problem);
    case OPTION_SENSOR:
        return import_script_line(script, "sensor", value, problem);
    case OPTION_CARRY:
        return import_script_line(script, "carry", value, problem);
    case OPTION_SETUP:
        return import_script_line(script, "setup", value, problem);
    case OPTION_BUILD:
        return import_script_line(script, "", "build", problem);
    case OPTION_LINE:
        return import_script_line(script, "", value, problem);
    case OPTION_GUIDED:
    case OPTION_FREE:
        importing->guided = option == OPTION_GUIDED;
        return true;
    case OPTION_SECONDS:
        return take_number("seconds", value, 5, 3600, &importing->seconds, problem);
    case OPTION_RATE:
        importing->rate = value;
        return take_number("rate", value, RATE_LEAST_HZ, RATE_MOST_HZ, &number, problem);
    case OPTION_SCRIPT:
        importing->script_only = true;
        return true;
    default:
        return true; /* the decoder's, taken before */
    }
}

static bool read_arguments(int argc, char **argv, struct importing *importing,
                           struct import_script *script, struct problem *problem)
{
    int option = 0;
    optind = 1;
    while ((option = getopt_long(argc, argv, "-", long_options, NULL)) != -1) {
        if (!take_option(importing, script, option, optarg, problem)) {
            return false;
        }
    }
    for (; optind < argc; optind++) { /* behind '--' */
        if (!take_option(importing, script, 1, argv[optind], problem)) {
            return false;
        }
    }
    return true;
}

/* 'import:5: ...' with the line itself, which the person has not written. */
static void explain(const char *text, struct problem *problem)
{
    static const char start[] = "import:";
    char line[COMMAND_TEXT_SIZE];
    struct problem plain = *problem;
    char *end = NULL;
    if (!text_starts_with(plain.sentence, start)) {
        return;
    }
    long number = strtol(plain.sentence + strlen(start), &end, 10);
    if (number > 0 && text_starts_with(end, ": ")) {
        import_script_line_text(text, (int)number, line, sizeof line);
        problem_set(problem, "import: %s (line '%.200s')", end + 2, line);
    }
}

static bool take_latest(void *context, const struct store_session *listed)
{
    int64_t *latest = context;
    *latest = listed->id > *latest ? listed->id : *latest;
    return true;
}

/* The session that was just made has the highest number, whenever it was ridden. */
static bool find_session(const char *path, int64_t *session, struct problem *problem)
{
    struct store *store = store_open(path, STORE_READ, problem);
    bool done = store != NULL && store_list(store, take_latest, session, problem);
    store_close(store);
    return done;
}

/* Once without a store: what can't be done is found before anything is written. */
static bool run_script(const struct importing *importing, const char *text, struct problem *problem)
{
    struct progress progress;
    struct script_runner_result result = {0};
    struct script_runner_options options = {.script_name = "import",
                                            .decoder = importing->decoder,
                                            .output = stdout,
                                            .store_path = importing->store,
                                            .dry = true,
                                            .progress = &progress};
    progress_begin(&progress, "looking the streams through");
    bool done = script_run(text, &options, &result, problem);
    if (done) {
        options.dry = false;
        progress.doing = "importing";
        done = script_run(text, &options, &result, problem);
    }
    int64_t session = 0;
    done = done && find_session(importing->store, &session, problem);
    if (!done) {
        explain(text, problem);
    } else {
        fprintf(stderr,
                "session %lld: %d hold%s, %.0f s, %lld samples, %lld lost, %lld lines rejected\n",
                (long long)session, result.holds, result.holds == 1 ? "" : "s", result.stream_s,
                (long long)result.samples, (long long)result.lost, (long long)result.rejected);
    }
    int status = done ? EXIT_SUCCESS : command_fail(problem);
    progress_end(&progress);
    return status == EXIT_SUCCESS;
}

static int run(int argc, char **argv)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct importing importing = {.started_ms = -1, .seed = -1, .seconds = (double)NAN};
    int status = EXIT_FAILURE;
    if (!read_decoder(argc, argv, &importing.decoder, &problem)) {
        return problem.sentence[0] != '\0' ? command_fail(&problem) : 2;
    }
    struct import_script *script = import_script_create(&importing.decoder);
    const char *text = NULL;
    if (script == NULL) {
        problem_set(&problem, "no memory for the script");
    } else if (read_arguments(argc, argv, &importing, script, &problem)) {
        text = import_script_text(script, importing.started_ms, importing.seed, &problem);
    }
    if (text == NULL || (importing.store[0] == '\0' &&
                         !store_default_path(importing.store, sizeof importing.store, &problem))) {
        status = command_fail(&problem);
    } else if (importing.script_only) {
        fputs(text, stdout);
        status = fflush(stdout) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
    } else {
        status = run_script(&importing, text, &problem) ? EXIT_SUCCESS : EXIT_FAILURE;
    }
    import_script_destroy(script);
    return status;
}

const struct command command_import = {
    .name = "import",
    .summary = "recorded streams as holds of a session, after the fact",
    .usage =
        "holdline import [options] FILE... [options FILE...]\n"
        "Makes a new session of recorded streams: each FILE is a hold, in the order in which they\n"
        "stand. What is said before a FILE holds for those behind it. A session that has ended is\n"
        "never added to; --carry begins with what an earlier one knew.\n"
        "who, what, where (as in docs/scripts.md, in quotes where there are blanks):\n"
        "  --rider WORDS    R-07, or 'R-07 \"winter group\"'\n"
        "  --bike WORDS     '\"training bike\" stack=545 reach=410 head_angle=73 spacers=20'\n"
        "  --sensor WORDS   'head carrier=base_bar x=110 y=40', for each channel\n"
        "  --carry SESSION  all that from an earlier session of the store\n"
        "in front of the FILEs it is about:\n"
        "  --setup WORDS    '2 \"spacers out\" spacers=0'\n"
        "  --build          the same setup, taken apart and put together again\n"
        "  --free, --guided gauge hidden from the rider (the default), or seen\n"
        "  --line LINE      any other line of a session: 'target head=884', 'plate head=412'\n"
        "  --seconds N      only the first N seconds of each\n"
        "  --rate HZ        of a stream that carries no time of its own\n"
        "of the session:\n"
        "  --started TIME   when it began (default: when the first file was written, less its\n"
        "                   length)\n"
        "  --seed N         of its identifiers (default: one made from the readings, so that the "
        "same\n"
        "                   recordings are not taken twice)\n"
        "  --script         only print the script that it is; 'holdline run' takes it\n"
        "  --store FILE     the store (default: HOLDLINE_STORE, else the data folder's)\n" //
    DECODER_USAGE,
    .run = run,
};
