/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/session_arguments.h"

#include "app/paper_language.h"
#include "base/text.h"

#include <getopt.h>
#include <limits.h>
#include <stdio.h>
#include <string.h>

static bool take_paper(void *of, const char *text, struct problem *problem)
{
    struct session_arguments *arguments = of;
    (void)problem;
    arguments->page_size = text_equal(text, "letter") ? PAGE_LETTER : PAGE_A4;
    return text_equal(text, "a4") || text_equal(text, "letter");
}

static bool take_language(void *of, const char *text, struct problem *problem)
{
    struct session_arguments *arguments = of;
    arguments->language = paper_language(text, problem);
    return arguments->language != NULL;
}

static bool take_limit(void *of, const char *text, struct problem *problem)
{
    return bike_limits_read_word(&((struct session_arguments *)of)->limits, text, problem);
}

static const char setup_number[] = "a setup's number";

/* Each with what its command must take for it. */
static const struct {
    int takes;
    struct option_row row;
} options[] = {
    {0, {"store", OPTION_TEXT, OPTION_INTO(session_arguments, store_path)}},
    {TAKES_JSON, {"json", OPTION_YES, OPTION_INTO(session_arguments, json)}},
    {TAKES_FILE, {"kind", OPTION_TEXT, OPTION_INTO(session_arguments, kind)}},
    {TAKES_FILE, {"replace", OPTION_YES, OPTION_INTO(session_arguments, replace)}},
    {TAKES_AGAINST,
     {"against", OPTION_WHOLE, OPTION_INTO(session_arguments, against), 1, INT_MAX, setup_number}},
    {TAKES_FILE,
     {"chosen", OPTION_WHOLE, OPTION_INTO(session_arguments, chosen), 1, INT_MAX, setup_number}},
    {TAKES_FILE, {"paper", OPTION_OWN, .wants = "a4 or letter", .take = take_paper}},
    {TAKES_FILE, {"language", OPTION_OWN, .take = take_language}},
    {TAKES_LIMITS, {"limit", OPTION_OWN, .take = take_limit}},
};
enum { OPTIONS = sizeof options / sizeof options[0] };

/* What stands behind the options where sessions are chosen by them. */
static bool take_filtered(struct session_arguments *arguments, bool with_file, int argc,
                          char **argv, struct problem *problem)
{
    if (with_file) {
        arguments->file = argv[optind];
        arguments->all_count = 0;
        return argc == optind + 1 ||
               problem_usage(problem,
                             "%s: say one file for these sessions, such as '%s --rider "
                             "R-07 record.pdf'",
                             arguments->command, arguments->command);
    }
    return argc == optind ||
           problem_usage(problem,
                         "%s: say a session or what to choose it by (--rider ...), not both",
                         arguments->command);
}

bool session_arguments_read(struct session_arguments *arguments, int takes, int argc, char **argv,
                            struct problem *problem)
{
    struct option_row own[OPTIONS], filter[FILTER_OPTIONS];
    bool with_file = (takes & TAKES_FILE) != 0;
    for (int i = 0; i < OPTIONS; i++) {
        own[i] = options[i].row;
        bool bare = own[i].kind == OPTION_YES;
        if ((takes & options[i].takes) != options[i].takes) {
            own[i].kind = bare ? OPTION_REFUSED_BARE : OPTION_REFUSED;
        }
    }
    for (int i = 0; i < FILTER_OPTIONS; i++) {
        filter[i] = filter_options[i];
        filter[i].kind = (takes & TAKES_FILTER) != 0 ? filter[i].kind : OPTION_REFUSED;
    }
    memset(arguments, 0, sizeof *arguments);
    const struct option_set sets[] = {
        OPTION_SET(own, arguments), OPTION_SET(filter, &arguments->filter), {NULL, 0, NULL}};
    arguments->command = argv[0];
    bike_limits_clear(&arguments->limits);
    if (!options_read(sets, argc, argv, problem)) {
        return false;
    }
    arguments->all = argv + optind;
    arguments->all_count = argc - optind;
    if (filter_is_set(&arguments->filter)) {
        return take_filtered(arguments, with_file, argc, argv, problem);
    }
    if ((takes & TAKES_MANY) != 0 && argc - optind > 1) {
        return true;
    }
    if (with_file && arguments->kind != NULL && argc > optind) {
        /* all are sessions; '-' behind one is standard output */
        bool out = argc - optind == 2 && text_equal(argv[argc - 1], "-");
        arguments->file = out ? "-" : NULL;
        arguments->all_count -= out ? 1 : 0;
        arguments->words = argv[optind];
        return true;
    }
    if (with_file && argc - optind == 1) { /* which file is proposed */
        arguments->words = argv[optind];
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
