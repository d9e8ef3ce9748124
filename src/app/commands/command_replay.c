/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/options.h"
#include "app/progress.h"
#include "app/replay.h"
#include "app/session_reports.h"
#include "base/text.h"

#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>

/* holdline replay SESSION: steps the machine through a stored session again. */

struct replayed {
    struct session_reports reports;
    struct progress progress;
    int64_t last_sample;
};

static void on_effect(void *context, const struct effect *effect)
{
    struct replayed *replayed = context;
    if (effect->kind == EFFECT_COMMAND) {
        session_reports_command(&replayed->reports, &effect->record.command);
    }
}

#define TELL_SAMPLES 256

static bool tell(void *context, const struct sample *sample, struct problem *problem)
{
    struct replayed *replayed = context;
    return sample->number % TELL_SAMPLES != 0 ||
           progress_tell(&replayed->progress,
                         (double)sample->number / (double)replayed->last_sample) ||
           problem_set(problem, "stopped");
}

static bool replay(struct replayed *replayed, const char *store_path, const char *words,
                   const char *file, bool replace, struct problem *problem)
{
    struct session_origin origin;
    int64_t id = 0;
    struct session *session = NULL;
    struct store *store = store_open(store_path, STORE_READ, problem);
    bool done = store != NULL && session_reports_start(&replayed->reports) &&
                store_find_session(store, words, &id, problem) &&
                replay_origin(store, id, &origin, &replayed->last_sample, problem);
    if (done) {
        session = session_create(&origin, on_effect, replayed);
        done = session != NULL || problem_set(problem, "no memory for a session");
    }
    done =
        done && replay_session(store, id, replayed->last_sample, session, tell, replayed, problem);
    if (done && file != NULL) {
        done = session_reports_export(&replayed->reports, session, file, replace, problem);
    } else if (done) {
        done = session_reports_compare(&replayed->reports, session, stdout, problem);
    }
    session_destroy(session);
    session_reports_end(&replayed->reports);
    store_close(store);
    return done;
}

struct wanted {
    char store[4096];
    const char *file;
    bool replace;
};

static const struct option_row option_rows[] = {
    {"store", OPTION_COPY, OPTION_INTO(wanted, store)},
    {"export", OPTION_TEXT, OPTION_INTO(wanted, file)},
    {"replace", OPTION_YES, OPTION_INTO(wanted, replace)},
};

static int run(int argc, char **argv)
{
    struct problem problem = {0};
    struct wanted wanted = {.store = ""};
    const struct option_set sets[] = {OPTION_SET(option_rows, &wanted), {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    if (argc - optind != 1) {
        problem_usage(&problem,
                      "replay: say one session, such as 'last' or its number in 'holdline list'");
        return command_fail(&problem);
    }
    if (wanted.store[0] == '\0' &&
        !store_default_path(wanted.store, sizeof wanted.store, &problem)) {
        return command_fail(&problem);
    }
    struct replayed replayed = {.last_sample = 0};
    progress_begin(&replayed.progress, "working the session out again");
    bool done =
        replay(&replayed, wanted.store, argv[optind], wanted.file, wanted.replace, &problem);
    int status = done ? EXIT_SUCCESS : command_fail(&problem);
    progress_end(&replayed.progress);
    if (!done) {
        return status;
    }
    return fflush(stdout) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

const struct command command_replay = {
    .name = "replay",
    .summary = "a stored session worked out again from its samples and its log",
    .usage =
        "holdline replay SESSION [options]\n"
        "Steps the session machine through a stored session's samples and logged commands and\n"
        "prints the comparison; an export is the same, byte for byte, as the session's own.\n"
        "  --export FILE  write an export instead; the kind follows the file's ending\n"
        "  --replace      it may overwrite the file\n"
        "  --store FILE   the store (default: HOLDLINE_STORE, else the data folder's)\n",
    .run = run,
};
