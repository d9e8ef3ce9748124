/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "script_runner_inside.h"

#include "app/links.h"
#include "app/results.h"
#include "base/clock.h"
#include "base/memory.h"
#include "base/text.h"
#include "base/words.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#define SCRIPT_LINE_SIZE 4096
#define SCRIPT_SIZE_MAX (16 << 20)

/* 'session WALL seed=N' as the first line; else now and a seed of the clock. */
static bool read_origin(const char *text, struct session_origin *origin, struct problem *problem)
{
    struct words words;
    int64_t started_us = 0, seed = 0;
    if (!words_split(text, &words, problem)) {
        return false;
    }
    const char *seed_text = words_value(&words, "seed");
    if (words.count < 2 || words.word[1].key != NULL ||
        !clock_parse_us(words.word[1].value, strlen(words.word[1].value), &started_us)) {
        return problem_set(problem, "session: say its start as 2026-01-10T18:00:00Z");
    }
    if (seed_text != NULL && (!text_to_int64(seed_text, &seed) || seed < 0)) {
        return problem_set(problem, "seed: '%s' is no whole number from 0", seed_text);
    }
    origin->wall_ms = started_us / 1000;
    origin->seed = (uint64_t)seed;
    return true;
}

static bool is_session_line(const char *text)
{
    struct words words;
    return words_split(text, &words, NULL) && words.count > 0 && words.word[0].key == NULL &&
           text_equal(words.word[0].value, "session");
}

static bool is_blank(const char *text)
{
    struct words words;
    return words_split(text, &words, NULL) && words.count == 0;
}

static bool start(struct script_runner *runner, const struct session_origin *origin,
                  struct problem *problem)
{
    const char *store = runner->options->store_path;
    store = store == NULL || runner->options->dry ? ":memory:" : store;
    const struct store_watch watch = {progress_tell, runner->options->progress};
    runner->recorder = recorder_create_synchronous(
        store, runner->options->progress != NULL ? &watch : NULL, problem);
    if (runner->recorder == NULL) {
        return false;
    }
    runner->session = session_create(origin, script_runner_on_effect, runner);
    if (runner->session == NULL) {
        return problem_set(problem, "no memory for a session");
    }
    if (runner->options->rig == NULL) {
        return true;
    }
    struct decoder_options decoder = runner->options->decoder;
    struct link *link = links_open(runner->options->rig, &decoder, problem);
    if (link == NULL) {
        return false;
    }
    runner->rig = runner->source = reader_create(link, &decoder, 1, problem);
    return runner->rig != NULL;
}

static void fill_result(struct script_runner *runner, int64_t started_us,
                        struct script_runner_result *result)
{
    result->samples = runner->last_number;
    result->lost = runner->lost;
    result->rejected = runner->rejected;
    if (runner->rig != NULL) {
        for (int i = 0; i < REJECT_REASONS; i++) {
            result->rejected += (int64_t)reader_counts(runner->rig)->rejected[i];
        }
    }
    result->holds = session_records(runner->session)->hold_count;
    result->stream_s = (double)runner->last_time_us / 1e6;
    result->elapsed_s = (double)(clock_monotonic_us() - started_us) / 1e6;
}

/* Words that nothing knows are found before anything is recorded. */
static bool look_through(const struct script_runner *runner, const char *script,
                         struct problem *problem)
{
    char line[SCRIPT_LINE_SIZE];
    bool first = true;
    int number = 1;
    for (const char *next = script; *next != '\0'; number++) {
        size_t length = strcspn(next, "\n");
        if (length < sizeof line) { /* a longer one is refused when it comes */
            memcpy(line, next, length);
            line[length] = '\0';
            if (!script_runner_knows(line, first, problem)) {
                problem_prefix(problem, "%s:%d", runner->options->script_name, number);
                problem->kind = PROBLEM_FAILED;
                return false;
            }
            first = first && is_blank(line);
        }
        next += length + (next[length] == '\n' ? 1 : 0);
    }
    return true;
}

