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

static int run(int argc, char **argv)
{
    static const struct option long_options[] = {{"store", required_argument, NULL, 's'},
                                                 {"no-store", no_argument, NULL, 'n'},
                                                 {"replace", no_argument, NULL, 'r'},
                                                 DECODER_LONG_OPTIONS,
                                                 {NULL, 0, NULL, 0}};
    struct script_runner_options options = {.output = stdout};
    struct problem problem = {0};
    char store[4096] = "";
    bool no_store = false;
    int option = 0;
    while ((option = getopt_long(argc, argv, "", long_options, NULL)) != -1) {
        if (option == 's') {
            snprintf(store, sizeof store, "%s", optarg);
        } else if (option == 'n') {
            no_store = true;
        } else if (option == 'r') {
            options.replace_exports = true;
        } else if (!decoder_argument(option, optarg, &options.decoder, &problem)) {
            return command_fail(&problem);
        }
    }
    if (argc - optind < 1 || argc - optind > 2) {
        problem_usage(&problem,
                      "run: say a script, and the rig where the script does not name files");
        return command_fail(&problem);
    }
    options.script_name = argv[optind];
    options.rig = argc - optind > 1 ? argv[optind + 1] : NULL;
    if (!no_store && store[0] == '\0' && !store_default_path(store, sizeof store, &problem)) {
        return command_fail(&problem);
    }
    options.store_path = no_store ? NULL : store;
    char *script = script_read(options.script_name, &problem);
    struct script_runner_result result;
    memset(&result, 0, sizeof result);
    struct progress progress;
    progress_begin(&progress, "running the script");
    options.progress = &progress;
    bool done = script != NULL && script_run(script, &options, &result, &problem);
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
        "Runs a session script (docs/scripts.md) on a rig, or on the recorded streams that its\n"
        "holds name with from=FILE, as fast as they come; '-' reads the script from standard "
        "input.\n"
        "  --store FILE   the store (default: HOLDLINE_STORE, else the data folder's)\n"
        "  --no-store     keep nothing\n"
        "  --replace      exports may overwrite files\n" DECODER_USAGE,
    .run = run,
};
