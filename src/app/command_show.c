#include "app/commands.h"
#include "app/loaded_session.h"
#include "app/page.h"
#include "app/session_arguments.h"

#include <stdio.h>
#include <stdlib.h>

/* holdline show SESSION: everything about one session. */

static int run(int argc, char **argv)
{
    struct session_arguments arguments;
    struct problem problem = {PROBLEM_NONE, ""};
    if (!session_arguments_read(&arguments, TAKES_JSON, argc, argv, &problem)) {
        return problem.sentence[0] != '\0' ? command_fail(&problem) : 2;
    }
    struct loaded_session *loaded =
        loaded_session_open(arguments.store_path, arguments.words, &problem);
    if (loaded == NULL) {
        return command_fail(&problem);
    }
    const struct report_input *input = loaded_session_input(loaded);
    bool done = arguments.json ? report_json(stdout, input, &problem)
                               : report_session_text(stdout, input, page_width(), &problem);
    loaded_session_close(loaded);
    done = done && page_end(&problem);
    return done ? EXIT_SUCCESS : command_fail(&problem);
}

const struct command command_show = {
    .name = "show",
    .summary = "everything about one session",
    .usage =
        "holdline show SESSION [options]\n"
        "Shows a session: what the setups show, what stands beside it, how sure that is, what was\n"
        "left out, setups and where the sensors went, holds, ratings, how it was measured.\n" //
    SESSION_USAGE
        "  --json         for programs; docs/export.schema.json describes it\n" STORE_USAGE,
    .run = run,
};
