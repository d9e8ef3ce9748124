/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/loaded_session.h"
#include "app/loaded_sessions.h"
#include "app/session_arguments.h"
#include "app/standard_output.h"
#include "report/across.h"

#include <stdio.h>
#include <stdlib.h>

/* holdline compare SESSION: the setups against one of them; compare --rider CODE: those of several
 * sessions. */

static int compare_across(const struct session_arguments *arguments)
{
    struct problem problem = {PROBLEM_NONE, ""};
    int count = 0;
    struct loaded_sessions *sessions = loaded_sessions_open(arguments, &problem);
    if (sessions == NULL) {
        return command_fail(&problem);
    }
    const struct across_session *all = loaded_sessions_all(sessions, &count);
    struct across *across = across_make(all, count, arguments->against - 1, &problem);
    bool done =
        across != NULL &&
        (arguments->json ? report_across_json(stdout, across, &problem)
                         : report_across_text(stdout, across, standard_output_width(), &problem));
    across_destroy(across);
    done = done && loaded_sessions_are_whole(sessions, &problem);
    loaded_sessions_close(sessions);
    done = done && standard_output_end(&problem);
    return done ? EXIT_SUCCESS : command_fail(&problem);
}

static int run(int argc, char **argv)
{
    struct session_arguments arguments;
    struct problem problem = {PROBLEM_NONE, ""};
    if (!session_arguments_read(
            &arguments, TAKES_JSON | TAKES_AGAINST | TAKES_FILTER | TAKES_MANY | TAKES_LIMITS, argc,
            argv, &problem)) {
        return command_fail(&problem);
    }
    return arguments.words == NULL
               ? compare_across(&arguments)
               : loaded_session_tell(&arguments, report_compare_text, report_compare_json);
}

const struct command command_compare = {
    .name = "compare",
    .summary = "setups against each other, of one session or of several",
    .usage =
        "holdline compare SESSION [options]\n"
        "holdline compare SESSION SESSION... [options]\n"
        "holdline compare --rider CODE [--bike NAME] [--since DAY] [--until DAY] [options]\n"
        "Says for each setup how high head and chest were, and what differs from the first setup "
        "by\n"
        "more than chance; what was left out; how sure it is. Of several sessions of one rider: "
        "their\n"
        "setups together, in heights over the bottom bracket, where something says how high the\n"
        "sensors were; else why not.\n" //
    SESSION_USAGE FILTER_USAGE
        "  --against N    against setup N instead of the session's own (of several sessions: N in "
        "the\n"
        "                 table)\n"
        "  --limit KEY=MAX  a limit from the makers' papers, beside those of the session; may be "
        "repeated\n"
        "  --json         for programs; docs/export.schema.json describes it\n" STORE_USAGE,
    .run = run,
};
