/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/demo.h"
#include "app/demo_day.h"
#include "app/export_file.h"
#include "app/live.h"
#include "app/loaded_session.h"
#include "app/resumed_session.h"
#include "app/script_runner.h"
#include "base/clock.h"
#include "base/text.h"
#include "base/words.h"
#include "store/store.h"

#include <getopt.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* holdline demo: an invented rider of a club's winter group on the virtual rig. */

struct demo_files {
    char store[PATH_MAX];    /* of the sessions by hand: each is added to it */
    char scripted[PATH_MAX]; /* of the scripted one: made anew each time */
    char csv[PATH_MAX], json[PATH_MAX];
};

static bool name_files(const char *folder, bool drag, struct demo_files *files,
                       struct problem *problem)
{
    const char *name = drag ? "holdline-demo-drag" : "holdline-demo";
    int length = snprintf(files->scripted, sizeof files->scripted, "%s/holdline-demo-%s.db", folder,
                          drag ? "drag" : "scripted");
    if (length < 0 || length > PATH_MAX - 16) {
        return problem_set(problem, "the folder's name is too long");
    }
    struct stat found;
    if (stat(folder, &found) != 0 || !S_ISDIR(found.st_mode)) {
        return problem_set(problem, "--out: there is no folder %s", folder);
    }
    snprintf(files->store, sizeof files->store, "%s/holdline-demo.db", folder);
    snprintf(files->csv, sizeof files->csv, "%s/%s.csv", folder, name);
    snprintf(files->json, sizeof files->json, "%s/%s.json", folder, name);
    return true;
}

/* Nobody's work is in the scripted session's store. */
static void remove_old(const struct demo_files *files)
{
    static const char *const endings[] = {"", "-wal", "-shm", ".lock"};
    for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
        char path[PATH_MAX + 8];
        snprintf(path, sizeof path, "%s%s", files->scripted, endings[i]);
        unlink(path);
    }
}

static bool export_both(const struct demo_files *files, struct problem *problem)
{
    struct loaded_session *loaded = loaded_session_open(files->scripted, "last", problem);
    if (loaded == NULL) {
        return false;
    }
    const struct report_file csv = {.path = files->csv, .replace = true};
    const struct report_file json = {.path = files->json, .replace = true};
    bool done = export_file(loaded_session_input(loaded), store_sample_source,
                            loaded_session_source(loaded), &csv, problem) &&
                export_file(loaded_session_input(loaded), store_sample_source,
                            loaded_session_source(loaded), &json, problem) &&
                report_compare_text(stdout, loaded_session_input(loaded), 80, problem);
    loaded_session_close(loaded);
    return done;
}

static bool headless(const struct demo_files *files, uint64_t seed, struct problem *problem)
{
    char script[DEMO_SCRIPT_SIZE], rig[128];
    struct script_runner_result result;
    demo_script(script, sizeof script, seed);
    snprintf(rig, sizeof rig, DEMO_RIG "?speed=max&seed=%llu", (unsigned long long)seed);
    struct script_runner_options options = {
        .script_name = "demo", .rig = rig, .store_path = files->scripted, .output = stdout};
    memset(&result, 0, sizeof result);
    struct progress progress;
    progress_begin(&progress, "riding");
    options.progress = &progress;
    remove_old(files);
    bool done = script_run(script, &options, &result, problem) && export_both(files, problem);
    progress_end(&progress);
    if (!done) {
        return false;
    }
    fprintf(stderr,
            "\n%lld samples in %d holds, %.0f s of riding in %.2f s: %.0f times real time\n",
            (long long)result.samples, result.holds, result.stream_s, result.elapsed_s,
            result.stream_s / result.elapsed_s);
    text_print(stderr, "written: %s, %s, %s\n", files->csv, files->json, files->scripted);
    return true;
}

/* A day of runs: rides written as files, then read by the program's own commands. */
static bool headless_day(const struct demo_files *files, const char *folder, uint64_t seed,
                         struct problem *problem)
{
    static char script[DEMO_DAY_SCRIPT_SIZE];
    struct script_runner_result result;
    struct script_runner_options options = {
        .script_name = "demo", .store_path = files->scripted, .output = stdout};
    memset(&result, 0, sizeof result);
    remove_old(files);
    if (!demo_day(folder, seed, script, sizeof script, problem) ||
        !script_run(script, &options, &result, problem) || !export_both(files, problem)) {
        return false;
    }
    text_print(stderr, "written: %s, %s, %s and the rides, %s/holdline-demo-run-1.csv to 8\n",
               files->csv, files->json, files->scripted, folder);
    return true;
}

struct wanted {
    const char *folder, *tones;
    bool headless, drag;
    int64_t seed;
    double speed;
    struct resumed_wish resume;
};

