/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/rig_check.h"

#include "app/commands.h"
#include "app/decoder_arguments.h"
#include "app/links.h"
#include "app/rig_check_report.h"
#include "app/standard_output.h"
#include "base/text.h"
#include "measure/rules.h"
#include "rig/auxiliary.h"
#include "rig/reader.h"
#include "say/check.h"

#include <float.h>
#include <getopt.h>
#include <math.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define TURN_MS 50
#define SHOW_EVERY_US 250000
#define QUIET_TURNS_MAX 100 /* five seconds without a reading: nobody prints anything */

struct stretch {
    struct sample *samples;
    size_t count, room;
};

struct rig_check_options {
    const char *rig;
    struct decoder_options decoder;
    double rate_hz; /* of a stream that carries no time; 0 = not said */
    bool json;
    bool no_prompts; /* go on by the clock and not by the Enter key */
    bool looks_down; /* the sensors look down at the body */
    bool is_plate;   /* a still test of some seconds: what is wanted is the range */
};

struct checking {
    const struct rig_check_options *options;
    const struct words *words;
    struct reader *reader;
    struct placing_record placing;
    struct check_plan plan;
    bool begun; /* the plan is made */
    bool by_key;
    bool shows; /* live numbers on standard error */
    int phase;
    bool recording, go, finished, failed;
    int64_t from_us; /* of the pause, or of the readings */
    int64_t shown_us;
    struct stretch stretch[CHECK_PHASES_MAX];
    struct problem *problem;
};

/* ---- prompts --------------------------------------------------------------------------------- */

static void tell_rig(struct checking *checking, const char *line)
{
    if (line[0] != '\0') {
        link_write_line(reader_link(checking->reader), line, NULL); /* real sensors don't listen */
    }
}

static void ask(struct checking *checking)
{
    const struct check_phase *phase = &checking->plan.phase[checking->phase];
    fprintf(stderr, "%s%d of %d: %s%s\n", checking->shows ? "\r\033[K" : "", checking->phase + 1,
            checking->plan.phase_count, phase->ask, checking->by_key ? "; then Enter" : "");
    tell_rig(checking, phase->rig_before);
}

static void show(struct checking *checking, const struct sample *sample)
{
    const struct check_phase *phase = &checking->plan.phase[checking->phase];
    if (!checking->shows || sample->time_us - checking->shown_us < SHOW_EVERY_US) {
        return;
    }
    checking->shown_us = sample->time_us;
    double gone_s = (double)(sample->time_us - checking->from_us) / 1e6;
    char line[400] = "";
    size_t used = 0;
    for (int c = 0; c < checking->placing.channel_count; c++) {
        char mm[32] = "-";
        if (sample->quality[c] != READING_MISSING) {
            text_from_double(mm, sizeof mm, sample->range_tenth_mm[c] / 10.0, 1);
        }
        text_append(line, sizeof line, &used, "  %s %s", checking->placing.channel[c].name, mm);
    }
    if (checking->recording) {
        text_append(line, sizeof line, &used, "   reading, %.0f s left",
                    ceil(phase->length_s - gone_s));
    } else if (!checking->by_key) {
        text_append(line, sizeof line, &used, "   begins in %.0f s",
                    ceil(fmax(0.0, phase->pause_s - gone_s)));
    }
    fprintf(stderr, "\r\033[K%s", line);
    fflush(stderr);
}

/* ---- samples --------------------------------------------------------------------------------- */

static void make_placing(struct checking *checking)
{
    const struct rig_info *info = reader_info(checking->reader);
    struct placing_record *placing = &checking->placing;
    placing->channel_count = info->channel_count;
    placing->announced_rate_hz = info->rate_hz;
    for (int c = 0; c < info->channel_count; c++) {
        struct channel_record *channel = &placing->channel[c];
        text_copy(channel->name, sizeof channel->name, info->channel_name[c]);
        channel->role = auxiliary_of(channel->name) >= 0 ? ROLE_AUXILIARY : ROLE_BODY;
        channel->gain = 1.0;
        channel->mounted = true;
        channel->mount.direction = checking->options->looks_down ? -1 : 1;
    }
}

static bool begin(struct checking *checking, const struct sample *sample)
{
    make_placing(checking);
    if (!check_plan_read(checking->words, 0, &checking->placing, &checking->plan,
                         checking->problem)) {
        return false;
    }
    if (checking->options->is_plate) {
        struct check_phase *phase = &checking->plan.phase[0];
        phase->length_s = checking->words->count == 1 ? PLATE_S : phase->length_s;
        text_copy(phase->ask, sizeof phase->ask,
                  "hold the plate over the sensors, at its unchanging height");
    }
    for (int p = 0; p < checking->plan.phase_count; p++) {
        if (isinf(checking->plan.phase[p].pause_s) && !checking->by_key) {
            problem_usage(checking->problem,
                          "pause=key wants somebody at a terminal and a rig that is live");
            return false;
        }
    }
    checking->begun = true;
    checking->from_us = sample->time_us;
    ask(checking);
    return true;
}

static bool keep(struct stretch *stretch, const struct sample *sample)
{
    if (stretch->count == stretch->room) {
        size_t room = stretch->room == 0 ? 4096 : 2 * stretch->room;
        struct sample *larger = realloc(stretch->samples, room * sizeof *larger);
        if (larger == NULL) {
            return false;
        }
        stretch->samples = larger;
        stretch->room = room;
    }
    stretch->samples[stretch->count++] = *sample;
    return true;
}

