#include "app/runner.h"

#include "app/carry.h"
#include "app/links.h"
#include "app/outputs.h"
#include "app/recorder.h"
#include "app/rig_teller.h"
#include "base/clock.h"
#include "base/text.h"
#include "base/words.h"
#include "rig/reader.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SCRIPT_SIZE_MAX (16 << 20)
#define READ_TIMEOUT_MS 2000
#define QUIET_READS_MAX 5 /* a rig that says nothing for 10 s */

/* Samples that were decoded and not taken yet: the session must see them one by one. */
struct pending {
    struct sample *sample;
    size_t count, next, capacity;
    bool failed;
};

struct runner {
    const struct runner_options *options;
    struct session *session;
    /* The store is opened first, and written to from the first sample on: a script that fails
     * before has left nothing in it. */
    struct recorder *recorder;
    bool recording;
    struct effect *early;
    size_t early_count, early_capacity;
    struct rig_teller teller;
    struct reader *rig;    /* the session's sensors, or NULL */
    struct reader *source; /* what samples are taken from now */
    struct pending pending;
    int64_t last_number, last_time_us;
    bool told_rig;
    int64_t lost, rejected;
    struct outputs outputs;
};

/* ---- samples -------------------------------------------------------------------------------- */

static void keep_pending(void *context, const struct sample *sample)
{
    struct pending *pending = context;
    if (pending->count == pending->capacity) {
        size_t capacity = pending->capacity == 0 ? 1024 : pending->capacity * 2;
        struct sample *larger = realloc(pending->sample, capacity * sizeof *larger);
        if (larger == NULL) {
            pending->failed = true;
            return;
        }
        pending->sample = larger;
        pending->capacity = capacity;
    }
    pending->sample[pending->count++] = *sample;
}

static bool tell_session_of_rig(struct runner *runner, struct problem *problem)
{
    char line[COMMAND_TEXT_SIZE];
    rig_command_line(line, sizeof line, reader_info(runner->source));
    return session_command(runner->session, line, problem) &&
           rig_teller_command(&runner->teller, runner->session, line, reader_link(runner->source),
                              problem);
}

static void on_effect(void *context, const struct effect *effect)
{
    struct runner *runner = context;
    if (effect->kind == EFFECT_COMMAND) {
        outputs_command(&runner->outputs, &effect->record.command);
    }
    if (runner->recording) {
        recorder_take_effect(runner->recorder, effect);
        return;
    }
    if (runner->early_count == runner->early_capacity) {
        size_t capacity = runner->early_capacity == 0 ? 32 : runner->early_capacity * 2;
        struct effect *larger = realloc(runner->early, capacity * sizeof *larger);
        if (larger == NULL) {
            runner->pending.failed = true;
            return;
        }
        runner->early = larger;
        runner->early_capacity = capacity;
    }
    runner->early[runner->early_count++] = *effect;
}

/* What came before the first sample is written at once: a session that is in the store already is
 * told of now, not when all is done. */
static bool start_recording(struct runner *runner, struct problem *problem)
{
    if (runner->recording) {
        return true;
    }
    runner->recording = true;
    for (size_t i = 0; i < runner->early_count; i++) {
        recorder_take_effect(runner->recorder, &runner->early[i]);
    }
    return recorder_flush(runner->recorder, problem);
}

static bool take_sample(struct runner *runner, const struct sample *sample, struct problem *problem)
{
    if (!start_recording(runner, problem)) {
        return false;
    }
    if (!runner->told_rig) {
        if (!tell_session_of_rig(runner, problem)) {
            return false;
        }
        runner->told_rig = true;
    }
    runner->last_number = sample->number;
    runner->last_time_us = sample->time_us;
    runner->lost += sample->lost_before;
    if (!recorder_take_sample(runner->recorder, sample) &&
        !recorder_flush(runner->recorder, problem)) {
        return false;
    }
    session_sample(runner->session, sample);
    return rig_teller_samples(&runner->teller, runner->session, reader_link(runner->source),
                              problem);
}

#define TELL_SAMPLES 64

/* False when the person wants it to end. */
static bool go_on(const struct runner *runner, struct problem *problem)
{
    return runner->options->progress == NULL || runner->last_number % TELL_SAMPLES != 0 ||
           progress_tell(runner->options->progress, (double)NAN) ||
           problem_set(problem, "stopped; what was taken until then is kept");
}