/* A new session is begun where nothing else is said; of one that was cut short it is told. */
static bool choose_session(const struct wanted *wanted, const char *store, int64_t *resumed,
                           char *told, size_t size, struct problem *problem)
{
    char folder[PATH_MAX + 16];
    struct store_session session;
    bool here = text_equal(wanted->folder, ".");
    if (!resumed_session_find(store, &wanted->resume, &session, problem)) {
        return false;
    }
    *resumed = wanted->resume.asked ? session.id : 0;
    words_quote_for_shell(folder, sizeof folder, wanted->folder);
    told[0] = '\0';
    if (*resumed != 0) {
        resumed_session_saved(store, &session, told, size);
    } else if (session.id != 0) {
        snprintf(told, size,
                 "session %lld was cut short: 'holdline demo%s%s --resume=%lld' goes on with it",
                 (long long)session.id, here ? "" : " --out ", here ? "" : folder,
                 (long long)session.id);
    }
    return true;
}

static bool live(const struct demo_files *files, const struct wanted *wanted,
                 struct problem *problem)
{
    char rig[128], told[RESUMED_SAVED_SIZE];
    snprintf(rig, sizeof rig, DEMO_RIG "?seed=%llu&speed=%g", (unsigned long long)wanted->seed,
             wanted->speed);
    static struct live_outcome outcome;
    struct live_options options = {
        .rig = rig,
        .store_path = files->store,
        .origin = live_new_origin(),
        .first_commands = demo_first_commands,
        .folder = wanted->folder,
        .outcome = &outcome,
        .tones = wanted->tones,
        .first_news = told,
    };
    if (!choose_session(wanted, files->store, &options.resume_session, told, sizeof told,
                        problem)) {
        return false;
    }
    if (!live_run(&options, problem)) {
        return false;
    }
    live_say_where(&options);
    return true;
}

static bool take_resume(void *of, const char *text, struct problem *problem)
{
    return resumed_wish_read(&((struct wanted *)of)->resume, text, problem);
}

static const struct option_row option_rows[] = {
    {"headless", OPTION_YES, OPTION_INTO(wanted, headless)},
    {"drag", OPTION_YES, OPTION_INTO(wanted, drag)},
    {"seed", OPTION_WHOLE, OPTION_INTO(wanted, seed), 0, INFINITY, "a whole number from 0"},
    {"speed", OPTION_NUMBER, OPTION_INTO(wanted, speed), 0.1, 100},
    {"tones", OPTION_TEXT, OPTION_INTO(wanted, tones)},
    {"out", OPTION_TEXT, OPTION_INTO(wanted, folder)},
    {"resume", OPTION_OWN_EITHER, .take = take_resume},
};

static int run(int argc, char **argv)
{
    struct problem problem = {0};
    struct demo_files files;
    struct wanted wanted = {.folder = ".", .seed = 7, .speed = 1.0};
    const struct option_set sets[] = {OPTION_SET(option_rows, &wanted), {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    if (optind != argc) {
        problem_usage(&problem, "demo: takes no words, only options");
        return command_fail(&problem);
    }
    if (wanted.drag && !wanted.headless) {
        problem_usage(&problem, "demo: --drag is a day of runs outdoors, read from files: it goes "
                                "with --headless");
        return command_fail(&problem);
    }
    if (wanted.resume.asked && wanted.headless) {
        problem_usage(&problem, "demo: --resume goes on with a session on the screen, --headless "
                                "has none: say one of them");
        return command_fail(&problem);
    }
    uint64_t seed = (uint64_t)wanted.seed;
    bool done = name_files(wanted.folder, wanted.drag, &files, &problem);
    if (done && wanted.drag) {
        done = headless_day(&files, wanted.folder, seed, &problem);
    } else if (done && wanted.headless) {
        done = headless(&files, seed, &problem);
    } else if (done) {
        done = live(&files, &wanted, &problem);
    }
    return done ? EXIT_SUCCESS : command_fail(&problem);
}

const struct command command_demo = {
    .name = "demo",
    .summary = "the live session on the virtual rig with an invented rider",
    .usage =
        "holdline demo [options]\n"
        "Opens the live session on the virtual rig: an invented rider of a club's winter group is\n"
        "on the bike, ready to go on. The demo's store and exports stand in the folder given.\n"
        "  --headless     no screen: a whole scripted session as fast as it goes; prints the\n"
        "                 comparison, writes it as CSV and JSON\n"
        "  --drag         with --headless: a day of runs on a road instead, two setups, four\n"
        "                 runs of each; writes the rides as files, reads them, compares drag\n"
        "  --seed N       another rider's luck (default 7)\n"
        "  --speed X      with a screen: X times real time, 0.1 to 100\n"
        "  --out FOLDER   where the files go (default: here)\n"
        "  --tones WHAT   with a screen: auto, bell, off, or a player, as with live\n"
        "  --resume[=N]   with a screen: goes on with session N of that folder, or with the one\n"
        "                 that was cut short, or else with the latest\n",
    .run = run,
};
