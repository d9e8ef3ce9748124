/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/decoder.h"

#include "base/text.h"
#include "rig/decimal.h"
#include "rig/dialect.h"
#include "rig/frame_layout.h"
#include "rig/plain_words.h"

#include <stdlib.h>
#include <string.h>

/* The dialects, in the order in which they are asked. */
static const struct dialect *const dialects[] = {
    &dialect_framed, /* only where its layout is said */
    &dialect_bench_line,     &dialect_xdr_sentence,  &dialect_senml,
    &dialect_readings_table, &dialect_plain_numbers,
};
#define DIALECT_COUNT (sizeof dialects / sizeof dialects[0])

struct decoder {
    struct decoder_options options;
    struct rig_info info;
    struct decoder_counts counts;
    const struct dialect *dialect; /* NULL: not recognised yet, lines are held */
    void *state;
    struct held_lines *held;
    char line_feed, carriage_return; /* or what ends a line in their places */
    char part[DECODER_LINE_MAX];     /* the beginning of a line whose end has not come */
    size_t part_length;
    bool part_is_too_long;
    bool next_may_be_cut;
    struct problem contradiction; /* for good, once the stream contradicts what was said of it */
};

const char *reject_reason_text(enum reject_reason reason)
{
    static const char *const words[] = {
        [REJECT_CHECKSUM] = "wrong checksum",
        [REJECT_TOO_LONG] = "line too long",
        [REJECT_NOT_A_LINE] = "not a line of this dialect",
        [REJECT_BAD_NUMBER] = "no number where one should be",
        [REJECT_FIELD_COUNT] = "wrong number of fields",
        [REJECT_OUT_OF_RANGE] = "number too large",
        [REJECT_STALE] = "old line",
        [REJECT_WRONG_TIME] = "wrong time",
    };
    return words[reason];
}

/* 'head=3,chest=5', '3,5': each item says a column. */
static bool columns_are_sound(const char *columns, struct problem *problem)
{
    struct span rest = {columns, strlen(columns)}, item;
    while (columns[0] != '\0' && span_next_field(&rest, ',', &item)) {
        item = span_trim(item);
        if (item.length == 0 || item.text[item.length - 1] == '=') {
            return problem_usage(problem, "--columns=%s: say a column for each, as head=3,chest=5",
                                 columns);
        }
    }
    return true;
}

bool decoder_options_sound(const struct decoder_options *options, struct problem *problem)
{
    static const char *const time_units[] = {"", "us", "ms", "s", "iso"};
    bool known = options->dialect[0] == '\0';
    for (size_t i = 0; i < DIALECT_COUNT; i++) {
        known = known || text_equal(options->dialect, dialects[i]->name);
    }
    if (!known) {
        char names[128] = "";
        size_t used = 0;
        for (size_t i = 0; i < DIALECT_COUNT; i++) {
            text_append(names, sizeof names, &used, "%s%s", i > 0 ? ", " : "", dialects[i]->name);
        }
        return problem_usage(problem, "no dialect is called '%s': there are %s", options->dialect,
                             names);
    }
    uint8_t more_decimals;
    const char *unit = options->unit;
    if (unit[0] != '\0' &&
        plain_unit_tenths(span_between(unit, unit + strlen(unit)), &more_decimals) == 0) {
        return problem_usage(problem,
                             "'%s' is no unit of length here: mm, cm, m, in, ft, um or ft-in",
                             options->unit);
    }
    if (!columns_are_sound(options->columns, problem)) {
        return false;
    }
    struct frame_layout layout;
    if (options->layout[0] != '\0' && !frame_layout_read(options->layout, &layout, problem)) {
        return false;
    }
    if (strlen(options->line_end) > 1) {
        return problem_usage(problem, "--line-end wants one character, as ';', not '%s'",
                             options->line_end);
    }
    known = false;
    for (size_t i = 0; i < sizeof time_units / sizeof time_units[0]; i++) {
        known = known || text_equal(options->time_unit, time_units[i]);
    }
    if (!known) {
        return problem_usage(problem, "'%s' is no unit of time here: us, ms, s or iso",
                             options->time_unit);
    }
    if (!(options->no_echo >= 0 && options->no_echo < 1e9)) {
        return problem_usage(problem, "the value for 'no echo' must be a number over 0");
    }
    return true;
}

