/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/session_arguments.h"

#include "base/text.h"

#include <getopt.h>
#include <limits.h>
#include <stdio.h>
#include <string.h>

static bool read_setup(const char *command, const char *option, const char *text, int *number,
                       struct problem *problem)
{
    int64_t value = 0;
    if (!text_to_int64(text, &value) || value < 1 || value > INT_MAX) {
        return problem_usage(problem, "%s: --%s wants a setup's number, not '%s'", command, option,
                             text);
    }
    *number = (int)value;
    return true;
}

static bool read_paper(struct session_arguments *arguments, const char *text,
                       struct problem *problem)
{
    if (!text_equal(text, "a4") && !text_equal(text, "letter")) {
        return problem_usage(problem, "%s: --paper is a4 or letter, not '%s'", arguments->command,
                             text);
    }
    arguments->page_size = text_equal(text, "letter") ? PAGE_LETTER : PAGE_A4;
    return true;
}

static bool take_option(struct session_arguments *arguments, int takes, int option,
                        struct problem *problem)
{
    if (filter_is_option(option)) {
        if ((takes & TAKES_FILTER) == 0) {
            return problem_usage(problem, "%s: takes no --rider, --bike, --since or --until",
                                 arguments->command);
        }
        return filter_argument(&arguments->filter, option, optarg, problem);
    }
    switch (option) {
    case 's':
        arguments->store_path = optarg;
        return true;
    case 'j':
        arguments->json = true;
        return (takes & TAKES_JSON) != 0 ||
               problem_usage(problem, "%s: takes no --json", arguments->command);
    case 'r':
        arguments->replace = true;
        return (takes & TAKES_FILE) != 0 ||
               problem_usage(problem, "%s: takes no --replace", arguments->command);
    case 'a':
        if ((takes & TAKES_AGAINST) == 0) {
            return problem_usage(problem, "%s: takes no --against", arguments->command);
        }
        return read_setup(arguments->command, "against", optarg, &arguments->against, problem);
    case 'c':
        if ((takes & TAKES_FILE) == 0) {
            return problem_usage(problem, "%s: takes no --chosen", arguments->command);
        }
        return read_setup(arguments->command, "chosen", optarg, &arguments->chosen, problem);
    case 'p':
        if ((takes & TAKES_FILE) == 0) {
            return problem_usage(problem, "%s: takes no --paper", arguments->command);
        }
        return read_paper(arguments, optarg, problem);
    case 'l':
        if ((takes & TAKES_LIMITS) == 0) {
            return problem_usage(problem, "%s: takes no --limit", arguments->command);
        }
        return bike_limits_read_word(&arguments->limits, optarg, problem);
    default:
        break;
    }
    problem_usage(problem, "%s", "");
    return false;
}

bool session_arguments_read(struct session_arguments *arguments, int takes, int argc, char **argv,
                            struct problem *problem)
{
    static const struct option long_options[] = {{"store", required_argument, NULL, 's'},
                                                 {"json", no_argument, NULL, 'j'},
                                                 {"replace", no_argument, NULL, 'r'},
                                                 {"against", required_argument, NULL, 'a'},
                                                 {"chosen", required_argument, NULL, 'c'},
                                                 {"paper", required_argument, NULL, 'p'},
                                                 {"limit", required_argument, NULL, 'l'},
                                                 FILTER_LONG_OPTIONS,
                                                 {NULL, 0, NULL, 0}};
    bool with_file = (takes & TAKES_FILE) != 0;
    int option = 0;
    memset(arguments, 0, sizeof *arguments);
    arguments->command = argv[0];
    bike_limits_clear(&arguments->limits);
    while ((option = getopt_long(argc, argv, "", long_options, NULL)) != -1) {
        if (!take_option(arguments, takes, option, problem)) {
            return false;
        }
    }
    arguments->all = argv + optind;
    arguments->all_count = argc - optind;
    if (filter_is_set(&arguments->filter)) {
        return argc == optind ||
               problem_usage(problem,
                             "%s: say a session or what to choose it by (--rider ...), not both",
                             arguments->command);
    }
    if ((takes & TAKES_MANY) != 0 && argc - optind > 1) {
        return true;
    }
    if (argc - optind != (with_file ? 2 : 1)) {
        return problem_usage(problem, "%s: say one session%s, such as '%s last%s'",
                             arguments->command, with_file ? " and one file" : "",
                             arguments->command, with_file ? " visit.json" : "");
    }
    arguments->words = argv[optind];
    arguments->file = with_file ? argv[optind + 1] : NULL;
    return true;
}
