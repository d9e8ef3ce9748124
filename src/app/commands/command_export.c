/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/export_file.h"
#include "app/loaded_session.h"
#include "app/loaded_sessions.h"
#include "app/progress.h"
#include "app/session_arguments.h"
#include "app/standard_output.h"
#include "base/text.h"

#include <limits.h>
#include <stdlib.h>

/* holdline export SESSION FILE: one session to one file; export --rider CODE FILE: the record of
 * several. */

static void say_carries(bool any, const char *path, const char *carries)
{
    if (any) {
        text_print(stderr, "%s %s\n", path, carries);
    }
}

/* What the filter finds, as one rider's record. */
static int export_record(const struct session_arguments *arguments)
{
    struct problem problem = {PROBLEM_NONE, ""};
    const struct report_file file = {.path = arguments->file, .replace = arguments->replace};
    int count = 0;
    struct loaded_sessions *sessions = loaded_sessions_open(arguments, &problem);
    if (sessions == NULL) {
        return command_fail(&problem);
    }
    const struct across_session *all = loaded_sessions_all(sessions, &count);
    struct across *across = across_make_visits(all, count, &problem);
    bool done = across != NULL &&
                export_visits(across, arguments->page_size, arguments->language, &file, &problem);
    if (done) {
        char carries[256];
        bool any = export_visits_carries(file.path, across, carries, sizeof carries);
        say_carries(any, file.path, carries);
    }
    across_destroy(across);
    done = done && loaded_sessions_are_whole(sessions, &problem);
    loaded_sessions_close(sessions);
    return done ? EXIT_SUCCESS : command_fail(&problem);
}

/* Whose file it is now. */
static void say_what_it_carries(const char *kind, const char *path, struct loaded_session *loaded)
{
    char carries[256];
    bool any =
        export_file_carries(kind, loaded_session_input(loaded)->record, carries, sizeof carries);
    say_carries(any, path, carries);
}

/* Where a session goes: as named, as proposed, or to standard output. False with a sentence that
 * proposes a name. */
static bool find_target(const struct session_arguments *arguments, const char *words,
                        const struct session_record *record, char *path, size_t size, char *ending,
                        size_t ending_size, struct problem *problem)
{
    if (arguments->kind != NULL) {
        if (!export_ending(arguments->kind, ending, ending_size, problem)) {
            return false;
        }
        export_name(record, ending, path, size);
        text_copy(path, size, arguments->file != NULL ? arguments->file : path);
        return true;
    }
    if (arguments->file == NULL) {
        export_name(record, ".pdf", path, size);
        return problem_usage(problem,
                             "export: say a file, such as 'holdline export %s %s', or --kind pdf "
                             "for that name",
                             words, path);
    }
    text_copy(path, size, arguments->file);
    return !text_equal(path, "-") ||
           problem_usage(problem, "export: say which kind goes to standard output, as --kind csv");
}

static bool write_session(struct loaded_session *loaded, const struct session_arguments *arguments,
                          const char *words, struct problem *problem)
{
    char path[PATH_MAX], named[PATH_MAX], ending[32];
    const struct report_input *input = loaded_session_input(loaded);
    if (!find_target(arguments, words, input->record, named, sizeof named, ending, sizeof ending,
                     problem)) {
        return false;
    }
    text_copy(path, sizeof path, named);
    bool out = text_equal(path, "-");
    const struct report_file file = {.path = path, .replace = arguments->replace};
    bool done = out ? export_to(stdout, input, loaded_session_samples, loaded, ending, problem) &&
                          standard_output_end(problem)
                    : export_file(input, loaded_session_samples, loaded, &file, problem);
    if (done && arguments->file == NULL) {
        text_print(stderr, "written: %s\n", path);
    }
    if (done) {
        say_what_it_carries(out ? ending : path, out ? "standard output" : path, loaded);
    }
    return done;
}

static int export_one(const struct session_arguments *arguments, const char *words)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct progress progress;
    const struct store_watch watch = {progress_tell, &progress};
    progress_begin(&progress, "reading the session");
    struct loaded_session *loaded =
        loaded_session_open_in_part(arguments->store_path, words, &watch, &problem);
    progress.doing = "writing";
    if (loaded != NULL) {
        loaded_session_input(loaded)->limits = &arguments->limits;
        loaded_session_input(loaded)->page_size = arguments->page_size;
        loaded_session_input(loaded)->language = arguments->language;
    }
    bool done =
        loaded != NULL &&
        (arguments->chosen == 0 || loaded_session_choose(loaded, arguments->chosen, &problem)) &&
        write_session(loaded, arguments, words, &problem);
    done = done && loaded_session_is_whole(loaded, &problem);
    if (loaded == NULL && arguments->file == NULL && arguments->kind == NULL) {
        /* nothing to propose a name by */
        problem_usage(&problem, "export: say one session and one file, such as 'export last "
                                "visit.json'");
    }
    loaded_session_close(loaded);
    if (!done && progress.stopped) {
        problem_set(&problem, "stopped: %s was not written",
                    arguments->file != NULL ? arguments->file : "the file");
    }
    int status = done ? EXIT_SUCCESS : command_fail(&problem);
    progress_end(&progress);
    return status;
}

