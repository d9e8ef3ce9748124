/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/rig_check.h"

#include "app/commands.h"
#include "app/decoder_arguments.h"
#include "app/links.h"
#include "app/rig_check_report.h"
#include "app/standard_output.h"
#include "base/clock.h"
#include "base/nearest.h"
#include "base/text.h"
#include "checking.h"

#include <float.h>
#include <getopt.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static int report_row(struct checking *checking, struct problem *problem)
{
    const struct sensors_checked sensors = {.rig = reader_link(checking->reader)->name,
                                            .checked_ms = clock_wall_ms(),
                                            .placing = &checking->placing,
                                            .check = checking->made,
                                            .count = checking->made_count};
    const struct rig_check_options *options = checking->options;
    int status = EXIT_SUCCESS;
    for (int i = 0; i < sensors.count; i++) {
        status = sensors.check[i].verdict == CHECK_PASSED ? status : EXIT_FAILURE;
    }
    bool done = options->json ? check_row_json(stdout, &sensors, problem)
                              : check_row_text(stdout, &sensors, problem);
    if (done && options->out != NULL) {
        const struct report_file file = {.path = options->out, .replace = options->replace};
        done = check_row_file(&sensors, &file, problem);
    }
    return done && standard_output_end(problem) ? status : command_fail(problem);
}

static int report(struct checking *checking)
{
    struct check_stretch stretches[CHECK_PHASES_MAX];
    struct problem problem = {PROBLEM_NONE, ""};
    if (checking->row.count > 0) {
        return report_row(checking, &problem);
    }
    struct check_record *check = checking->made;
    checking_judge(checking, stretches, check);
    struct checked checked = {.rig = reader_link(checking->reader)->name,
                              .plan = &checking->plan,
                              .placing = &checking->placing,
                              .stretches = stretches,
                              .check = check,
                              .is_plate = checking->options->is_plate};
    if (checking->options->json) {
        rig_check_report_json(stdout, &checked);
    } else {
        rig_check_report_text(stdout, &checked);
    }
    int status = check->verdict == CHECK_PASSED ? EXIT_SUCCESS : EXIT_FAILURE;
    return standard_output_end(&problem) ? status : command_fail(&problem);
}

static int run_check(const struct rig_check_options *options, const struct words *words)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct decoder_options decoder = options->decoder;
    struct link *link = links_open(options->rig, &decoder, &problem);
    if (link == NULL) {
        return command_fail(&problem);
    }
    if (options->rate_hz > 0) {
        link->stated_rate_hz = options->rate_hz;
        link->rate_is_assumed = false;
    }
    struct checking *checking = calloc(1, sizeof *checking);
    int status = EXIT_FAILURE;
    if (checking != NULL) {
        checking->made = calloc(CHECK_ROW_MAX, sizeof *checking->made);
    }
    if (checking == NULL || checking->made == NULL) {
        free(checking);
        link_close(link);
        problem_set(&problem, "no memory for a check");
        return command_fail(&problem);
    }
    checking->options = options;
    checking->said = checking->words = words;
    checking->problem = &problem;
    checking->shows = isatty(STDERR_FILENO) && link->time_is_arrival;
    checking->by_key = !options->no_prompts && isatty(STDIN_FILENO) && isatty(STDERR_FILENO) &&
                       link->time_is_arrival && !text_equal(options->rig, "-");
    if (checking->by_key) {
        fputs("Enter goes on; b and Enter makes this check, or the one before, once more\n",
              stderr);
    }
    checking->reader = reader_create(link, &decoder, 1, &problem);
    if (checking->reader != NULL) {
        checking_read_all(checking);
    }
    if (checking->finished && !checking->failed) {
        status = report(checking);
    } else {
        status = command_fail(&problem);
    }
    for (int p = 0; p < CHECK_PHASES_MAX; p++) {
        free(checking->stretch[p].samples);
    }
    reader_destroy(checking->reader);
    free(checking->made);
    free(checking);
    return status;
}

/* ---- arguments ------------------------------------------------------------------------------- */

static const struct option_row option_rows[] = {
    {"json", OPTION_YES, OPTION_INTO(rig_check_options, json)},
    {"no-prompts", OPTION_YES, OPTION_INTO(rig_check_options, no_prompts)},
    {"out", OPTION_TEXT, OPTION_INTO(rig_check_options, out)},
    {"replace", OPTION_YES, OPTION_INTO(rig_check_options, replace)},
    {"look-down", OPTION_YES, OPTION_INTO(rig_check_options, looks_down)},
    {"rate", OPTION_NUMBER, OPTION_INTO(rig_check_options, rate_hz), DBL_MIN, 100000,
     "a number above 0"},
};

/* The words behind the rig as one line; those with blanks are none of ours. */
static bool join_words(const char *kind, char *const *argv, int argc, struct words *words,
                       struct problem *problem)
{
    char line[2048] = "";
    size_t used = 0;
    text_append(line, sizeof line, &used, "%s", kind);
    for (int i = 0; i < argc; i++) {
        if (strpbrk(argv[i], " \t\"#") != NULL) {
            return problem_usage(problem, "'%s' is no word of a check", argv[i]);
        }
        text_append(line, sizeof line, &used, "%s%s", used > 0 ? " " : "", argv[i]);
    }
    return words_split(line, words, problem);
}

/* Does the first word say which check it is? */
static bool is_kind(const struct words *words, struct problem *problem)
{
    static const char *const kinds[] = {"all", "rider", "beam", "step", "still"};
    static const char which[] = "all, rider, beam, step or still";
    char meant[NEAREST_TEXT_SIZE];
    if (words->count == 0) {
        return problem_usage(problem, "check: say which: %s", which);
    }
    const char *word = words->word[0].value;
    struct nearest nearest = nearest_to(word);
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (words->word[0].key == NULL && text_equal(word, kinds[i])) {
            return true;
        }
        nearest_try(&nearest, kinds[i]);
    }
    return problem_usage(problem, "check: '%s' is none of: %s%s", word, which,
                         nearest_text(&nearest, "", meant, sizeof meant));
}

int rig_check_command(int argc, char **argv, const char *kind, bool is_plate)
{
    struct rig_check_options options = {.is_plate = is_plate};
    struct problem problem = {PROBLEM_NONE, ""};
    struct words words = {.count = 0};
    const struct option_set sets[] = {
        OPTION_SET(option_rows, &options), DECODER_OPTION_SET(&options.decoder), {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    if (optind == argc) {
        problem_usage(&problem, "%s: say which rig; 'holdline %s --help' has examples", argv[0],
                      argv[0]);
        return command_fail(&problem);
    }
    options.rig = argv[optind++];
    if (!join_words(kind != NULL ? kind : "", argv + optind, argc - optind, &words, &problem)) {
        return command_fail(&problem);
    }
    if (kind == NULL && !is_kind(&words, &problem)) {
        return command_fail(&problem);
    }
    const struct report_file file = {.path = options.out, .replace = options.replace};
    if (options.out != NULL && (kind != NULL || !check_row_wanted(&words))) {
        problem_usage(&problem, "--out: a report is made of all checks: 'check RIG all block=25'");
        return command_fail(&problem);
    }
    if (options.out != NULL && !check_row_file_may_be(&file, &problem)) {
        return command_fail(&problem);
    }
    return run_check(&options, &words);
}