/* The next sample of the source. *ended at the end of a file. */
static bool next_sample(struct runner *runner, bool *ended, struct problem *problem)
{
    struct pending *pending = &runner->pending;
    int quiet = 0;
    *ended = false;
    if (!go_on(runner, problem)) {
        return false;
    }
    while (pending->next == pending->count) {
        pending->next = pending->count = 0;
        switch (reader_step(runner->source, READ_TIMEOUT_MS, keep_pending, pending, problem)) {
        case LINK_END:
            if (pending->count == 0) {
                *ended = true;
                return true;
            }
            break;
        case LINK_FAILED:
            return false;
        case LINK_QUIET:
        case LINK_DOWN:
            if (runner->options->progress != NULL &&
                !progress_tell(runner->options->progress, (double)NAN)) {
                return problem_set(problem, "stopped; what was taken until then is kept");
            }
            if (++quiet >= QUIET_READS_MAX) {
                return problem_set(problem, "%s says nothing", reader_link(runner->source)->name);
            }
            break;
        case LINK_BYTES:
        case LINK_UP:
            break;
        }
        if (pending->failed) {
            return problem_set(problem, "no memory for the samples");
        }
    }
    return take_sample(runner, &pending->sample[pending->next++], problem);
}

static bool in_progress(const struct runner *runner)
{
    enum view_phase phase = session_phase(runner->session);
    return phase == VIEW_SETTLING || phase == VIEW_HOLD || phase == VIEW_TARGET ||
           phase == VIEW_PLATE || phase == VIEW_CHECK;
}

/* Takes samples until the hold, target or plate in progress is over. */
static bool run_activity(struct runner *runner, bool from_file, struct problem *problem)
{
    while (in_progress(runner)) {
        bool ended = false;
        if (!next_sample(runner, &ended, problem)) {
            return false;
        }
        if (ended) {
            if (!from_file) {
                return problem_set(problem, "the stream ended before the hold was over");
            }
            return session_command(runner->session, "stop", problem);
        }
    }
    return true;
}

static bool wait_seconds(struct runner *runner, double seconds, struct problem *problem)
{
    int64_t until_us = runner->last_time_us + (int64_t)(seconds * 1e6);
    while (runner->last_time_us < until_us) {
        bool ended = false;
        if (!next_sample(runner, &ended, problem)) {
            return false;
        }
        if (ended) {
            return problem_set(problem, "the stream ended while waiting");
        }
    }
    return true;
}

/* ---- streams from files --------------------------------------------------------------------- */

static const char *const stream_keys[] = {"from",      "columns", "unit",    "rate", "time_column",
                                          "time_unit", "no_echo", "dialect", NULL};

static bool is_stream_key(const char *key)
{
    for (int i = 0; key != NULL && stream_keys[i] != NULL; i++) {
        if (text_equal(stream_keys[i], key)) {
            return true;
        }
    }
    return false;
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
}

static bool open_stream(struct runner *runner, const struct words *words, struct problem *problem)
{
    struct decoder_options decoder = runner->options->decoder;
    char spec[1200];
    const char *from = words_value(words, "from");
    const char *rate = words_value(words, "rate");
    const char *no_echo = words_value(words, "no_echo");
    static const struct {
        const char *key;
        size_t offset, size;
    } texts[] = {
        {"columns", offsetof(struct decoder_options, columns), sizeof decoder.columns},
        {"unit", offsetof(struct decoder_options, unit), sizeof decoder.unit},
        {"time_column", offsetof(struct decoder_options, time_column), sizeof decoder.time_column},
        {"time_unit", offsetof(struct decoder_options, time_unit), sizeof decoder.time_unit},
        {"dialect", offsetof(struct decoder_options, dialect), sizeof decoder.dialect},
    };
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        const char *value = words_value(words, texts[i].key);
        if (value != NULL) {
            text_copy((char *)&decoder + texts[i].offset, texts[i].size, value);
        }
    }
    if (no_echo != NULL && !words_number(no_echo, "", &decoder.no_echo, problem)) {
        return false;
    }
    snprintf(spec, sizeof spec, "file:%s?speed=max%s%s", from, rate != NULL ? "&rate=" : "",
             rate != NULL ? rate : "");
    struct link *link = links_open(spec, problem);
    if (link == NULL) {
        return false;
    }
    runner->source = reader_create(link, &decoder, 1, problem);
    if (runner->source == NULL) {
        return false;
    }
    reader_continue_after(runner->source, runner->last_number, runner->last_time_us);
    return true;
}

static void close_stream(struct runner *runner)
{
    const struct decoder_counts *counts = reader_counts(runner->source);
    for (int i = 0; i < REJECT_REASONS; i++) {
        runner->rejected += (int64_t)counts->rejected[i];
    }
    reader_destroy(runner->source);
    runner->source = runner->rig;
    runner->pending.next = runner->pending.count = 0;
    if (runner->rig != NULL) {
        reader_continue_after(runner->rig, runner->last_number, runner->last_time_us);
    }
}

/* ---- steps ---------------------------------------------------------------------------------- */

