/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/decoder_arguments.h"
#include "app/import_look.h"
#include "app/import_script.h"
#include "app/known_recording.h"
#include "app/script_runner.h"
#include "base/clock.h"
#include "base/text.h"
#include "measure/rules.h"
#include "rig/ride_file.h"
#include "store/store.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* holdline import FILE...: recorded streams as holds of a new session, after the fact. */

#define FILE_STARTED_OPEN (-2)

struct importing {
    struct decoder_options decoder;
    struct import_script *script;
    char store[4096];
    int64_t started_ms, seed;
    int64_t file_started_ms; /* as the first file's own times have it; -1: they don't */
    struct import_look look;
    bool script_only;
    /* in force for the files that follow */
    const char *rate;
    double seconds;
    bool guided;
    /* what the last FILE was taken with, and the first option since that only a FILE behind it
     * would make count */
    const char *rate_taken;
    double seconds_taken;
    bool guided_taken;
    const char *waiting;
    /* said so far: a table of readings has its own */
    bool says_setup, says_sensor;
    /* files that are too short for a hold: their names, and why the first of them is */
    char left_out[1024];
    size_t left_out_used;
    struct problem first_left_out;
};

/* A line of the script: the option's name begins it. */
#define LINE_OF(name)                                                                              \
    static bool take_##name(void *of, const char *text, struct problem *problem)                   \
    {                                                                                              \
        return import_script_line(((struct importing *)of)->script, #name, text, problem);         \
    }
LINE_OF(rider)
LINE_OF(bike)
#undef LINE_OF

/* Lines of which a table of readings wants to know. */
#define LINE_NOTED(name, said)                                                                     \
    static bool take_##name(void *of, const char *text, struct problem *problem)                   \
    {                                                                                              \
        struct importing *importing = of;                                                          \
        importing->waiting = importing->waiting != NULL ? importing->waiting : "--" #name;         \
        importing->said = true;                                                                    \
        return import_script_line(importing->script, #name, text, problem);                        \
    }
LINE_NOTED(sensor, says_sensor)
LINE_NOTED(carry, says_sensor)
LINE_NOTED(setup, says_setup)
#undef LINE_NOTED

/* A hold's number is another one where a file before it was left out. */
static bool take_line(void *of, const char *text, struct problem *problem)
{
    const struct importing *importing = of;
    if (importing->left_out_used > 0 &&
        (text_starts_with(text, "reject ") || text_starts_with(text, "restore "))) {
        return problem_usage(problem,
                             "%s; '--line %s' counts the holds without it: name it no more",
                             importing->first_left_out.sentence, text);
    }
    return import_script_line(((struct importing *)of)->script, "", text, problem);
}

static bool take_build(void *of, const char *text, struct problem *problem)
{
    (void)text;
    struct importing *importing = of;
    importing->says_setup = true;
    importing->waiting = importing->waiting != NULL ? importing->waiting : "--build";
    return take_line(of, "build", problem);
}

static bool take_rate(void *of, const char *text, struct problem *problem)
{
    double rate_hz = 0.0;
    (void)problem;
    ((struct importing *)of)->rate = text;
    return text_to_double(text, &rate_hz) && rate_hz >= RATE_LEAST_HZ && rate_hz <= RATE_MOST_HZ;
}

static bool take_started(void *of, const char *text, struct problem *problem)
{
    int64_t at_us = 0;
    (void)problem;
    bool read = clock_parse_us(text, strlen(text), &at_us);
    ((struct importing *)of)->started_ms = at_us / 1000;
    return read;
}

static const struct option_row option_rows[] = {
    {"store", OPTION_COPY, OPTION_INTO(importing, store)},
    {"started", OPTION_OWN, .wants = "a time such as 2026-01-10T18:00:00Z", .take = take_started},
    {"seed", OPTION_WHOLE, OPTION_INTO(importing, seed), 0, INFINITY, "a whole number from 0"},
    {"rider", OPTION_OWN, .take = take_rider},
    {"bike", OPTION_OWN, .take = take_bike},
    {"sensor", OPTION_OWN, .take = take_sensor},
    {"carry", OPTION_OWN, .take = take_carry},
    {"setup", OPTION_OWN, .take = take_setup},
    {"build", OPTION_OWN_BARE, .take = take_build},
    {"guided", OPTION_YES, OPTION_INTO(importing, guided)},
    {"free", OPTION_NO, OPTION_INTO(importing, guided)},
    {"line", OPTION_OWN, .take = take_line},
    {"seconds", OPTION_NUMBER, OPTION_INTO(importing, seconds), 5, 3600},
    {"rate", OPTION_OWN, .wants = "a number from 0.001 to 100000", .take = take_rate},
    {"script", OPTION_YES, OPTION_INTO(importing, script_only)},
};

/* The program's own readings: what they are is all in them. */
static bool take_readings(const struct importing *importing, const char *file,
                          struct problem *problem)
{
    struct readings_found found;
    if (importing->says_setup || importing->rate != NULL || isfinite(importing->seconds)) {
        return problem_usage(problem,
                             "%s has its own setups, builds and times: leave --setup, --build, "
                             "--rate and --seconds out (behind it, --line 'correct 1 spacers=20' "
                             "says what a setup was)",
                             file);
    }
    if (!import_script_readings(importing->script, file, !importing->says_sensor, &found,
                                problem)) {
        return false;
    }
    text_print(stderr,
               "%s: readings that holdline wrote, %d capture%s on %d build%s, %d channel%s\n", file,
               found.captures, found.captures == 1 ? "" : "s", found.builds,
               found.builds == 1 ? "" : "s", found.channels, found.channels == 1 ? "" : "s");
    if (found.heights > 0) {
        text_print(stderr, "%s: its heights are taken, as plates that give them\n", file);
    }
    if (found.unlike[0] != '\0') {
        text_print(stderr,
                   "%s: the heights of %s are not taken: the sensor was fixed anew or turned with "
                   "the bar; say where it was with --bike and --sensor, or --carry\n",
                   file, found.unlike);
    }
    return true;
}

/* The others are taken all the same; it is told here, and at the end. */
static bool leave_out(struct importing *importing, const char *file, struct problem *problem)
{
    text_print(stderr, "%s; it is left out\n", problem->sentence);
    if (importing->left_out_used == 0) {
        importing->first_left_out = *problem;
    }
    text_append(importing->left_out, sizeof importing->left_out, &importing->left_out_used, "%s%s",
                importing->left_out_used > 0 ? ", " : "", file);
    *problem = (struct problem){PROBLEM_NONE, ""};
    return true;
}

static bool take_file(void *of, const char *file, struct problem *problem)
{
    struct importing *importing = of;
    importing->rate_taken = importing->rate;
    importing->seconds_taken = importing->seconds;
    importing->guided_taken = importing->guided;
    importing->waiting = NULL;
    if (readings_script_is(file)) {
        return take_readings(importing, file, problem);
    }
    if (!import_look(&importing->look, file, &importing->decoder, problem)) {
        return false;
    }
    import_script_decoder(importing->script, &importing->decoder);
    char finding[SAY_SIZE];
    bool left_out;
    if (!import_script_hold(importing->script, file, importing->rate, importing->seconds,
                            importing->guided, finding, &left_out, problem)) {
        return left_out && leave_out(importing, file, problem);
    }
    if (importing->look.has_start && importing->file_started_ms == FILE_STARTED_OPEN) {
        importing->file_started_ms = importing->look.start_us / 1000;
    } else if (importing->file_started_ms == FILE_STARTED_OPEN) {
        importing->file_started_ms = -1; /* that of the first file only */
    }
    if (finding[0] != '\0') {
        text_print(
            stderr,
            "%s: %s; what stands behind is taken as following at once: is it one recording?\n",
            file, finding);
    }
    return true;
}

/* A log of a ride is no stream of ranges, and has a command of its own. */
static bool take_file_or_advise(void *of, const char *file, struct problem *problem)
{
    struct problem unused = {0}, plain;
    if (take_file(of, file, problem)) {
        return true;
    }
    struct ride *ride = text_equal(file, "-") ? NULL : ride_file_read(file, NULL, NULL, &unused);
    if (ride != NULL) {
        plain = *problem;
        problem_set(
            problem,
            "%s. It is a log of a ride: 'holdline drag' takes it, and 'run setup=1 from=FILE' "
            "in a session (docs/drag.md)",
            plain.sentence);
    }
    ride_free(ride);
    return false;
}

/* What stands behind the last FILE counts for none. */
static bool all_is_used(const struct importing *importing, struct problem *problem)
{
    bool same_seconds = importing->seconds == importing->seconds_taken ||
                        (isnan(importing->seconds) && isnan(importing->seconds_taken));
    const char *option = importing->waiting != NULL                     ? importing->waiting
                         : importing->rate != importing->rate_taken     ? "--rate"
                         : !same_seconds                                ? "--seconds"
                         : importing->guided != importing->guided_taken ? "--guided or --free"
                                                                        : NULL;
    return option == NULL ||
           problem_usage(problem, "import: %s belongs before the file it is for, and none follows",
                         option);
}

static bool pass_over(void *of, const char *word, struct problem *problem)
{
    (void)of, (void)word, (void)problem;
    return true;
}

/* The decoder's options count for all files: they are taken first. */
static bool read_arguments(int argc, char **argv, bool decoder, struct importing *importing,
                           struct problem *problem)
{
    const struct option_set sets[] = {OPTION_SET(option_rows, decoder ? NULL : importing),
                                      DECODER_OPTION_SET(decoder ? &importing->decoder : NULL),
                                      {NULL, 0, NULL}};
    return options_read_in_order(sets, argc, argv, decoder ? pass_over : take_file_or_advise,
                                 importing, problem);
}

/* 'import:5: ...' with the line itself, which the person has not written. */
static void explain(const char *text, struct problem *problem)
{
    static const char start[] = "import:";
    char line[COMMAND_TEXT_SIZE];
    struct problem plain = *problem;
    char *end = NULL;
    if (!text_starts_with(plain.sentence, start)) {
        return;
    }
    long number = strtol(plain.sentence + strlen(start), &end, 10);
    if (number > 0 && text_starts_with(end, ": ")) {
        import_script_line_text(text, (int)number, line, sizeof line);
        problem_set(problem, "import: %s (line '%.200s')", end + 2, line);
    }
}

static bool take_latest(void *context, const struct store_session *listed)
{
    int64_t *latest = context;
    *latest = listed->id > *latest ? listed->id : *latest;
    return true;
}

/* The session that was just made has the highest number, whenever it was ridden. */
static bool find_session(const char *path, int64_t *session, struct problem *problem)
{
    struct store *store = store_open(path, STORE_READ, problem);
    bool done = store != NULL && store_list(store, take_latest, session, problem);
    store_close(store);
    return done;
}

/* Who says a seed, or another start, wants the session beside one that is there. */
static bool readings_are_new(const struct importing *importing, struct problem *problem)
{
    char names[CHANNELS_MAX * (CHANNEL_NAME_SIZE + 2)];
    import_script_channels(importing->script, names, sizeof names);
    return importing->seed >= 0 ||
           known_recording_is_new(importing->store, import_script_seed(importing->script),
                                  importing->started_ms, names, problem);
}

/* Once without a store: what can't be done is found before anything is written. */
static bool run_script(const struct importing *importing, const char *text, struct problem *problem)
{
    struct progress progress;
    struct script_runner_result result = {0};
    struct script_runner_options options = {.script_name = "import",
                                            .decoder = importing->decoder,
                                            .rig = import_script_rig(importing->script),
                                            .output = stdout,
                                            .store_path = importing->store,
                                            .dry = true,
                                            .progress = &progress};
    progress_begin(&progress, "looking the streams through");
    bool done =
        readings_are_new(importing, problem) && script_run(text, &options, &result, problem);
    if (done) {
        options.dry = false;
        progress.doing = "importing";
        done = script_run(text, &options, &result, problem);
    }
    int64_t session = 0;
    done = done && find_session(importing->store, &session, problem);
    if (!done) {
        explain(text, problem);
    } else {
        fprintf(stderr,
                "session %lld: %d hold%s, %.0f s, %lld samples, %lld lost, %lld line%s rejected\n",
                (long long)session, result.holds, result.holds == 1 ? "" : "s", result.stream_s,
                (long long)result.samples, (long long)result.lost, (long long)result.rejected,
                result.rejected == 1 ? "" : "s");
    }
    int status = done ? EXIT_SUCCESS : command_fail(problem);
    progress_end(&progress);
    return status == EXIT_SUCCESS;
}

static int run(int argc, char **argv)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct importing importing = {.started_ms = -1,
                                  .file_started_ms = FILE_STARTED_OPEN,
                                  .look = {.told = stderr},
                                  .seed = -1,
                                  .seconds = (double)NAN};
    int status = EXIT_FAILURE;
    if (!read_arguments(argc, argv, true, &importing, &problem) ||
        !decoder_options_sound(&importing.decoder, &problem)) {
        return command_fail(&problem);
    }
    importing.look.answers = isatty(STDIN_FILENO) && isatty(STDERR_FILENO) ? stdin : NULL;
    struct import_script *script = importing.script = import_script_create(&importing.decoder);
    const char *text = NULL;
    if (script == NULL) {
        problem_set(&problem, "no memory for the script");
    } else if (read_arguments(argc, argv, false, &importing, &problem)) {
        int64_t started_ms =
            importing.started_ms >= 0 ? importing.started_ms : importing.file_started_ms;
        text = import_script_text(script, started_ms, importing.seed, &problem);
        if (!import_script_has_hold(script) && importing.left_out_used > 0) {
            problem = importing.first_left_out;
        }
        text = text != NULL && all_is_used(&importing, &problem) ? text : NULL;
    }
    if (text == NULL || (importing.store[0] == '\0' &&
                         !store_default_path(importing.store, sizeof importing.store, &problem))) {
        status = command_fail(&problem);
    } else if (importing.script_only) {
        text_write(stdout, text);
        status = fflush(stdout) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
    } else {
        status = run_script(&importing, text, &problem) ? EXIT_SUCCESS : EXIT_FAILURE;
    }
    if (text != NULL && importing.left_out_used > 0) {
        text_print(stderr, "holdline: left out, too short for a hold: %s\n", importing.left_out);
        status = EXIT_FAILURE;
    }
    import_script_destroy(script);
    return status;
}

const struct command command_import = {
    .name = "import",
    .summary = "recorded streams as holds of a session, after the fact",
    .usage =
        "holdline import [options] FILE... [options FILE...]\n"
        "Makes a new session of recorded streams: each FILE is a hold, in the order in which they\n"
        "stand. What is said before a FILE holds for those behind it. A session that has ended is\n"
        "never added to; --carry begins with what an earlier one knew. What each column was taken\n"
        "for is told; what is not certain is asked, or without a terminal refused with the option\n"
        "that says it. A FILE of less than 5 s is left out and named; the exit status is 1 then.\n"
        "NAME-readings.csv that 'export' wrote comes back with its setups and heights.\n"
        "who, what, where (as in docs/scripts.md, in quotes where there are blanks):\n"
        "  --rider WORDS    R-07, or 'R-07 \"winter group\"'\n"
        "  --bike WORDS     '\"training bike\" stack=545 reach=410 head_angle=73 spacers=20'\n"
        "  --sensor WORDS   'head carrier=base_bar x=110 y=40', for each channel\n"
        "  --carry SESSION  all that from an earlier session of the store\n"
        "in front of the FILEs it is about:\n"
        "  --setup WORDS    '2 \"spacers out\" spacers=0'\n"
        "  --build          the same setup, taken apart and put together again\n"
        "  --free, --guided gauge hidden from the rider (the default), or seen\n"
        "  --line LINE      any other line of a session: 'target head=884', 'plate head=412'\n"
        "  --seconds N      only the first N seconds of each\n"
        "  --rate HZ        of a stream that carries no time of its own\n"
        "of the session:\n"
        "  --started TIME   when it began (default: the first file's own date and time, where it "
        "has\n"
        "                   them; else when it was written, less its length)\n"
        "  --seed N         of its identifiers (default: one made from the readings, so that the "
        "same\n"
        "                   recordings are not taken twice)\n"
        "  --script         only print the script that it is; 'holdline run' takes it\n"
        "  --store FILE     the store (default: HOLDLINE_STORE, else the data folder's)\n" //
    DECODER_USAGE,
    .run = run,
};
