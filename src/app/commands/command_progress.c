/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/loaded_session.h"
#include "app/options.h"
#include "app/practised.h"
#include "app/session_filter.h"
#include "app/standard_output.h"
#include "base/text.h"
#include "report/learning.h"

#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* holdline progress RIDER [FILE]: what weeks of practice show. */

struct progress_asked {
    const char *store_path;
    bool json, csv, replace, health, rider;
    int64_t since_ms;
};

static bool take_since(void *asked, const char *text, struct problem *problem)
{
    (void)problem;
    return filter_read_day(text, &((struct progress_asked *)asked)->since_ms);
}

static const struct option_row options[] = {
    {"store", OPTION_TEXT, OPTION_INTO(progress_asked, store_path)},
    {"json", OPTION_YES, OPTION_INTO(progress_asked, json)},
    {"csv", OPTION_YES, OPTION_INTO(progress_asked, csv)},
    {"replace", OPTION_YES, OPTION_INTO(progress_asked, replace)},
    {"health", OPTION_YES, OPTION_INTO(progress_asked, health)},
    {"rider", OPTION_YES, OPTION_INTO(progress_asked, rider)},
    {"since", OPTION_OWN, .wants = FILTER_DAY, .take = take_since},
};

static const struct {
    const char *ending;
    learning_writer *write;
} kinds[] = {{".pdf", report_learning_pdf},
             {".html", report_learning_html},
             {".svg", report_learning_svg},
             {".csv", report_learning_csv},
             {".json", report_learning_json}};
enum { KINDS = sizeof kinds / sizeof kinds[0] };

struct file_job {
    learning_writer *write;
    const struct learning_report *report;
};

static bool write_job(FILE *stream, void *context, struct problem *problem)
{
    const struct file_job *job = context;
    return job->write(stream, job->report, problem);
}

static bool write_file(const char *path, const struct progress_asked *asked,
                       const struct learning_report *report, struct problem *problem)
{
    const struct report_file file = {.path = path, .replace = asked->replace};
    for (int k = 0; k < KINDS; k++) {
        size_t length = strlen(path), ending = strlen(kinds[k].ending);
        if (length > ending && text_equal(path + length - ending, kinds[k].ending)) {
            struct file_job job = {kinds[k].write, report};
            return report_write_file(&file, write_job, &job, problem);
        }
    }
    return problem_usage(problem, "%s: progress ends in .pdf, .html, .svg, .csv or .json", path);
}

static bool write_out(const struct progress_asked *asked, const struct learning_report *report,
                      struct problem *problem)
{
    bool done = asked->json ? report_learning_json(stdout, report, problem)
                : asked->csv
                    ? report_learning_csv(stdout, report, problem)
                    : report_learning_text(stdout, report, standard_output_width(), problem);
    return standard_output_end(problem) && done;
}

static int run(int argc, char **argv)
{
    struct progress_asked asked = {.store_path = NULL};
    struct problem problem = {PROBLEM_NONE, ""};
    const struct option_set sets[] = {OPTION_SET(options, &asked), {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    const char *file = argc == optind + 2 ? argv[optind + 1] : NULL;
    if (argc - optind < 1 || argc - optind > 2 || (asked.json && asked.csv) ||
        (file != NULL && (asked.json || asked.csv))) {
        problem_usage(&problem, "progress: say a rider's code, and a file or --json or --csv, such "
                                "as 'progress R-07 progress.pdf'");
        return command_fail(&problem);
    }
    struct learning *learning = practised_load(asked.store_path, argv[optind], &problem);
    if (learning == NULL) {
        return command_fail(&problem);
    }
    /* on this screen it is the rider's own; in a file it goes to others */
    bool shown = file == NULL && !asked.json && !asked.csv;
    const struct learning_report report = {learning, asked.health || shown, asked.since_ms, PAGE_A4,
                                           asked.rider};
    bool done = file != NULL ? write_file(file, &asked, &report, &problem)
                             : write_out(&asked, &report, &problem);
    free(learning);
    return done ? EXIT_SUCCESS : command_fail(&problem);
}

const struct command command_progress = {
    .name = "progress",
    .summary = "what a rider's weeks of practice show",
    .usage =
        "holdline progress RIDER [--json|--csv] [options]\n"
        "holdline progress RIDER FILE.pdf|.html|.svg|.csv|.json [options]\n"
        "Tells whether a rider's tests (holds of which nothing is shown) are better than before "
        "the\n"
        "first practice: better, worse, no change that matters, or cannot tell yet and how many "
        "more\n"
        "tests; how long the posture is kept; what was left out, and why; what comes next.\n"
        "  --health       discomfort goes into the file (without, it stays at home)\n"
        "  --rider        the rider's page, of text, PDF and HTML: what comes next, and the "
        "picture\n"
        "  --since DAY    tables, CSV and JSON have what was ridden on this day (2026-01-10) or "
        "later: a\n"
        "                 week for the coach; what the tests show is of all of them\n"
        "  --json, --csv  for programs, on standard output\n"
        "  --replace      may overwrite the file (else an existing file is left "
        "alone)\n"
        "  --store FILE   the store (default: HOLDLINE_STORE, else the data folder's)\n",
    .run = run,
};
