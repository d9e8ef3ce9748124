/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/bare_numbers.h"
#include "app/commands.h"
#include "app/decoder_arguments.h"
#include "app/links.h"
#include "base/json.h"
#include "base/numbers.h"
#include "base/text.h"
#include "measure/hold.h"
#include "measure/rules.h"
#include "measure/statistics.h"
#include "report/json_parts.h"
#include "rig/reader.h"
#include "rig/speed_search.h"
#include "say/rig.h"
#include "say/say.h"
#include "say/wire.h"

#include <getopt.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* holdline measure FILE: the measures of one recorded stream, without a store. */

struct stream {
    double *time_s;
    double *value_mm[CHANNELS_MAX];
    uint8_t *valid[CHANNELS_MAX];
    size_t count, capacity;
    uint64_t lost;
    int channels;
    struct rig_health health;
    struct decoder_counts counts;
    bool begins_as_text;
    double
        assumed_rate_hz; /* nothing says the rate: the time axis is made of this; 0 = it is not */
    bool failed;
};

static bool grow(struct stream *stream)
{
    size_t capacity = stream->capacity == 0 ? 4096 : stream->capacity * 2;
    double *time_s = realloc(stream->time_s, capacity * sizeof *time_s);
    if (time_s == NULL) {
        return false;
    }
    stream->time_s = time_s;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        double *values = realloc(stream->value_mm[c], capacity * sizeof *values);
        if (values == NULL) {
            return false;
        }
        stream->value_mm[c] = values;
        uint8_t *valid = realloc(stream->valid[c], capacity);
        if (valid == NULL) {
            return false;
        }
        stream->valid[c] = valid;
    }
    stream->capacity = capacity;
    return true;
}

static void stream_free(struct stream *stream)
{
    free(stream->time_s);
    for (int c = 0; c < CHANNELS_MAX; c++) {
        free(stream->value_mm[c]);
        free(stream->valid[c]);
    }
}

static void on_sample(void *context, const struct sample *sample)
{
    struct stream *stream = context;
    if (stream->failed || (stream->count == stream->capacity && !grow(stream))) {
        stream->failed = true;
        return;
    }
    size_t i = stream->count++;
    stream->time_s[i] = (double)sample->time_us / 1e6;
    stream->lost += sample->lost_before;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        stream->value_mm[c][i] = (double)sample->range_tenth_mm[c] / 10.0;
        stream->valid[c][i] = sample->quality[c] == READING_GOOD;
    }
}

/* Of a program or a picture some bytes read as lines of numbers, too. */
static bool is_recording(const struct stream *stream, const char *file, struct problem *problem)
{
    uint64_t rejected = stream->health.rejected;
    const char *name = text_equal(file, "-") ? "standard input" : file;
    if (stream->count == 0) {
        return problem_set(problem,
                           "%s: no readings in it (holdline listen says what was rejected)", name);
    }
    return 2 * rejected <= stream->counts.lines || stream->begins_as_text ||
           problem_set(problem,
                       "%s: no recording of readings: it is no text, and %llu of its %llu lines "
                       "make no sense (of binary frames: --layout)",
                       name, (unsigned long long)rejected,
                       (unsigned long long)stream->counts.lines);
}

static bool read_stream(const char *file, const char *rate, const struct decoder_options *decoder,
                        struct stream *stream, struct rig_info *info, struct problem *problem)
{
    char spec[4200];
    bool standard_input = text_equal(file, "-");
    snprintf(spec, sizeof spec, "%s%s?speed=max%s%s", standard_input ? "" : "file:", file,
             rate != NULL ? "&rate=" : "", rate != NULL ? rate : "");
    struct decoder_options said = *decoder;
    struct link *link = links_open(spec, &said, problem);
    struct reader *reader = link != NULL ? reader_create(link, &said, 1, problem) : NULL;
    if (reader == NULL) {
        return false;
    }
    enum link_result result = LINK_BYTES;
    while (result != LINK_END && result != LINK_FAILED) {
        result = reader_step(reader, 1000, on_sample, stream, problem);
    }
    *info = *reader_info(reader);
    stream->health = *reader_health(reader);
    stream->counts = *reader_counts(reader);
    stream->channels = info->channel_count;
    size_t length = 0;
    const char *first = reader_first(reader, &length);
    stream->begins_as_text = !speed_search_is_no_text(first, length);
    const struct link *opened = reader_link(reader);
    stream->assumed_rate_hz =
        opened->rate_is_assumed && !info->has_rig_time ? opened->stated_rate_hz : 0;
    reader_destroy(reader);
    if (result == LINK_FAILED) {
        return problem_prefix(problem, "%s", file);
    }
    if (stream->failed) {
        return problem_set(problem, "%s: no memory for its samples", file);
    }
    return is_recording(stream, file, problem);
}

