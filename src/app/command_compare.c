#include "app/commands.h"
#include "app/loaded_session.h"
#include "app/page.h"
#include "app/session_arguments.h"

#include <stdio.h>
#include <stdlib.h>

/* holdline compare SESSION: the setups against one of them. */

static int run(int argc, char **argv)
{
    struct session_arguments arguments;
    struct problem problem = {PROBLEM_NONE, ""};
    if (!session_arguments_read(&arguments, TAKES_JSON | TAKES_AGAINST, argc, argv, &problem)) {
        return problem.sentence[0] != '\0' ? command_fail(&problem) : 2;
    }
    struct loaded_session *loaded =
        loaded_session_open(arguments.store_path, arguments.words, &problem);
    if (loaded == NULL) {
        return command_fail(&problem);
    }
    bool done =
        arguments.against == 0 || loaded_session_against(loaded, arguments.against, &problem);
    if (done) {
        const struct report_input *input = loaded_session_input(loaded);
        done = arguments.json ? report_compare_json(stdout, input, &problem)
                              : report_compare_text(stdout, input, page_width(), &problem);
    }
    loaded_session_close(loaded);
    done = done && page_end(&problem);
    return done ? EXIT_SUCCESS : command_fail(&problem);
}

const struct command command_compare = {
    .name = "compare",
    .summary = "the setups of one session against each other",
    .usage = "holdline compare SESSION [options]\n"
             "Says for each setup how high head and chest were, and what differs from the first "
             "setup by\n"
             "more than chance; what was left out; how sure it is.\n" //
    SESSION_USAGE "  --against N    against setup N instead of the session's own\n"
             "  --json         for programs; docs/export.schema.json describes it\n" STORE_USAGE,
    .run = run,
};