static bool run_lines(struct script_runner *runner, char *script, struct problem *problem)
{
    int number = 0;
    char *next = script;
    while (next != NULL && *next != '\0') {
        char *line = next;
        next = strchr(line, '\n');
        if (next != NULL) {
            *next++ = '\0';
        }
        number++;
        bool done = true;
        if (runner->session == NULL) {
            struct session_origin origin = {clock_wall_ms(), (uint64_t)clock_monotonic_us()};
            if (is_blank(line)) {
                continue;
            }
            bool named = is_session_line(line);
            done =
                (!named || read_origin(line, &origin, problem)) && start(runner, &origin, problem);
            if (done && named) {
                continue;
            }
        }
        done = done && script_runner_step(runner, line, problem) && memory_sufficed(0, problem);
        if (!done) {
            problem_prefix(problem, "%s:%d", runner->options->script_name, number);
            problem->kind =
                PROBLEM_FAILED; /* the program was used rightly, whatever the script says */
            return false;
        }
    }
    if (runner->session != NULL && session_waits_for_go(runner->session)) {
        problem_set(problem, "%s ends while a check waits for 'check go'",
                    runner->options->script_name);
        problem->kind = PROBLEM_FAILED;
        return false;
    }
    return true;
}

static bool keep_results(const struct script_runner *runner, struct problem *problem)
{
    const char *store = runner->options->store_path;
    return store == NULL || runner->options->dry || runner->session == NULL ||
           results_keep(store, session_records(runner->session), session_analysis(runner->session),
                        problem);
}

bool script_run(const char *script, const struct script_runner_options *options,
                struct script_runner_result *result, struct problem *problem)
{
    struct script_runner runner = {.options = options};
    int64_t started_us = clock_monotonic_us();
    char *copy = strdup(script);
    bool done = copy != NULL && session_reports_start(&runner.reports);
    if (!done) {
        problem_set(problem, "no memory for the script");
    }
    done = done && look_through(&runner, copy, problem) && run_lines(&runner, copy, problem);
    if (done && runner.session == NULL) {
        done = problem_set(problem, "%s: an empty script", options->script_name);
    }
    if (runner.session != NULL && !session_records(runner.session)->ended) {
        session_command(runner.session, "end", NULL);
    }
    done = done && script_runner_start_recording(&runner, problem);
    if (runner.session != NULL) {
        fill_result(&runner, started_us, result);
    }
    if (runner.recorder != NULL) {
        struct problem unsaved = {0};
        if (!recorder_finish(runner.recorder, &unsaved) && done) {
            *problem = unsaved;
            done = false;
        }
        recorder_destroy(runner.recorder);
        done = done && keep_results(&runner, problem);
    }
    reader_destroy(runner.rig);
    session_destroy(runner.session);
    session_reports_end(&runner.reports);
    free(runner.pending.sample);
    free(runner.early);
    free(copy);
    return done;
}

char *script_read(const char *path, struct problem *problem)
{
    FILE *file = text_equal(path, "-") ? stdin : fopen(path, "rb");
    char *text = NULL;
    size_t used = 0, size = 0;
    if (file == NULL) {
        problem_set(problem, "%s: %s", path, strerror(errno));
        return NULL;
    }
    for (;;) {
        if (size - used < 4096) {
            size = size == 0 ? 65536 : size * 2;
            char *larger = size <= SCRIPT_SIZE_MAX ? realloc(text, size) : NULL;
            if (larger == NULL) {
                problem_set(problem, "%s: too large for a script", path);
                free(text);
                text = NULL;
                break;
            }
            text = larger;
        }
        size_t got = fread(text + used, 1, size - used - 1, file);
        used += got;
        text[used] = '\0';
        if (got == 0) {
            if (ferror(file)) {
                problem_set(problem, "%s: %s", path, strerror(errno));
                free(text);
                text = NULL;
            } else if (memchr(text, '\0', used) != NULL) {
                problem_set(problem, "%s: a NUL byte: this is no script", path);
                free(text);
                text = NULL;
            }
            break;
        }
    }
    if (file != stdin) {
        fclose(file);
    }
    return text;
}