static void summarise(const struct stream *stream, const struct rig_info *info, int channel,
                      bool raw, struct hold_summary *summary)
{
    struct hold_input input = {
        .time_s = stream->time_s,
        .height_mm = stream->value_mm[channel],
        .valid = stream->valid[channel],
        .count = stream->count,
        .lost = stream->lost,
        .duration_s = stream->time_s[stream->count - 1] - stream->time_s[0],
        .rate_hz = info->rate_hz,
    };
    struct hold_settings settings;
    memset(&settings, 0, sizeof settings);
    settings.raw = raw;
    hold_summarise(&input, &settings, summary);
}

/* Raw: mean and SD with all their digits. */
static void print_text(const char *name, const struct hold_summary *s, bool raw)
{
    char number[32], robust[32];
    text_print(stdout, "%s\n", name);
    if (s->status != MEASURE_OK) {
        printf("  %s\n", measure_status_sentence(s->status));
        return;
    }
    printf("  readings      %zu, valid %.1f %%, rejected %zu, longest gap %.2f s, %.2f a second\n",
           s->readings, 100.0 * s->valid_share, s->outliers, s->longest_gap_s,
           s->effective_rate_hz);
    printf("  kept          %.1f s, from %.1f s on%s\n", s->kept_s, s->cut_start_s,
           s->not_settled ? " (had not settled)" : "");
    printf(raw ? "  mean          %.15g mm" : "  mean          %.2f mm", s->mean_mm);
    if (s->has_interval) {
        printf(" ±%.2f (95 %%, within this stretch; effective n %.1f)", s->mean_half_width_mm,
               s->effective_n);
    } else {
        printf(" (no interval: not enough data)");
    }
    printf(raw ? "\n  SD            %.15g mm" : "\n  SD            %.3f mm", s->sd_mm);
    printf(", 5 to 95 %%: %.1f to %.1f, all: %.1f to %.1f\n", s->quantile_05_mm, s->quantile_95_mm,
           s->minimum_mm, s->maximum_mm);
    if (isfinite(s->steadiness_mm)) {
        printf("  steadiness    %.2f mm RMS about the mean\n", s->steadiness_mm);
    }
    if (s->has_spectrum) {
        printf("  of it         slow %.2f, breathing %.2f, pedalling %.2f mm RMS\n", s->rms_slow_mm,
               s->rms_breathing_mm, s->rms_pedalling_mm);
    }
    if (s->has_creep) {
        say_signed(number, sizeof number, s->creep_mm_per_min, 2);
        say_signed(robust, sizeof robust, s->creep_robust_mm_per_min, 2);
        printf("  creep         %s ±%.2f mm a minute (robust %s)%s%s\n", number,
               s->creep_half_width_mm_per_min, robust, s->creep_flagged ? ", flagged" : "",
               s->drifting ? ", drifting" : "");
    }
    if (s->stepped) {
        say_signed(number, sizeof number, s->step_mm, 1);
        printf("  step          %s mm at %.0f s: sensor or body?\n", number, s->step_at_s);
    }
}

static void print_json(struct json_writer *json, const char *name, const struct hold_summary *s)
{
    bool good = s->status == MEASURE_OK;
    json_object_begin(json);
    json_member_string(json, "channel", name);
    json_member_string(json, "outcome", good ? "ok" : measure_status_sentence(s->status));
    json_hold_measures(json, s, false);
    json_object_end(json);
}

/* Down to the list of channels. What is NaN is not told. */
static void begin_json(struct json_writer *json, const char *dialect, size_t samples, uint64_t lost,
                       double assumed_rate_hz, double autocorrelation)
{
    json_document_begin(json, stdout, true, "holdline-measures", 1);
    json_member_string(json, "dialect", dialect);
    json_member_integer(json, "samples", (int64_t)samples);
    json_member_integer(json, "lost", (int64_t)lost);
    json_member_number(json, "assumed_rate_hz", assumed_rate_hz);
    json_member_number(json, "autocorrelation_lag_1", autocorrelation);
    json_array_member(json, "channels");
}

/* A list of numbers, raw: one channel without a name. */
static void print_numbers(const struct bare_numbers *list, double rate_hz, bool as_json)
{
    struct hold_summary summary;
    struct json_writer json;
    double lag_1 = NAN;
    bare_numbers_summarise(list, rate_hz, &summary);
    statistics_autocorrelation(list->value, list->count, &lag_1);
    if (!as_json) {
        print_text("numbers", &summary, true);
        return;
    }
    begin_json(&json, "numbers", list->count, 0, NAN, lag_1);
    print_json(&json, "numbers", &summary);
    json_array_end(&json);
    json_array_member(&json, "doubts");
    json_array_end(&json);
    json_object_end(&json);
}

