/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/kept_results.h"
#include "app/options.h"
#include "app/progress.h"
#include "app/recheck.h"
#include "app/rescue.h"
#include "app/results.h"
#include "app/standard_output.h"
#include "base/clock.h"
#include "base/json.h"
#include "base/memory.h"
#include "base/nearest.h"
#include "base/text.h"
#include "store/care.h"

#include <getopt.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* holdline store check, backup, merge, rescue, forget, compact: the store's care. */

struct care {
    const char *path;
    const char *word;    /* file or code behind the work's name, or NULL */
    const char *session; /* to forget, or NULL */
    bool quick, json, yes;
    struct progress progress;
    struct store_watch watch;
    struct json_writer writer; /* when json */
    FILE *plain;               /* where sentences go otherwise */
};

static void on_finding(void *context, const char *sentence)
{
    struct care *care = context;
    if (care->json) {
        json_string(&care->writer, sentence);
    } else {
        text_print(care->plain, "%s\n", sentence);
    }
}

static void begin_findings(struct care *care, const char *format, const char *name)
{
    if (care->json) {
        json_document_begin(&care->writer, stdout, true, format, 1);
        json_array_member(&care->writer, name);
    }
}

/* Brings an earlier version's store up, which may take long. */
static struct store *open_for_change(struct care *care, struct problem *problem)
{
    const char *doing = care->progress.doing;
    care->progress.doing = "bringing the store up to this version";
    struct store *store = store_open_watched(care->path, STORE_WRITE, &care->watch, problem);
    care->progress.doing = doing;
    return store;
}

/* An earlier version's store is brought up by opening it for writing; the first sentence counts. */
static struct store *open_for_check(struct care *care, struct problem *problem)
{
    struct store *store = store_open_watched(care->path, STORE_READ, &care->watch, problem);
    if (store == NULL) {
        struct store *writer = open_for_change(care, NULL);
        store_close(writer);
        if (writer != NULL) {
            store = store_open_watched(care->path, STORE_READ, &care->watch, problem);
        } else if (care->progress.stopped) {
            problem_set(problem, "stopped: %s was left as it was", care->path);
        }
    }
    return store;
}

