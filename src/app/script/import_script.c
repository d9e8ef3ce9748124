/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/import_script.h"

#include "app/links.h"
#include "base/clock.h"
#include "base/fnv.h"
#include "base/text.h"
#include "base/words.h"
#include "measure/rules.h"
#include "record/record.h"
#include "rig/reader.h"
#include "say/rig.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#define READ_TIMEOUT_MS 1000

struct import_script {
    struct decoder_options decoder;
    char *lines, *text;
    size_t used, room;
    int holds;
    char rig[4200];
    int64_t first_file_ms; /* when the first file's recording began, as far as its own date tells */
    bool failed;
    /* those there are in the files, and those of which it was said where they are fixed */
    int channels, sensors;
    char channel[4 * CHANNELS_MAX][CHANNEL_NAME_SIZE], sensor[CHANNELS_MAX][CHANNEL_NAME_SIZE];
    uint64_t readings;           /* of all files, as one number */
    uint64_t of_hold[HOLDS_MAX]; /* of each hold's file alone */
};

struct import_script *import_script_create(const struct decoder_options *decoder)
{
    struct import_script *script = calloc(1, sizeof *script);
    if (script != NULL) {
        script->decoder = *decoder;
        script->readings = FNV_START;
    }
    return script;
}

void import_script_destroy(struct import_script *script)
{
    if (script != NULL) {
        free(script->lines);
        free(script->text);
        free(script);
    }
}

void import_script_decoder(struct import_script *script, const struct decoder_options *decoder)
{
    script->decoder = *decoder;
}

static bool add_line(struct import_script *script, const char *line, struct problem *problem)
{
    size_t length = strlen(line);
    if (script->used + length + 2 > script->room) {
        size_t room = script->room * 2 + length + 4096;
        char *larger = realloc(script->lines, room);
        if (larger == NULL) {
            return problem_set(problem, "no memory for the script");
        }
        script->lines = larger;
        script->room = room;
    }
    memcpy(script->lines + script->used, line, length);
    script->used += length;
    script->lines[script->used++] = '\n';
    script->lines[script->used] = '\0';
    return true;
}

bool import_script_line(struct import_script *script, const char *word, const char *rest,
                        struct problem *problem)
{
    char line[COMMAND_TEXT_SIZE];
    struct words words;
    int length = snprintf(line, sizeof line, "%s%s%s", word, word[0] != '\0' ? " " : "", rest);
    if (length >= (int)sizeof line || strchr(rest, '\n') != NULL) {
        return problem_usage(problem, "'%.40s...' is no line of a script", rest);
    }
    if (!words_split(line, &words, problem)) {
        return false;
    }
    size_t name = strcspn(rest, " ");
    if (text_equal(word, "sensor") && rest[0] != '"' && name < CHANNEL_NAME_SIZE &&
        script->sensors < CHANNELS_MAX) {
        snprintf(script->sensor[script->sensors++], CHANNEL_NAME_SIZE, "%.*s", (int)name, rest);
    }
    return add_line(script, line, problem);
}

static bool has_channel(const struct import_script *script, const char *name)
{
    bool found = false;
    for (int c = 0; c < script->channels; c++) {
        found = found || text_equal(script->channel[c], name);
    }
    return found;
}

static void note_channels(struct import_script *script, const struct rig_info *info)
{
    for (int c = 0; c < info->channel_count; c++) {
        if (!has_channel(script, info->channel_name[c]) && script->channels < 4 * CHANNELS_MAX) {
            text_copy(script->channel[script->channels++], CHANNEL_NAME_SIZE,
                      info->channel_name[c]);
        }
    }
}

void import_script_channels(const struct import_script *script, char *names, size_t size)
{
    size_t used = 0;
    names[0] = '\0';
    for (int c = 0; c < script->channels; c++) {
        text_append(names, size, &used, "%s%s", c > 0 ? ", " : "", script->channel[c]);
    }
}

/* A sensor's place of a channel that no file has would count for nothing. */
static bool sensors_are_there(const struct import_script *script, struct problem *problem)
{
    for (int s = 0; s < script->sensors; s++) {
        if (!has_channel(script, script->sensor[s])) {
            char list[300];
            import_script_channels(script, list, sizeof list);
            return problem_usage(problem,
                                 "--sensor '%s ...': no file has that channel; there is %s",
                                 script->sensor[s], list);
        }
    }
    return true;
}