/* --raw of a file of nothing but numbers. False when it is something else. */
static bool measure_numbers(const char *file, const char *rate, bool as_json,
                            struct problem *problem)
{
    struct bare_numbers list;
    double rate_hz = RATE_UNKNOWN_HZ;
    bool numbers = bare_numbers_read(file, &list, problem);
    if (numbers && rate != NULL &&
        (!text_to_double(rate, &rate_hz) || rate_hz < RATE_LEAST_HZ || rate_hz > RATE_MOST_HZ)) {
        problem_usage(problem, "measure: --rate wants 0.001 to 100000 a second, not '%s'", rate);
    } else if (numbers) {
        print_numbers(&list, rate_hz, as_json);
    }
    bare_numbers_free(&list);
    return numbers;
}

/* What a person should look at before the numbers are believed: how the lines were taken, and how
 * the rig did. With a writer: into its list. */
static void tell_doubts(const struct stream *stream, const struct rig_info *info,
                        struct json_writer *json)
{
    char sentence[2 * SAY_SIZE];
    for (int i = 0; i < info->note_count + RIG_FINDINGS; i++) {
        bool there = i < info->note_count;
        if (there) {
            say_wire_note(sentence, sizeof sentence, &info->note[i], info);
        } else {
            there =
                say_rig_finding(sentence, sizeof sentence, (enum rig_finding)(i - info->note_count),
                                &stream->health, &stream->counts, stream->assumed_rate_hz);
        }
        if (there && json != NULL) {
            json_string(json, sentence);
        } else if (there) {
            text_print(stdout, "! %s\n", sentence);
        }
    }
}

static void print_all(const struct stream *stream, const struct rig_info *info, bool raw,
                      bool as_json)
{
    struct json_writer json;
    if (as_json) {
        begin_json(&json, info->dialect, stream->count, stream->lost,
                   stream->assumed_rate_hz > 0 ? stream->assumed_rate_hz : (double)NAN, NAN);
    } else {
        tell_doubts(stream, info, NULL);
    }
    for (int c = 0; c < stream->channels; c++) {
        struct hold_summary summary;
        char name[4 * CHANNEL_NAME_SIZE];
        text_escape(name, sizeof name, info->channel_name[c], strlen(info->channel_name[c]));
        summarise(stream, info, c, raw, &summary);
        if (as_json) {
            print_json(&json, name, &summary);
        } else {
            print_text(name, &summary, raw);
        }
    }
    if (as_json) {
        json_array_end(&json);
        json_array_member(&json, "doubts");
        tell_doubts(stream, info, &json);
        json_array_end(&json);
        json_object_end(&json);
    }
}

struct wanted {
    struct decoder_options decoder;
    const char *rate;
    bool raw, json;
};

static const struct option_row option_rows[] = {
    {"raw", OPTION_YES, OPTION_INTO(wanted, raw)},
    {"json", OPTION_YES, OPTION_INTO(wanted, json)},
    {"rate", OPTION_TEXT, OPTION_INTO(wanted, rate)},
};

static int run(int argc, char **argv)
{
    struct problem problem = {0};
    struct wanted wanted = {.rate = NULL};
    struct stream stream;
    struct rig_info info;
    const struct option_set sets[] = {
        OPTION_SET(option_rows, &wanted), DECODER_OPTION_SET(&wanted.decoder), {NULL, 0, NULL}};
    memset(&stream, 0, sizeof stream);
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    if (argc - optind != 1) {
        problem_usage(&problem, "measure: say one recorded stream");
        return command_fail(&problem);
    }
    const struct decoder_options *decoder = &wanted.decoder;
    bool told = decoder->dialect[0] != '\0' || decoder->columns[0] != '\0' ||
                decoder->unit[0] != '\0' || decoder->no_echo > 0;
    if (wanted.raw && !told && measure_numbers(argv[optind], wanted.rate, wanted.json, &problem)) {
        return problem.kind != PROBLEM_NONE ? command_fail(&problem)
               : fflush(stdout) == 0        ? EXIT_SUCCESS
                                            : EXIT_FAILURE;
    }
    if (problem.kind != PROBLEM_NONE) {
        return command_fail(&problem);
    }
    bool done = read_stream(argv[optind], wanted.rate, decoder, &stream, &info, &problem);
    if (done) {
        print_all(&stream, &info, wanted.raw, wanted.json);
    }
    stream_free(&stream);
    if (!done) {
        return command_fail(&problem);
    }
    return fflush(stdout) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

const struct command command_measure = {
    .name = "measure",
    .summary = "the measures of one recorded stream, without a store",
    .usage = "holdline measure FILE [options]\n"
             "Takes a recorded stream ('-': standard input) as one hold and prints its measures, "
             "in the\n"
             "stream's own ranges (no bike, no heights).\n"
             "  --raw            readings as they are: no outlier rejection, no cutting; a file of "
             "nothing\n"
             "                   but numbers, one a line, with all their digits, 0 and negative "
             "ones too\n"
             "  --rate HZ        for streams that carry no time of their own\n"
             "  --json           for programs\n" DECODER_USAGE,
    .run = run,
};