static void end_phase(struct checking *checking, const struct sample *sample)
{
    checking->recording = checking->go = false;
    checking->from_us = sample->time_us;
    if (++checking->phase == checking->plan.phase_count) {
        checking->finished = true;
        return;
    }
    ask(checking);
}

static void on_sample(void *context, const struct sample *sample)
{
    struct checking *checking = context;
    if (checking->finished || checking->failed) {
        return;
    }
    if (!checking->begun && !begin(checking, sample)) {
        checking->failed = true;
        return;
    }
    const struct check_phase *phase = &checking->plan.phase[checking->phase];
    double gone_s = (double)(sample->time_us - checking->from_us) / 1e6;
    if (!checking->recording) {
        if (!(checking->by_key ? checking->go : gone_s >= phase->pause_s)) {
            show(checking, sample);
            return;
        }
        checking->recording = true;
        checking->from_us = sample->time_us;
        gone_s = 0.0;
        tell_rig(checking, phase->rig_during);
    }
    show(checking, sample);
    if (gone_s >= phase->length_s) {
        end_phase(checking, sample);
    } else if (!keep(&checking->stretch[checking->phase], sample)) {
        problem_set(checking->problem, "no memory for the readings");
        checking->failed = true;
    }
}

/* Enter, while a phase waits for it. Otherwise what was typed is thrown away. */
static void take_key(struct checking *checking)
{
    struct pollfd input = {.fd = STDIN_FILENO, .events = POLLIN};
    char typed[256];
    while (poll(&input, 1, 0) > 0) {
        ssize_t got = read(STDIN_FILENO, typed, sizeof typed);
        if (got <= 0) {
            problem_set(checking->problem, "the input was closed: nothing was checked");
            checking->failed = true;
            return;
        }
        if (checking->begun && !checking->recording && memchr(typed, '\n', (size_t)got) != NULL) {
            checking->go = true;
        }
    }
}

static void read_all(struct checking *checking)
{
    int quiet = 0;
    while (!checking->finished && !checking->failed) {
        switch (reader_step(checking->reader, TURN_MS, on_sample, checking, checking->problem)) {
        case LINK_BYTES:
        case LINK_UP:
            quiet = 0;
            break;
        case LINK_QUIET:
        case LINK_DOWN:
            if (++quiet == QUIET_TURNS_MAX) {
                problem_set(checking->problem, "no readings come from '%s'",
                            checking->options->rig);
                checking->failed = true;
            }
            break;
        case LINK_END:
            if (!checking->finished && !checking->failed) {
                problem_set(checking->problem, "the stream ended in step %d of %d",
                            checking->phase + 1, checking->begun ? checking->plan.phase_count : 1);
                checking->failed = true;
            }
            break;
        case LINK_FAILED:
            checking->failed = true;
            break;
        }
        if (checking->by_key) {
            take_key(checking);
        }
    }
    if (checking->shows && checking->begun) {
        fputs("\r\033[K", stderr);
    }
}

/* ---- the whole ------------------------------------------------------------------------------- */

static int report(const struct checking *checking)
{
    struct check_stretch stretches[CHECK_PHASES_MAX];
    struct check_findings findings;
    struct check_record *check = calloc(1, sizeof *check);
    struct problem problem = {PROBLEM_NONE, ""};
    if (check == NULL) {
        problem_set(&problem, "no memory for the result");
        return command_fail(&problem);
    }
    for (int p = 0; p < checking->plan.phase_count; p++) {
        stretches[p] =
            (struct check_stretch){checking->stretch[p].samples, checking->stretch[p].count};
    }
    check_judge(&checking->plan, &checking->placing, stretches, check, &findings);
    say_check(check->words, sizeof check->words, &findings, &checking->placing);
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
    free(check);
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
    if (checking == NULL) {
        link_close(link);
        problem_set(&problem, "no memory for a check");
        return command_fail(&problem);
    }
    checking->options = options;
    checking->words = words;
    checking->problem = &problem;
    checking->shows = isatty(STDERR_FILENO) && link->time_is_arrival;
    checking->by_key = !options->no_prompts && isatty(STDIN_FILENO) && isatty(STDERR_FILENO) &&
                       link->time_is_arrival && !text_equal(options->rig, "-");
    checking->reader = reader_create(link, &decoder, 1, &problem);
    if (checking->reader != NULL) {
        read_all(checking);
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
    free(checking);
    return status;
}

/* ---- arguments ------------------------------------------------------------------------------- */

static const struct option_row option_rows[] = {
    {"json", OPTION_YES, OPTION_INTO(rig_check_options, json)},
    {"no-prompts", OPTION_YES, OPTION_INTO(rig_check_options, no_prompts)},
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
    static const char *const kinds[] = {"rider", "beam", "step", "still"};
    bool known = kind != NULL;
    for (size_t i = 0; !known && words.count > 0 && i < sizeof kinds / sizeof kinds[0]; i++) {
        known = words.word[0].key == NULL && text_equal(words.word[0].value, kinds[i]);
    }
    if (!known) {
        problem_usage(&problem, "check: %s%s%s: rider, beam, step or still",
                      words.count > 0 ? "'" : "say which",
                      words.count > 0 ? words.word[0].value : "",
                      words.count > 0 ? "' is none of" : "");
        return command_fail(&problem);
    }
    return run_check(&options, &words);
}
