/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/decoder_arguments.h"
#include "app/script_runner.h"
#include "store/store.h"

#include <getopt.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* holdline run SCRIPT [RIG]: a scripted session without a screen. */

struct wanted {
    struct script_runner_options options;
    char store[4096];
    bool no_store;
};

static const struct option_row option_rows[] = {
    {"store", OPTION_COPY, OPTION_INTO(wanted, store)},
    {"no-store", OPTION_YES, OPTION_INTO(wanted, no_store)},
    {"replace", OPTION_YES, OPTION_INTO(wanted, options.replace_exports)},
};

static int run(int argc, char **argv)
{
    struct problem problem = {0};
    struct wanted wanted = {.options.output = stdout};
    struct script_runner_options *options = &wanted.options;
    const struct option_set sets[] = {
        OPTION_SET(option_rows, &wanted), DECODER_OPTION_SET(&options->decoder), {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    if (argc - optind < 1 || argc - optind > 2) {
        problem_usage(&problem,
                      "run: say a script, and the rig where the script does not name files");
        return command_fail(&problem);
    }
    options->script_name = argv[optind];
    options->rig = argc - optind > 1 ? argv[optind + 1] : NULL;
    if (!wanted.no_store && wanted.store[0] == '\0' &&
        !store_default_path(wanted.store, sizeof wanted.store, &problem)) {
        return command_fail(&problem);
    }
    options->store_path = wanted.no_store ? NULL : wanted.store;
    char *script = script_read(options->script_name, &problem);
    struct script_runner_result result;
    memset(&result, 0, sizeof result);
    struct progress progress;
    progress_begin(&progress, "running the script");
    options->progress = &progress;
    bool done = script != NULL && script_run(script, options, &result, &problem);
    int status = done ? EXIT_SUCCESS : command_fail(&problem);
    progress_end(&progress);
    free(script);
    if (!done) {
        return status;
    }
    fprintf(stderr, "%lld samples, %lld lost, %lld lines rejected, %d hold%s, %.0f s in %.2f s\n",
            (long long)result.samples, (long long)result.lost, (long long)result.rejected,
            result.holds, result.holds == 1 ? "" : "s", result.stream_s, result.elapsed_s);
    return fflush(stdout) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

const struct command command_run = {
    .name = "run",
    .summary = "a scripted session without a screen",
    .usage =
        "holdline run SCRIPT [RIG] [options]\n"
        "Runs a session script (docs/scripts.md) on a rig at its own pace (a virtual or recorded\n"
        "one faster with ?speed=max behind it), or on the recorded streams that its holds name\n"
        "with from=FILE, as fast as they are read; '-' reads the script from standard input.\n"
        "  --store FILE   the store (default: HOLDLINE_STORE, else the data folder's)\n"
        "  --no-store     keep nothing\n"
        "  --replace      exports may overwrite files\n" DECODER_USAGE,
    .run = run,
};