static bool step_session_command(struct runner *runner, const struct words *words, const char *text,
                                 struct problem *problem)
{
    char line[COMMAND_TEXT_SIZE];
    bool from_file =
        words_value(words, "from") != NULL && !text_equal(words->word[0].value, "setup");
    if (from_file) {
        strip_stream_keys(words, line, sizeof line);
        if (!open_stream(runner, words, problem)) {
            return false;
        }
        text = line;
    }
    struct link *link = runner->source != NULL ? reader_link(runner->source) : NULL;
    bool done = session_command(runner->session, text, problem) &&
                rig_teller_command(&runner->teller, runner->session, text, link, problem);
    if (done && in_progress(runner) && runner->source == NULL) {
        done = problem_set(problem,
                           "'%s' needs readings: name a rig, or a recorded stream with from=FILE",
                           words->word[0].value);
    }
    done = done && run_activity(runner, from_file, problem);
    if (from_file) {
        close_stream(runner);
    }
    return done;
}

static bool step_wait(struct runner *runner, const struct words *words, struct problem *problem)
{
    double seconds = 0.0;
    if (words->count != 2 || words->word[1].key != NULL ||
        !words_number(words->word[1].value, "s", &seconds, problem) || seconds < 0 ||
        seconds > 86400) {
        return problem_set(problem, "wait: say a time, such as 'wait 10s'");
    }
    if (runner->source == NULL) {
        return problem_set(problem, "wait: there is no rig to wait for");
    }
    return wait_seconds(runner, seconds, problem);
}

static bool take_carried(void *context, const char *line, struct problem *problem)
{
    struct runner *runner = context;
    struct link *link = runner->source != NULL ? reader_link(runner->source) : NULL;
    return session_command(runner->session, line, problem) &&
           rig_teller_command(&runner->teller, runner->session, line, link, problem);
}

/* 'carry'; with 'look' at its end what would be taken over is printed. */
static bool step_carry(struct runner *runner, const struct words *words, struct problem *problem)
{
    char told[CARRY_TOLD_SIZE];
    bool done = carry_line(runner->options->store_path, words, runner->session, take_carried,
                           runner, told, sizeof told, problem);
    if (done && runner->options->output != NULL) {
        fputs(told, runner->options->output);
    }
    return done;
}

static bool run_step(struct runner *runner, const char *text, struct problem *problem)
{
    struct words words;
    if (!words_split(text, &words, problem)) {
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
    if (text_equal(word, "compare")) {
        return outputs_compare(&runner->outputs, runner->session, runner->options->output, problem);
    }
    if (text_equal(word, "export")) {
        if (words.count != 2) {
            return problem_set(problem, "export: say a file's name");
        }
        return outputs_export(&runner->outputs, runner->session, words.word[1].value,
                              runner->options->replace_exports, problem);
    }
    if (!session_knows_command(word)) {
        return problem_set(problem, "there is no command '%s'",
                           word[0] != '\0' ? word : words.word[0].key);
    }
    return step_session_command(runner, &words, text, problem);
}

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

static bool start(struct runner *runner, const struct session_origin *origin,
                  struct problem *problem)
{
    const char *store = runner->options->store_path;
    store = store == NULL || runner->options->dry ? ":memory:" : store;
    const struct store_watch watch = {progress_tell, runner->options->progress};
    runner->recorder =
        recorder_create_telling(store, runner->options->progress != NULL ? &watch : NULL, problem);
    if (runner->recorder == NULL) {
        return false;
    }
    runner->session = session_create(origin, on_effect, runner);
    if (runner->session == NULL) {
        return problem_set(problem, "no memory for a session");
    }
    if (runner->options->rig == NULL) {
        return true;
    }
    struct link *link = links_open(runner->options->rig, problem);
    if (link == NULL) {
        return false;
    }
    runner->rig = runner->source = reader_create(link, &runner->options->decoder, 1, problem);
    return runner->rig != NULL;
}

static void fill_result(struct runner *runner, int64_t started_us, struct runner_result *result)
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

static bool run_lines(struct runner *runner, char *script, struct problem *problem)
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
        done = done && run_step(runner, line, problem);
        if (!done) {
            problem_prefix(problem, "%s:%d", runner->options->script_name, number);
            problem->kind =
                PROBLEM_FAILED; /* the program was used rightly, whatever the script says */
            return false;
        }
    }
    return true;
}

bool runner_run(const char *script, const struct runner_options *options,
                struct runner_result *result, struct problem *problem)
{
    struct runner runner = {.options = options};
    int64_t started_us = clock_monotonic_us();
    char *copy = strdup(script);
    bool done = copy != NULL && outputs_start(&runner.outputs);
    if (!done) {
        problem_set(problem, "no memory for the script");
    }
    done = done && run_lines(&runner, copy, problem);
    if (done && runner.session == NULL) {
        done = problem_set(problem, "%s: an empty script", options->script_name);
    }
    if (runner.session != NULL && !session_records(runner.session)->ended) {
        session_command(runner.session, "end", NULL);
    }
    done = done && start_recording(&runner, problem);
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
    }
    reader_destroy(runner.rig);
    session_destroy(runner.session);
    outputs_end(&runner.outputs);
    free(runner.pending.sample);
    free(runner.early);
    free(copy);
    return done;
}

char *runner_read_script(const char *path, struct problem *problem)
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
