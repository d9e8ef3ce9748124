/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/loaded_session.h"
#include "app/session_arguments.h"
#include "app/standard_output.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>

/* holdline show SESSION: everything about one session. */

/* The latest session that is as asked for. */
static bool find_latest(const struct session_arguments *arguments, char *words, size_t size,
                        struct problem *problem)
{
    char standard[PATH_MAX];
    int64_t id = 0;
    int count = 0;
    if (arguments->store_path == NULL && !store_default_path(standard, sizeof standard, problem)) {
        return false;
    }
    struct store *store = store_open(
        arguments->store_path != NULL ? arguments->store_path : standard, STORE_READ, problem);
    bool found = store != NULL && filter_find(store, &arguments->filter, &id, 1, &count, problem);
    store_close(store);
    snprintf(words, size, "%lld", (long long)id);
    return found;
}

/* One after the other, till one can't be told. */
static int show_each(struct session_arguments *arguments)
{
    struct problem problem = {PROBLEM_NONE, ""};
    int status = EXIT_SUCCESS;
    if (arguments->json) {
        problem_usage(&problem, "show: --json tells of one session; 'holdline export 1 2 --kind "
                                "json' writes a file of each");
        return command_fail(&problem);
    }
    for (int i = 0; i < arguments->all_count && status == EXIT_SUCCESS; i++) {
        arguments->words = arguments->all[i];
        fputs(i > 0 ? "\n" : "", stdout);
        status = loaded_session_tell(arguments, report_session_text, report_json);
    }
    return status;
}

static int run(int argc, char **argv)
{
    struct session_arguments arguments;
    struct problem problem = {PROBLEM_NONE, ""};
    if (!session_arguments_read(&arguments, TAKES_JSON | TAKES_FILTER | TAKES_LIMITS | TAKES_MANY,
                                argc, argv, &problem)) {
        return command_fail(&problem);
    }
    if (arguments.all_count > 1) {
        return show_each(&arguments);
    }
    char latest[32];
    if (arguments.words == NULL) {
        if (!find_latest(&arguments, latest, sizeof latest, &problem)) {
            return command_fail(&problem);
        }
        arguments.words = latest;
    }
    return loaded_session_tell(&arguments, report_session_text, report_json);
}

const struct command command_show = {
    .name = "show",
    .summary = "everything about one session",
    .usage =
        "holdline show SESSION... [options]\n"
        "holdline show --rider CODE|--bike NAME|--since DAY|--until DAY [options]\n"
        "Shows each session, or the latest of those asked for: what the setups show, what stands\n"
        "beside it, how sure that is, what was left out, setups and where the sensors went, "
        "holds,\n"
        "ratings, how it was measured.\n" //
    SESSION_USAGE FILTER_USAGE "  --limit KEY=MAX  a limit from the makers' papers, beside those "
        "of the session; may be repeated\n"
        "  --json         for programs; docs/export.schema.json describes it\n" STORE_USAGE,
    .run = run,
};