static int check(struct care *care, struct problem *problem)
{
    int64_t wrong = 0, different = 0;
    int sessions = 0, in_part = 0;
    struct store *store = open_for_check(care, problem);
    bool done = store != NULL;
    if (done) {
        begin_findings(care, "holdline-store-check", "findings");
        care->progress.doing = "looking over the file";
        done = store_check(store, on_finding, care, &care->watch, &wrong, problem);
        if (done && !care->quick) {
            care->progress.doing = "working the sessions out again";
            done = recheck_sessions(store, on_finding, care, &care->watch, &sessions, &in_part,
                                    &different, problem);
        }
        if (care->json) {
            json_array_end(&care->writer);
            json_member_integer(&care->writer, "sessions_worked_out_again", sessions);
            json_member_integer(&care->writer, "saved_in_part", in_part);
            json_member_boolean(&care->writer, "sound", done && wrong + different == 0);
            json_object_end(&care->writer);
        }
    }
    store_close(store);
    if (!done) {
        return -1;
    }
    int64_t all = wrong + different;
    if (!care->json && all == 0) {
        text_print(stdout, "%s is sound", care->path);
        if (!care->quick) {
            printf("; %d session%s worked out again, the same to the last bit", sessions,
                   sessions == 1 ? "" : "s");
        }
        if (in_part > 0) {
            printf("; %d saved in part, not worked out", in_part);
        }
        putchar('\n');
    } else if (!care->json) {
        printf("%lld found wrong\n", (long long)all);
    }
    return all == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

/* 'holdline.db.backup-2026-01-10', with a number behind it where that is there. */
static void usual_backup(const char *store_path, char *path, size_t size)
{
    char when[CLOCK_TEXT_SIZE];
    int64_t now_ms = clock_wall_ms();
    clock_wall_text(when, now_ms + clock_local_ahead_ms(now_ms));
    snprintf(path, size, "%s.backup-%.10s", store_path, when);
    for (int i = 2; access(path, F_OK) == 0 && i < 1000; i++) {
        snprintf(path, size, "%s.backup-%.10s-%d", store_path, when, i);
    }
}

static int backup(struct care *care, struct problem *problem)
{
    char path[PATH_MAX + 64];
    if (care->word != NULL) {
        text_copy(path, sizeof path, care->word);
    } else {
        usual_backup(care->path, path, sizeof path);
    }
    care->progress.doing = "copying";
    struct store *store = store_open_watched(care->path, STORE_READ, &care->watch, problem);
    bool done = store != NULL && store_backup(store, path, &care->watch, problem);
    store_close(store);
    if (done) {
        text_print(stdout, "%s\n", path);
    }
    return done ? EXIT_SUCCESS : -1;
}

static bool is_same_file(const char *a, const char *b)
{
    struct stat of_a, of_b;
    return stat(a, &of_a) == 0 && stat(b, &of_b) == 0 && of_a.st_dev == of_b.st_dev &&
           of_a.st_ino == of_b.st_ino;
}

static int merge(struct care *care, struct problem *problem)
{
    struct store_merged merged = {0};
    care->progress.doing = "taking sessions";
    care->plain = stderr;
    if (is_same_file(care->path, care->word)) {
        problem_set(problem, "%s is this store itself: there is nothing to take in", care->word);
        return -1;
    }
    struct store *other = store_open_watched(care->word, STORE_READ, &care->watch, problem);
    struct store *store = other != NULL ? open_for_change(care, problem) : NULL;
    bool done = store != NULL;
    if (done) {
        begin_findings(care, "holdline-store-merge", "left_out");
        done = store_merge(store, other, on_finding, care, &care->watch, &merged, problem);
        if (care->json) {
            json_array_end(&care->writer);
            json_member_integer(&care->writer, "taken", merged.taken);
            json_member_integer(&care->writer, "already_there", merged.already_there);
            json_object_end(&care->writer);
        }
    }
    store_close(store);
    store_close(other);
    if (done && !care->json) {
        printf("%d taken, %d there already, %d left out\n", merged.taken, merged.already_there,
               merged.left_out);
    }
    return !done ? -1 : merged.left_out == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

static bool write_rescued(struct care *care, struct store *from, struct rescued *rescued,
                          int64_t *wrong, struct problem *problem)
{
    struct store *to = store_open(care->word, STORE_RECORD, problem);
    bool done = to != NULL &&
                rescue_sessions(from, to, on_finding, care, &care->watch, rescued, problem) &&
                store_check(to, on_finding, care, &care->watch, wrong, problem) &&
                memory_sufficed(0, problem);
    store_close(to);
    if (!done) {
        store_remove(care->word); /* it was not there before; half of it is no use */
    }
    return done;
}

static int rescue(struct care *care, struct problem *problem)
{
    struct rescued rescued = {0};
    int64_t wrong = 0;
    care->plain = stderr;
    care->progress.doing = "saving sessions";
    if (access(care->word, F_OK) == 0) {
        problem_set(problem, "%s is there already; it was left as it is", care->word);
        return -1;
    }
    struct store *from = store_open_damaged(care->path, on_finding, care, &care->watch, problem);
    bool done = from != NULL && write_rescued(care, from, &rescued, &wrong, problem);
    bool all = done && store_damage_count(from) == 0 && rescued.lost == 0 && wrong == 0;
    store_close(from);
    if (done) {
        text_print(stdout, "%s: %d whole, %d worked out again, %d in part, %d lost\n", care->word,
                   rescued.whole, rescued.anew, rescued.in_part, rescued.lost);
    }
    return !done ? -1 : all ? EXIT_SUCCESS : EXIT_FAILURE;
}

/* Nothing brings a forgotten rider back, so the code is asked for once more. */
static bool is_meant(const struct care *care, struct problem *problem)
{
    char line[256] = "";
    if (care->yes) {
        return true;
    }
    if (!isatty(STDIN_FILENO)) {
        return problem_usage(problem, "store forget: say --yes when it is not asked at a terminal");
    }
    if (care->session != NULL) {
        text_print(stderr,
                   "Session %s goes, with its readings; it can't be undone.\n"
                   "Type %s again: ",
                   care->session, care->session);
    } else {
        text_print(stderr,
                   "Rider %s goes, with all sessions and readings; it can't be undone.\n"
                   "Type the code again: ",
                   care->word);
    }
    if (fgets(line, sizeof line, stdin) == NULL) {
        line[0] = '\0';
    }
    line[strcspn(line, "\n")] = '\0';
    return text_equal(line, care->session != NULL ? care->session : care->word) ||
           problem_set(problem, "nothing was removed");
}

static int forget(struct care *care, struct problem *problem)
{
    struct store_forgotten forgotten = {0};
    const char *what = care->session != NULL ? care->session : care->word;
    care->plain = stderr;
    care->progress.doing = care->session != NULL ? "removing the session" : "removing the rider";
    struct store *store = open_for_change(care, problem);
    bool done =
        store != NULL && (care->session != NULL ? store_forget_session : store_forget)(
                             store, what, on_finding, care, &care->watch, &forgotten, problem);
    store_close(store);
    kept_results_forget();
    if (done && care->session != NULL) {
        text_print(stdout, "session %s and its %lld samples removed\n", what,
                   (long long)forgotten.samples);
    } else if (done) {
        text_print(stdout, "%d session%s and %lld samples of rider %s removed\n",
                   forgotten.sessions, forgotten.sessions == 1 ? "" : "s",
                   (long long)forgotten.samples, what);
    }
    return done ? EXIT_SUCCESS : -1;
}

static int compact(struct care *care, struct problem *problem)
{
    care->progress.doing = "writing the file anew";
    struct store *store = open_for_change(care, problem);
    bool done = store != NULL && store_compact(store, &care->watch, problem);
    store_close(store);
    return done ? EXIT_SUCCESS : -1;
}

static int results(struct care *care, struct problem *problem)
{
    int made = 0;
    care->progress.doing = "working results out";
    if (!results_complete(care->path, &care->watch, on_finding, care, &made, problem)) {
        return -1;
    }
    text_print(care->plain, "results of %d session%s written\n", made, made == 1 ? "" : "s");
    return EXIT_SUCCESS;
}

static const struct work {
    const char *name;
    const char *word; /* what stands behind it; NULL = nothing */
    bool must;        /* it must stand there */
    bool takes_json, takes_quick, takes_yes;
    int (*run)(struct care *care, struct problem *problem); /* exit status, or -1 with a problem */
} works[] = {
    {"check", NULL, false, true, true, false, check},
    {"backup", "a file", false, false, false, false, backup},
    {"merge", "the other store's file", true, true, false, false, merge},
    {"rescue", "the file for what can be saved", true, false, false, false, rescue},
    {"forget", "the rider's code, or --session S", true, false, false, true, forget},
    {"compact", NULL, false, false, false, false, compact},
    {"results", NULL, false, false, false, false, results},
};

static const struct work *find_work(const char *name)
{
    for (size_t i = 0; name != NULL && i < sizeof works / sizeof works[0]; i++) {
        if (text_equal(works[i].name, name)) {
            return &works[i];
        }
    }
    return NULL;
}

static bool no_work(const char *name, struct problem *problem)
{
    char meant[NEAREST_TEXT_SIZE];
    struct nearest nearest = nearest_to(name);
    for (size_t i = 0; i < sizeof works / sizeof works[0]; i++) {
        nearest_try(&nearest, works[i].name);
    }
    if (nearest.word != NULL) {
        return problem_usage(problem, "store: there is no '%s'%s", name,
                             nearest_text(&nearest, "", meant, sizeof meant));
    }
    return problem_usage(problem,
                         "store: say check, backup, merge, rescue, forget, compact or results");
}

static bool fits(const struct work *work, const struct care *care, int words,
                 struct problem *problem)
{
    if (words == 2 && work->word == NULL) {
        return problem_usage(problem, "store %s: takes no word, a store is named by --store FILE",
                             work->name);
    }
    if (words > 2) {
        return problem_usage(problem, "store %s: too many words", work->name);
    }
    if (care->session != NULL && (work->run != forget || words == 2)) {
        return problem_usage(problem, "store %s: %s", work->name,
                             work->run == forget ? "say a rider's code or a session, not both"
                                                 : "it doesn't take --session");
    }
    if (words < 2 && work->must && care->session == NULL) {
        return problem_usage(problem, "store %s: say %s", work->name, work->word);
    }
    if ((care->json && !work->takes_json) || (care->quick && !work->takes_quick) ||
        (care->yes && !work->takes_yes)) {
        return problem_usage(problem, "store %s: it doesn't take %s", work->name,
                             care->json && !work->takes_json     ? "--json"
                             : care->quick && !work->takes_quick ? "--quick"
                                                                 : "--yes");
    }
    return true;
}

static const struct option_row option_rows[] = {
    {"json", OPTION_YES, OPTION_INTO(care, json)},
    {"quick", OPTION_YES, OPTION_INTO(care, quick)},
    {"yes", OPTION_YES, OPTION_INTO(care, yes)},
    {"session", OPTION_TEXT, OPTION_INTO(care, session)},
    {"store", OPTION_TEXT, OPTION_INTO(care, path)},
};

static int run(int argc, char **argv)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct care care = {.plain = stdout};
    const struct option_set sets[] = {OPTION_SET(option_rows, &care), {NULL, 0, NULL}};
    char path[PATH_MAX] = "";
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    text_copy(path, sizeof path, care.path != NULL ? care.path : "");
    int words = argc - optind;
    const struct work *work = find_work(words > 0 ? argv[optind] : NULL);
    if (work == NULL) {
        no_work(words > 0 ? argv[optind] : "", &problem);
        return command_fail(&problem);
    }
    if (!fits(work, &care, words, &problem) ||
        (path[0] == '\0' && !store_default_path(path, sizeof path, &problem))) {
        return command_fail(&problem);
    }
    care.path = path;
    care.word = words > 1 ? argv[optind + 1] : NULL;
    if (work->takes_yes && !is_meant(&care, &problem)) {
        return command_fail(&problem);
    }
    care.watch = (struct store_watch){progress_tell, &care.progress};
    progress_begin(&care.progress, work->name);
    int status = work->run(&care, &problem);
    progress_end(&care.progress);
    if (status >= 0 && !standard_output_end(&problem)) {
        status = -1;
    }
    return status >= 0 ? status : command_fail(&problem);
}

const struct command command_store = {
    .name = "store",
    .summary = "the store's care: check, backup, merge, rescue, forget, compact, results",
    .usage =
        "holdline store check [--quick] [--json]\n"
        "  Looks the store over: file, references, streams; and works every session out again "
        "from\n"
        "  its samples and its log (not with --quick). Brings a store of an earlier version up to\n"
        "  this one, after a copy. Exit status 1 when something is wrong.\n"
        "holdline store backup [FILE]\n"
        "  A copy, also while a session runs; beside the store when no file is named.\n"
        "holdline store merge FILE [--json]\n"
        "  Takes in the sessions of another store. Nothing here is written over: what clashes is\n"
        "  told and left out (exit status 1).\n"
        "holdline store rescue FILE\n"
        "  Writes what can be saved of a damaged store into a new one, FILE. Records that are "
        "damaged\n"
        "  are worked out again where samples and log are whole; else a session is saved in part. "
        "What\n"
        "  is lost is told, with the seconds it touches (exit status 1). The store stays as it "
        "is.\n"
        "holdline store forget CODE [--yes]\n"
        "holdline store forget --session S [--yes]\n"
        "  Removes a rider, all their sessions and readings, or one session ('holdline list'), "
        "for\n"
        "  good, so that nothing of them can be found in the file; names the copies that still "
        "hold\n"
        "  them.\n"
        "holdline store compact\n"
        "  Writes the file anew, without unused pages.\n"
        "holdline store results\n"
        "  Works out what is there for SQL (docs/schema.md, 'result') where a session has none: "
        "those\n"
        "  that were taken in by merge, or recorded by an earlier version.\n"
        "  --store FILE   the store (default: HOLDLINE_STORE, else the data folder's)\n",
    .run = run,
};