struct decoder *decoder_create(const struct decoder_options *options, struct problem *problem)
{
    static const struct decoder_options nothing_said;
    const struct decoder_options *said = options != NULL ? options : &nothing_said;
    if (!decoder_options_sound(said, problem)) {
        return NULL;
    }
    size_t state_size = 1;
    for (size_t i = 0; i < DIALECT_COUNT; i++) {
        state_size = dialects[i]->state_size > state_size ? dialects[i]->state_size : state_size;
    }
    struct decoder *decoder = calloc(1, sizeof *decoder);
    void *state = calloc(1, state_size);
    struct held_lines *held = calloc(1, sizeof *held);
    if (decoder == NULL || state == NULL || held == NULL) {
        free(decoder);
        free(state);
        free(held);
        problem_set(problem, "there is no memory for a decoder");
        return NULL;
    }
    decoder->options = *said;
    decoder->line_feed = '\n';
    decoder->carriage_return = '\r';
    if (said->layout[0] != '\0') {
        struct frame_layout layout;
        frame_layout_read(said->layout, &layout, NULL); /* it is sound */
        decoder->line_feed = decoder->carriage_return = frame_end(layout.framing);
    } else if (said->line_end[0] != '\0') {
        decoder->carriage_return = said->line_end[0];
    }
    decoder->state = state;
    decoder->held = held;
    return decoder;
}

void decoder_destroy(struct decoder *decoder)
{
    if (decoder != NULL) {
        free(decoder->state);
        free(decoder->held);
        free(decoder);
    }
}

/* The dialect that the held lines are of; NULL when that cannot be told yet. */
static const struct dialect *recognise(const struct decoder *decoder, bool last)
{
    const struct dialect *likely = NULL;
    for (size_t i = 0; i < DIALECT_COUNT; i++) {
        const char *named = decoder->options.dialect;
        if (named[0] != '\0' && !text_equal(named, dialects[i]->name)) {
            continue;
        }
        switch (dialects[i]->recognise(decoder->held, &decoder->options, last)) {
        case RECOGNITION_SURE:
            return dialects[i];
        case RECOGNITION_MAYBE:
            likely = likely == NULL ? dialects[i] : likely;
            break;
        case RECOGNITION_NO:
            break;
        }
    }
    return last ? likely : NULL;
}

/* Decides by the held lines, if it can or must, and takes them. */
static bool settle(struct decoder *decoder, struct dialect_output *output, bool last)
{
    struct held_lines *held = decoder->held;
    const struct dialect *dialect = recognise(decoder, last);
    if (dialect == NULL) {
        for (int i = 0; last && i < held->count; i++) {
            bool comment = held->bytes[held->line[i].start] == '#';
            (void)(comment ? dialect_skip(output) : dialect_reject(output, REJECT_NOT_A_LINE));
        }
        held->count = last ? 0 : held->count;
        held->used = last ? 0 : held->used;
        return true;
    }
    if (!dialect->begin(decoder->state, held, &decoder->options, &decoder->info, output->problem)) {
        return false;
    }
    decoder->dialect = dialect;
    text_copy(decoder->info.dialect, sizeof decoder->info.dialect, dialect->name);
    for (int i = 0; i < held->count; i++) {
        output->end_byte = held->line[i].end_byte;
        if (!dialect->take(decoder->state, output, held->bytes + held->line[i].start,
                           held->line[i].length)) {
            return false;
        }
    }
    return true;
}

static bool hold(struct decoder *decoder, struct dialect_output *output, const char *line,
                 size_t length)
{
    struct held_lines *held = decoder->held;
    held->line[held->count].start = held->used;
    held->line[held->count].length = length;
    held->line[held->count].end_byte = output->end_byte;
    memcpy(held->bytes + held->used, line, length);
    held->used += length;
    held->count++;
    bool full = held->count == HELD_LINES_MAX || held->used + DECODER_LINE_MAX > HELD_BYTES_MAX;
    return settle(decoder, output, full);
}

static bool take_line(struct decoder *decoder, struct dialect_output *output, const char *line,
                      size_t length)
{
    decoder->counts.lines++;
    if (length > DECODER_LINE_MAX) {
        decoder->next_may_be_cut = false;
        return dialect_reject(output, REJECT_TOO_LONG);
    }
    output->may_be_cut = decoder->next_may_be_cut;
    decoder->next_may_be_cut = false;
    if (decoder->dialect == NULL) {
        return hold(decoder, output, line, length);
    }
    return decoder->dialect->take(decoder->state, output, line, length);
}

static void keep_part(struct decoder *decoder, const char *bytes, size_t length)
{
    size_t room = sizeof decoder->part - decoder->part_length;
    size_t taken = length < room ? length : room;
    memcpy(decoder->part + decoder->part_length, bytes, taken);
    decoder->part_length += taken;
    decoder->part_is_too_long = decoder->part_is_too_long || taken < length;
}