/* ---- how long a stream is -------------------------------------------------------------------- */

struct span_seen {
    int64_t first_us, last_us;
    uint64_t samples;
    uint64_t readings, own; /* with those of the files before, and alone */
};

static void add_reading(struct span_seen *seen, uint64_t number)
{
    seen->readings = fnv_add_whole(seen->readings, number);
    seen->own = fnv_add_whole(seen->own, number);
}

static void on_sample(void *context, const struct sample *sample)
{
    struct span_seen *seen = context;
    if (seen->samples++ == 0) {
        seen->first_us = sample->time_us;
    }
    seen->last_us = sample->time_us;
    add_reading(seen, (uint64_t)sample->time_us);
    for (int c = 0; c < CHANNELS_MAX; c++) {
        add_reading(seen, (uint64_t)sample->range_tenth_mm[c]);
    }
}

static bool look_through(struct import_script *script, const char *file, const char *rate,
                         struct span_seen *seen, char finding[SAY_SIZE], struct problem *problem)
{
    char spec[4200];
    int length = snprintf(spec, sizeof spec, "file:%s?speed=max%s%s", file,
                          rate != NULL ? "&rate=" : "", rate != NULL ? rate : "");
    if (length >= (int)sizeof spec) {
        return problem_set(problem, "the path of a stream is too long");
    }
    struct decoder_options decoder = script->decoder;
    struct link *link = links_open(spec, &decoder, problem);
    struct reader *reader = link != NULL ? reader_create(link, &decoder, 1, problem) : NULL;
    if (reader == NULL) {
        return false;
    }
    enum link_result result = LINK_BYTES;
    while (result != LINK_END && result != LINK_FAILED) {
        result = reader_step(reader, READ_TIMEOUT_MS, on_sample, seen, problem);
    }
    bool assumed = reader_link(reader)->rate_is_assumed && !reader_info(reader)->has_rig_time;
    note_channels(script, reader_info(reader));
    if (!say_rig_finding(finding, SAY_SIZE, RIG_CLOCK_JUMPED, reader_health(reader),
                         reader_counts(reader), 0)) {
        finding[0] = '\0';
    }
    reader_destroy(reader);
    if (result != LINK_FAILED && assumed && seen->samples > 0) {
        return problem_set(problem,
                           "%s says neither time nor rate: say how many readings a second it has, "
                           "as --rate 50",
                           file);
    }
    if (result == LINK_FAILED) {
        return problem_prefix(problem, "%s", file);
    }
    return seen->samples >= 2 ||
           problem_set(problem,
                       "%s: no readings in it ('holdline listen %s' says what was rejected)", file,
                       file);
}

/* One recording as two holds would count twice. */
static bool is_new(struct import_script *script, const char *file, uint64_t readings,
                   struct problem *problem)
{
    for (int h = 0; h < script->holds; h++) {
        if (script->of_hold[h] == readings) {
            return problem_usage(problem,
                                 "%s: its readings are those of hold %d: say each recording once",
                                 file, h + 1);
        }
    }
    if (script->holds == HOLDS_MAX) {
        return problem_set(problem, "no more than %d holds in a session", HOLDS_MAX);
    }
    script->of_hold[script->holds] = readings;
    return true;
}