static int run(int argc, char **argv)
{
    struct session_arguments arguments;
    struct problem problem = {PROBLEM_NONE, ""};
    char ending[32];
    if (!session_arguments_read(&arguments, TAKES_FILE | TAKES_LIMITS | TAKES_FILTER, argc, argv,
                                &problem) ||
        (arguments.kind != NULL &&
         !export_ending(arguments.kind, ending, sizeof ending, &problem))) {
        return command_fail(&problem);
    }
    if (filter_is_set(&arguments.filter)) {
        return export_record(&arguments);
    }
    int status = EXIT_SUCCESS;
    int count = arguments.kind != NULL ? arguments.all_count : 1;
    for (int i = 0; i < count && status != 2; i++) {
        int one =
            export_one(&arguments, arguments.kind != NULL ? arguments.all[i] : arguments.words);
        status = one != EXIT_SUCCESS ? one : status;
    }
    return status;
}

const struct command command_export = {
    .name = "export",
    .summary = "one session to a file: text, CSV, JSON, ZIP, HTML, PDF, pictures; a rider's record",
    .usage =
        "holdline export SESSION FILE [options]\n"
        "holdline export SESSION... --kind KIND [options]\n"
        "holdline export SESSION - --kind KIND [options]\n"
        "holdline export --rider CODE [--bike NAME] [--since DAY] [--until DAY] FILE [options]\n"
        "Writes a session to a file. The kind follows the file's ending. With --kind (pdf, csv,\n"
        "setups.csv, ...) the file is named by rider and day, as R-07-2026-01-10.pdf, and '-' is\n"
        "standard output:\n"
        "  NAME.txt           the session as 'show' tells it\n"
        "  NAME.json          every record, every result; docs/export.schema.json describes it\n"
        "  NAME.csv           a row for each hold and channel\n"
        "  NAME-setups.csv    a row for each setup and channel: mean, difference, verdict, "
        "ratings\n"
        "  NAME-steps.csv     a row for each part and channel: how far the height followed it, the "
        "next step\n"
        "  NAME-runs.csv      a row for each lap or way of each run on the course\n"
        "  NAME-minutes.csv   a row for each minute, and each quarter, of holds of over 5 min\n"
        "  NAME-readings.csv  a row for each reading of each target and hold\n"
        "  NAME.zip           all tables in one package, with JSON, what stands in each column, "
        "and\n"
        "                     scripts in R and Python that work the comparison out again\n"
        "  NAME.html          one page: the rider's sheet, the fitter's report, pictures; prints "
        "well\n"
        "  NAME.pdf           the same on pages to hand over; the sheet takes two at most\n"
        "  NAME-sheet.html, NAME-sheet.pdf  the rider's sheet alone\n"
        "  NAME.svg           the picture of the setups' heights\n"
        "  NAME-cloud.svg     the picture of two channels together, with 95 % ellipses\n"
        "  NAME-holds.svg     the picture of each hold's course with target and band\n"
        "  NAME-tradeoff.svg  the picture of height against how it was kept and how it felt\n"
        "  NAME-bands.svg     the picture of cues a minute by the band's width\n"
        "  NAME-still.svg     the last still test of the sensors, and how far averaging helps\n"
        "  NAME-bike.svg      the bike as found, and as chosen\n"
        "  NAME-setups.svg    bar, pads and extensions on each setup\n"
        "  NAME-drag.svg      drag of each setup on the course, with every run\n"
        "Of several sessions of one rider (--rider) a record over the visits: NAME.pdf, .html, "
        ".csv, "
        ".json.\n"
        "In CSV a cell that a spreadsheet would take for a formula has an apostrophe in front.\n" //
    SESSION_USAGE FILTER_USAGE
        "  --limit KEY=MAX  a limit from the makers' papers, beside those of the session; "
        "may be repeated\n"
        "  --chosen N     the rider's sheet is about setup N (else about the session's choice)\n"
        "  --paper SIZE   of a PDF: a4 (usual) or letter\n"
        "  --language CODE  of the rider's sheet and record, as PDF or HTML: en (usual) or de; "
        "else\n"
        "                 HOLDLINE_LANGUAGE says it. The fitter's report is in English.\n"
        "  --replace      may overwrite the file (else an existing file is left "
        "alone)\n" STORE_USAGE,
    .run = run,
};