static bool take_part(struct decoder *decoder, struct dialect_output *output)
{
    size_t length = decoder->part_is_too_long ? DECODER_LINE_MAX + 1 : decoder->part_length;
    decoder->part_length = 0;
    decoder->part_is_too_long = false;
    return take_line(decoder, output, decoder->part, length);
}

static const char *find(const char *at, const char *end, char character)
{
    const char *found = memchr(at, character, (size_t)(end - at));
    return found != NULL ? found : end;
}

/* The problem stays for whoever asks again. */
static bool contradict(struct decoder *decoder, const struct problem *found,
                       struct problem *problem)
{
    decoder->contradiction = *found;
    if (problem != NULL) {
        *problem = *found;
    }
    return false;
}

static struct dialect_output output_for(struct decoder *decoder, raw_sample_sink *sink,
                                        void *context, struct problem *found)
{
    struct dialect_output output = {
        &decoder->info, &decoder->counts, sink, context, 0, false, found,
    };
    return output;
}

bool decoder_feed(struct decoder *decoder, const char *bytes, size_t length, raw_sample_sink *sink,
                  void *context, struct problem *problem)
{
    if (decoder->contradiction.kind != PROBLEM_NONE) {
        return contradict(decoder, &decoder->contradiction, problem);
    }
    struct problem found = {PROBLEM_NONE, ""};
    struct dialect_output output = output_for(decoder, sink, context, &found);
    const char *at = bytes;
    const char *end = bytes + length;
    /* Either of CR and LF ends a line; the empty line between the two of a pair is none. Each
     * search goes on only when its last find has been passed. */
    const char *line_feed = find(at, end, decoder->line_feed);
    const char *carriage_return = find(at, end, decoder->carriage_return);
    uint64_t bytes_before = decoder->counts.bytes;
    decoder->counts.bytes += length;
    while (at < end) {
        line_feed = line_feed < at ? find(at, end, decoder->line_feed) : line_feed;
        carriage_return =
            carriage_return < at ? find(at, end, decoder->carriage_return) : carriage_return;
        const char *stop = line_feed < carriage_return ? line_feed : carriage_return;
        if (stop == end) {
            keep_part(decoder, at, (size_t)(end - at));
            break;
        }
        bool fine = true;
        output.end_byte = bytes_before + (uint64_t)(stop - bytes) + 1;
        if (decoder->part_length > 0) {
            keep_part(decoder, at, (size_t)(stop - at));
            fine = take_part(decoder, &output);
        } else if (stop > at) {
            fine = take_line(decoder, &output, at, (size_t)(stop - at));
        }
        if (!fine) {
            return contradict(decoder, &found, problem);
        }
        at = stop + 1;
    }
    return true;
}

bool decoder_finish(struct decoder *decoder, raw_sample_sink *sink, void *context,
                    struct problem *problem)
{
    if (decoder->contradiction.kind != PROBLEM_NONE) {
        return contradict(decoder, &decoder->contradiction, problem);
    }
    struct problem found = {PROBLEM_NONE, ""};
    struct dialect_output output = output_for(decoder, sink, context, &found);
    output.end_byte = decoder->counts.bytes;
    if (decoder->part_length > 0 && !take_part(decoder, &output)) {
        return contradict(decoder, &found, problem);
    }
    decoder->held->ended = true;
    if (decoder->dialect == NULL && !settle(decoder, &output, true)) {
        return contradict(decoder, &found, problem);
    }
    if (decoder->dialect != NULL && decoder->dialect->finish != NULL) {
        decoder->dialect->finish(decoder->state, &output);
    }
    return true;
}

void decoder_resynchronise(struct decoder *decoder)
{
    decoder->part_length = 0;
    decoder->part_is_too_long = false;
    decoder->next_may_be_cut = true;
}

void decoder_forget(struct decoder *decoder)
{
    uint64_t bytes = decoder->counts.bytes;
    if (decoder->dialect != NULL) {
        return;
    }
    decoder->held->count = 0;
    decoder->held->used = 0;
    decoder->counts = (struct decoder_counts){.bytes = bytes};
    decoder_resynchronise(decoder);
    decoder->next_may_be_cut = false; /* it is not taken for a line of the first ones anyhow */
}

const struct rig_info *decoder_info(const struct decoder *decoder)
{
    return &decoder->info;
}

const struct decoder_counts *decoder_counts(const struct decoder *decoder)
{
    return &decoder->counts;
}