bool import_script_hold(struct import_script *script, const char *file, const char *rate,
                        double seconds, bool guided, char finding[SAY_SIZE], bool *left_out,
                        struct problem *problem)
{
    struct span_seen seen = {.readings = script->readings, .own = FNV_START};
    struct stat status;
    char line[COMMAND_TEXT_SIZE], quoted[2 * WORD_SIZE], length_text[64];
    const int channels = script->channels;
    *left_out = false;
    if (script->rig[0] != '\0') {
        return problem_usage(problem,
                             "%s: a table of readings is a session of its own: import it "
                             "alone",
                             file);
    }
    if (text_equal(file, "-")) {
        return problem_usage(problem, "import: a stream is read twice: save standard input first");
    }
    if (!look_through(script, file, rate, &seen, finding, problem)) {
        return false;
    }
    /* the last interval is left out: the hold ends with a reading there is */
    double span_s = (double)(seen.last_us - seen.first_us) / 1e6;
    double hold_s = floor((span_s - span_s / (double)(seen.samples - 1)) * 100.0) / 100.0;
    hold_s = isfinite(seconds) ? fmin(hold_s, seconds) : hold_s;
    if (hold_s < HOLD_LEAST_S || hold_s > HOLD_MOST_S) {
        *left_out = hold_s < HOLD_LEAST_S;
        script->channels = *left_out ? channels : script->channels;
        return problem_set(problem,
                           "%s is %.1f s long: a hold has 5 s to 8 h (--seconds takes its "
                           "beginning; a stream without time of its own wants --rate)",
                           file, span_s);
    }
    if (!is_new(script, file, seen.own, problem)) {
        return false;
    }
    script->readings = seen.readings;
    if (script->holds++ == 0 && stat(file, &status) == 0) {
        script->first_file_ms = (int64_t)status.st_mtime * 1000 - (int64_t)(span_s * 1e3);
    }
    words_quote(quoted, sizeof quoted, file);
    text_from_double_shortest(length_text, sizeof length_text, hold_s);
    int used = snprintf(line, sizeof line, "hold %ss %s settle=0s from=%s%s%s", length_text,
                        guided ? "guided" : "free", quoted, rate != NULL ? " rate=" : "",
                        rate != NULL ? rate : "");
    return (used < (int)sizeof line || problem_set(problem, "%s: too long a name", file)) &&
           add_line(script, line, problem);
}

static bool add_readings_line(void *context, const char *line, struct problem *problem)
{
    return add_line(context, line, problem);
}

bool import_script_readings(struct import_script *script, const char *file, bool with_heights,
                            struct readings_found *found, struct problem *problem)
{
    struct span_seen seen = {.readings = script->readings, .own = FNV_START};
    struct stat status;
    char finding[SAY_SIZE]; /* the table's times go forward only */
    if (script->holds > 0) {
        return problem_usage(problem,
                             "%s: a table of readings is a session of its own: import it "
                             "alone",
                             file);
    }
    if (!readings_script_lines(file, with_heights, add_readings_line, script, found, problem) ||
        !look_through(script, file, NULL, &seen, finding, problem)) {
        return false;
    }
    if ((int64_t)seen.samples != found->last_sample) {
        return problem_set(
            problem,
            "%s: its last sample is number %" PRId64 ", and %" PRIu64
            " can be read: rows or times are wrong ('holdline listen %s' counts them)",
            file, found->last_sample, seen.samples, file);
    }
    script->readings = seen.readings;
    script->holds = found->captures;
    if (stat(file, &status) == 0) {
        script->first_file_ms =
            (int64_t)status.st_mtime * 1000 - (seen.last_us - seen.first_us) / 1000;
    }
    return snprintf(script->rig, sizeof script->rig, "file:%s?speed=max", file) <
               (int)sizeof script->rig ||
           problem_set(problem, "%s: too long a name", file);
}

const char *import_script_rig(const struct import_script *script)
{
    return script->rig[0] != '\0' ? script->rig : NULL;
}

uint64_t import_script_seed(const struct import_script *script)
{
    /* ten digits are enough to tell recordings apart that were copied in the same second */
    return script->readings % 10000000000u;
}

bool import_script_has_hold(const struct import_script *script)
{
    return script->holds > 0;
}

const char *import_script_text(struct import_script *script, int64_t started_ms, int64_t seed,
                               struct problem *problem)
{
    char started[CLOCK_TEXT_SIZE];
    if (script->holds == 0) {
        problem_usage(problem, "import: say the recorded streams, a file for each hold");
        return NULL;
    }
    if (!sensors_are_there(script, problem)) {
        return NULL;
    }
    clock_wall_text(started, started_ms >= 0 ? started_ms : script->first_file_ms);
    size_t size = script->used + 256;
    free(script->text);
    script->text = malloc(size);
    if (script->text == NULL) {
        problem_set(problem, "no memory for the script");
        return NULL;
    }
    uint64_t own = seed >= 0 ? (uint64_t)seed : import_script_seed(script);
    snprintf(script->text, size, "session %s seed=%" PRIu64 "\n%send\n", started, own,
             script->lines);
    return script->text;
}

void import_script_line_text(const char *text, int number, char *line, size_t size)
{
    for (int i = 1; i < number && text != NULL; i++) {
        text = strchr(text, '\n');
        text = text != NULL ? text + 1 : NULL;
    }
    snprintf(line, size, "%.*s", text != NULL ? (int)strcspn(text, "\n") : 0,
             text != NULL ? text : "");
}
