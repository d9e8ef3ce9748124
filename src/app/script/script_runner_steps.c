/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "script_runner_inside.h"

#include "app/carry.h"
#include "app/learn.h"
#include "app/links.h"
#include "app/run_lines.h"
#include "base/text.h"
#include "base/words.h"
#include "rig/decoder_options.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>

/* One line of a script: a command of the session, with its samples from a file maybe, or one of the
 * runner's own. */

/* ---- streams from files --------------------------------------------------------------------- */

/* The key in a script of what the command line writes with '-'. */
static void script_key(const char *option, char key[32])
{
    text_copy(key, 32, option);
    for (char *at = key; *at != '\0'; at++) {
        *at = *at == '-' ? '_' : *at;
    }
}

static bool is_stream_key(const char *word)
{
    bool found = word != NULL && (text_equal(word, "from") || text_equal(word, "rate") ||
                                  text_equal(word, "stop_after"));
    for (int i = 0; word != NULL && i < DECODER_OPTIONS; i++) {
        char key[32];
        script_key(decoder_option_rows[i].key, key);
        found = found || text_equal(key, word);
    }
    return found;
}

/* 'hold 60s stop_after=12s': how much of it there is before it is stopped; INFINITY: all. */
static bool read_stop_after(const struct words *words, double *seconds, struct problem *problem)
{
    const char *text = words_value(words, "stop_after");
    *seconds = INFINITY;
    return text == NULL ||
           (words_number(text, "s", seconds, problem) &&
            (*seconds >= 0.0 || problem_set(problem, "'%s' is no time from 0 s", text))) ||
           problem_prefix(problem, "stop_after");
}

/* The line without the words that are the runner's. */
static void strip_stream_keys(const struct words *words, char *line, size_t size)
{
    size_t used = 0;
    line[0] = '\0';
    for (int i = 0; i < words->count; i++) {
        if (is_stream_key(words->word[i].key)) {
            continue;
        }
        char quoted[2 * WORD_SIZE];
        words_quote(quoted, sizeof quoted, words->word[i].value);
        text_append(line, size, &used, "%s%s%s%s", i > 0 ? " " : "",
                    words->word[i].key != NULL ? words->word[i].key : "",
                    words->word[i].key != NULL ? "=" : "", quoted);
    }
    if (text_equal(words->word[0].value, "hold") && words_value(words, "from") != NULL &&
        words_value(words, "sat") == NULL) { /* what was before a recording is not to be seen */
        text_append(line, size, &used, " sat=unknown");
    }
}

static bool open_stream(struct script_runner *runner, const struct words *words,
                        struct problem *problem)
{
    struct decoder_options decoder = runner->options->decoder;
    char spec[1200];
    const char *from = words_value(words, "from");
    const char *rate = words_value(words, "rate");
    for (int i = 0; i < DECODER_OPTIONS; i++) {
        char key[32];
        script_key(decoder_option_rows[i].key, key);
        const char *value = words_value(words, key);
        if (value != NULL &&
            !decoder_option_set(&decoder, decoder_option_rows[i].key, value, problem)) {
            return false;
        }
    }
    snprintf(spec, sizeof spec, "file:%s?speed=max%s%s", from, rate != NULL ? "&rate=" : "",
             rate != NULL ? rate : "");
    struct link *link = links_open(spec, &decoder, problem);
    if (link == NULL) {
        return false;
    }
    runner->source = reader_create(link, &decoder, 1, problem);
    if (runner->source == NULL) {
        return false;
    }
    runner->source_fits = false;
    if (runner->last_number > 0) { /* the first one begins the session's axis, at 0 */
        reader_continue_after(runner->source, runner->last_number, runner->last_time_us);
    }
    return true;
}

/* A hold of readings of which nothing says how far apart they are would be a made-up one. */
static bool rate_is_known(const struct script_runner *runner, struct problem *problem)
{
    const struct link *link = reader_link(runner->source);
    return !link->rate_is_assumed || reader_info(runner->source)->has_rig_time ||
           problem_set(problem,
                       "'%s' says neither time nor rate: say how many readings a second it has, as "
                       "rate=50",
                       link->name);
}

static void close_stream(struct script_runner *runner)
{
    const struct decoder_counts *counts = reader_counts(runner->source);
    for (int i = 0; i < REJECT_REASONS; i++) {
        runner->rejected += (int64_t)counts->rejected[i];
    }
    reader_destroy(runner->source);
    runner->source = runner->rig;
    runner->source_fits = false;
    runner->pending.next = runner->pending.count = 0;
    if (runner->rig != NULL) {
        reader_continue_after(runner->rig, runner->last_number, runner->last_time_us);
    }
}

/* ---- steps ---------------------------------------------------------------------------------- */

static bool step_session_command(struct script_runner *runner, const struct words *words,
                                 const char *text, struct problem *problem)
{
    char line[COMMAND_TEXT_SIZE];
    double stop_after_s = INFINITY;
    bool from_file =
        words_value(words, "from") != NULL && !text_equal(words->word[0].value, "setup");
    if (!read_stop_after(words, &stop_after_s, problem)) {
        return false;
    }
    if (from_file || isfinite(stop_after_s)) {
        strip_stream_keys(words, line, sizeof line);
        text = line;
    }
    if (from_file && !open_stream(runner, words, problem)) {
        return false;
    }
    struct link *link = runner->source != NULL ? reader_link(runner->source) : NULL;
    bool done = session_command(runner->session, text, problem) &&
                rig_teller_command(&runner->teller, runner->session, text, link, problem);
    if (done && script_runner_in_progress(runner) && runner->source == NULL) {
        done = problem_set(problem,
                           "'%s' needs readings: name a rig, or a recorded stream with from=FILE",
                           words->word[0].value);
    }
    done = done && script_runner_finish_activity(runner, from_file, stop_after_s, problem) &&
           (!from_file || rate_is_known(runner, problem));
    if (from_file) {
        close_stream(runner);
    }
    return done;
}

/* 'wait sample=1500': until this one has come, of all since the session's beginning. */
static bool wait_for_sample(struct script_runner *runner, const char *text, struct problem *problem)
{
    int64_t number = 0;
    if (!text_to_int64(text, &number) || number < 1) {
        return problem_set(problem, "wait: '%s' is no number of a sample, from 1", text);
    }
    if (runner->source == NULL) {
        return problem_set(problem, "wait: there is no rig to wait for");
    }
    return script_runner_wait_for(runner, number, problem);
}

static bool step_wait(struct script_runner *runner, const struct words *words,
                      struct problem *problem)
{
    double seconds = 0.0;
    if (words->count == 2 && words_value(words, "sample") != NULL) {
        return wait_for_sample(runner, words_value(words, "sample"), problem);
    }
    if (words->count != 2 || words->word[1].key != NULL ||
        !words_number(words->word[1].value, "s", &seconds, problem) || seconds < 0 ||
        seconds > 86400) {
        return problem_set(problem, "wait: say a time, such as 'wait 10s'");
    }
    if (runner->source == NULL) {
        return problem_set(problem, "wait: there is no rig to wait for");
    }
    return script_runner_wait(runner, seconds, problem);
}

static bool take_carried(void *context, const char *line, struct problem *problem)
{
    struct script_runner *runner = context;
    struct link *link = runner->source != NULL ? reader_link(runner->source) : NULL;
    return session_command(runner->session, line, problem) &&
           rig_teller_command(&runner->teller, runner->session, line, link, problem);
}

/* 'carry'; with 'look' at its end what would be taken over is printed. */
static bool step_carry(struct script_runner *runner, const struct words *words,
                       struct problem *problem)
{
    char sentences[CARRY_SENTENCES_SIZE];
    bool done = carry_line(runner->options->store_path, words, runner->session, take_carried,
                           runner, sentences, sizeof sentences, problem);
    if (done && runner->options->output != NULL) {
        text_write(runner->options->output, sentences);
    }
    return done;
}

/* 'run ... from=FILE': a ride, worked out here, as the session's own lines. */
static bool step_run(struct script_runner *runner, const struct words *words,
                     struct problem *problem)
{
    struct run_lines *lines =
        run_lines_read(words, &session_records(runner->session)->drag, NULL, problem);
    bool done = lines != NULL && run_lines_follow(lines, take_carried, runner, problem);
    if (done && runner->options->output != NULL && run_lines_passed_over(lines)[0] != '\0') {
        text_print(runner->options->output, "%s: passed over: %s\n", words_value(words, "from"),
                   run_lines_passed_over(lines));
    }
    run_lines_close(lines);
    return done;
}

#define LEARN_WAIT_S 0.1

/* 'learn': how holds repeated in the store's earlier sessions. */
static bool step_learn(struct script_runner *runner, struct problem *problem)
{
    char lines[LEARN_LINES_SIZE];
    struct learn_wanted wanted = learn_wanted_by(runner->session);
    if (wanted.channel_count == 0 && runner->source != NULL) { /* the rig says which there are */
        if (!script_runner_wait(runner, LEARN_WAIT_S, problem)) {
            return false;
        }
        wanted = learn_wanted_by(runner->session);
    }
    return learn_read(runner->options->store_path, &wanted, NULL, lines, problem) &&
           learn_follow(lines, runner->session, take_carried, runner, problem);
}

static const char *const own[] = {"wait", "carry", "learn", "compare", "export", NULL};

bool script_runner_knows(const char *text, bool first, struct problem *problem)
{
    struct words words;
    if (!words_split(session_line_alone(text), &words, problem)) {
        return false;
    }
    const char *word = words.count > 0 && words.word[0].key == NULL ? words.word[0].value : "";
    bool known = words.count == 0 || session_knows_command(word);
    for (size_t i = 0; own[i] != NULL; i++) {
        known = known || text_equal(word, own[i]);
    }
    if (text_equal(word, "session")) {
        return first || problem_set(problem, "session: it stands in the first line, or not at all");
    }
    return known || session_no_command(word[0] != '\0' ? word : words.word[0].key, own, problem);
}

bool script_runner_step(struct script_runner *runner, const char *text, struct problem *problem)
{
    struct words words; /* without the 'and' that joins it to the line before */
    if (!words_split(session_line_alone(text), &words, problem)) {
        return false;
    }
    if (words.count == 0) {
        return true;
    }
    const char *word = words.word[0].key == NULL ? words.word[0].value : "";
    if (text_equal(word, "wait")) {
        return step_wait(runner, &words, problem);
    }
    if (text_equal(word, "carry")) {
        return step_carry(runner, &words, problem);
    }
    if (text_equal(word, "learn")) {
        return step_learn(runner, problem);
    }
    if (run_lines_wanted(&words)) {
        return step_run(runner, &words, problem);
    }
    if (text_equal(word, "compare")) {
        return session_reports_compare(&runner->reports, runner->session, runner->options->output,
                                       problem);
    }
    if (text_equal(word, "export")) {
        if (words.count != 2) {
            return problem_set(problem, "export: say a file's name");
        }
        return session_reports_export(&runner->reports, runner->session, words.word[1].value,
                                      runner->options->replace_exports, problem);
    }
    if (!session_knows_command(word)) {
        return session_no_command(word[0] != '\0' ? word : words.word[0].key, own, problem);
    }
    return step_session_command(runner, &words, text, problem);
}
