/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/wire_look.h"

#include "base/text.h"
#include "measure/rules.h"
#include "rig/auxiliary.h"
#include "rig/dialect.h"
#include "rig/plain_dress.h"
#include "rig/speed_search.h"

#include <stdlib.h>
#include <string.h>

#define BYTES_TO_TELL 32
#define SAMPLES_TO_TELL 4
#define COLUMNS_TRIED 8

/* What comes of bytes when they are read with options. */
struct reading {
    struct rig_info info;
    struct decoder_counts counts;
    struct problem problem;
    uint64_t samples;
    uint64_t plausible[CHANNELS_MAX], good[CHANNELS_MAX];
    int32_t first[CHANNELS_MAX], last[CHANNELS_MAX];
    bool has_last[CHANNELS_MAX], moves[CHANNELS_MAX];
};

static void take(void *context, const struct raw_sample *raw)
{
    struct reading *reading = context;
    reading->samples++;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        int32_t tenths = raw->range_tenth_mm[c];
        if (raw->quality[c] == READING_MISSING || tenths <= 0) {
            continue;
        }
        double mm = tenths / 10.0;
        reading->moves[c] =
            reading->moves[c] || (reading->has_last[c] && tenths != reading->last[c]);
        reading->has_last[c] = true;
        reading->last[c] = tenths;
        reading->good[c]++;
        reading->plausible[c] += mm >= RIDER_RANGE_LEAST_MM && mm <= RIDER_RANGE_MOST_MM ? 1 : 0;
    }
}

static bool read_with(const char *bytes, size_t length, const struct decoder_options *options,
                      struct reading *reading)
{
    memset(reading, 0, sizeof *reading);
    struct decoder *decoder = decoder_create(options, &reading->problem);
    if (decoder == NULL) {
        return false;
    }
    bool fine = decoder_feed(decoder, bytes, length, take, reading, &reading->problem) &&
                decoder_finish(decoder, take, reading, &reading->problem);
    reading->info = *decoder_info(decoder);
    reading->counts = *decoder_counts(decoder);
    decoder_destroy(decoder);
    return fine && reading->samples >= SAMPLES_TO_TELL;
}

/* Do all channels lie where a rider may be, mostly? */
static bool is_plausible(const struct reading *reading)
{
    for (int c = 0; c < reading->info.channel_count; c++) {
        if (reading->good[c] == 0 || 4 * reading->plausible[c] < 3 * reading->good[c]) {
            return false;
        }
    }
    return reading->info.channel_count > 0;
}

/* Nothing says the unit, and in mm no channel lies where a rider may be. */
static bool unit_is_doubtful(const struct reading *reading)
{
    int doubtful = 0, ranges = 0;
    for (int i = 0; i < reading->info.note_count; i++) {
        doubtful += reading->info.note[i].kind == WIRE_UNIT_DOUBTFUL ? 1 : 0;
    }
    for (int c = 0; c < reading->info.channel_count; c++) {
        ranges += auxiliary_of(reading->info.channel_name[c]) < 0 ? 1 : 0;
    }
    return doubtful > 0 && doubtful == ranges;
}

static void show(struct wire_finding *finding, const struct reading *reading)
{
    finding->info = reading->info;
    finding->samples = reading->samples;
    finding->stands_still = reading->samples >= 20;
    for (int c = 0; c < reading->info.channel_count; c++) {
        finding->has_last[c] = reading->has_last[c];
        finding->last_mm[c] = reading->last[c] / 10.0;
        finding->stands_still = finding->stands_still && !reading->moves[c];
    }
}

static bool propose(struct wire_finding *finding, const char *bytes, size_t length,
                    const struct decoder_options *options)
{
    struct reading reading;
    if (!read_with(bytes, length, options, &reading) || !is_plausible(&reading)) {
        return false;
    }
    finding->has_proposal = true;
    finding->proposal = *options;
    show(finding, &reading);
    return true;
}

static bool has_line_ends(const char *bytes, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        if (bytes[i] == '\n' || bytes[i] == '\r') {
            return true;
        }
    }
    return false;
}

static bool propose_line_end(struct wire_finding *finding, const char *bytes, size_t length,
                             const struct decoder_options *said)
{
    static const char ends[] = ";|/\t ,";
    for (const char *end = ends; *end != '\0'; end++) {
        struct decoder_options options = *said;
        options.line_end[0] = *end;
        options.line_end[1] = '\0';
        if (memchr(bytes, *end, length) != NULL && propose(finding, bytes, length, &options)) {
            return true;
        }
    }
    return false;
}

static const char *const units[] = {"cm", "m", "in", "um", "ft"};
#define UNITS (sizeof units / sizeof units[0])

/* All columns in another unit; or those of them that are ranges then, and move. */
static bool propose_unit(struct wire_finding *finding, const char *bytes, size_t length,
                         const struct decoder_options *said)
{
    for (size_t u = 0; u < UNITS; u++) {
        struct decoder_options options = *said;
        text_copy(options.unit, sizeof options.unit, units[u]);
        if (propose(finding, bytes, length, &options)) {
            return true;
        }
    }
    for (size_t u = 0; said->columns[0] == '\0' && u < UNITS; u++) {
        struct decoder_options options = *said;
        size_t used = 0;
        text_copy(options.unit, sizeof options.unit, units[u]);
        for (int column = 1; column <= COLUMNS_TRIED; column++) {
            struct decoder_options one = options;
            struct reading reading;
            size_t at = 0;
            one.columns[0] = '\0';
            text_append(one.columns, sizeof one.columns, &at, "%d", column);
            if (read_with(bytes, length, &one, &reading) && is_plausible(&reading) &&
                reading.moves[0]) {
                text_append(options.columns, sizeof options.columns, &used, "%s%d",
                            used > 0 ? "," : "", column);
            }
        }
        if (options.columns[0] != '\0' && propose(finding, bytes, length, &options)) {
            return true;
        }
    }
    return false;
}

/* The first lines, as the recogniser holds them. */
static void hold_lines(struct held_lines *held, const char *bytes, size_t length)
{
    size_t start = 0;
    memset(held, 0, sizeof *held);
    for (size_t i = 0; i < length && held->count < HELD_LINES_MAX; i++) {
        if (bytes[i] != '\n' && bytes[i] != '\r') {
            continue;
        }
        size_t line = i - start;
        if (line > 0 && line <= DECODER_LINE_MAX && held->used + line <= HELD_BYTES_MAX) {
            memcpy(held->bytes + held->used, bytes + start, line);
            held->line[held->count].start = held->used;
            held->line[held->count].length = line;
            held->count++;
            held->used += line;
        }
        start = i + 1;
    }
}

static bool has_feet(const struct held_lines *held)
{
    int feet = 0;
    for (int i = 0; i < held->count; i++) {
        struct span line = {held->bytes + held->line[i].start, held->line[i].length};
        feet += plain_has_feet(line) ? 1 : 0;
    }
    return held->count > 0 && 2 * feet >= held->count;
}

static bool is_markup(const struct held_lines *held)
{
    int tags = 0;
    for (int i = 0; i < held->count; i++) {
        struct span line = {held->bytes + held->line[i].start, held->line[i].length};
        tags += span_contains(line, "</") || span_contains(line, "/>") ||
                        span_contains(line, "<!doctype") || span_contains(line, "<?xml")
                    ? 1
                    : 0;
    }
    return 4 * tags >= held->count && tags > 0;
}

/* Five and more pairs of hexadecimal figures: the bytes of a frame, written out. */
static bool is_byte_dump(struct span line)
{
    size_t pairs = 0, figures = 0;
    for (size_t i = 0; i <= line.length; i++) {
        char here = i < line.length ? line.text[i] : ' ';
        if (strchr("0123456789abcdefABCDEF", here) != NULL && here != '\0') {
            figures++;
        } else if (strchr(" :,-\t", here) != NULL && here != '\0' &&
                   (figures == 2 || figures == 0)) {
            pairs += figures == 2 ? 1 : 0;
            figures = 0;
        } else {
            return false;
        }
    }
    return pairs >= 5;
}

static bool are_byte_dumps(const struct held_lines *held)
{
    int dumps = 0;
    for (int i = 0; i < held->count; i++) {
        struct span line = {held->bytes + held->line[i].start, held->line[i].length};
        dumps += is_byte_dump(line) ? 1 : 0;
    }
    return plain_are_hexadecimal(held) && 10 * dumps >= 9 * held->count;
}

/* Why no readings come of text with lines in it. */
static void look_at_lines(struct wire_finding *finding, const char *bytes, size_t length,
                          const struct decoder_options *said)
{
    struct decoder_options options = *said;
    struct held_lines *held = calloc(1, sizeof *held);
    if (held == NULL) {
        return;
    }
    hold_lines(held, bytes, length);
    if (is_markup(held)) {
        finding->cause = WIRE_MARKUP;
    } else if (are_byte_dumps(held)) {
        finding->cause = WIRE_BYTES_IN_FIGURES;
    } else if (plain_are_hexadecimal(held)) {
        finding->cause = WIRE_UNMARKED_HEXADECIMAL;
        options.hexadecimal = true;
        (void)(propose(finding, bytes, length, &options) ||
               propose_unit(finding, bytes, length, &options));
    } else if (has_feet(held) && said->unit[0] == '\0') {
        finding->cause = WIRE_FEET;
        text_copy(options.unit, sizeof options.unit, "ft-in");
        propose(finding, bytes, length, &options);
    } else if (finding->problem.kind != PROBLEM_NONE) {
        bool unit = said->unit[0] == '\0' && propose_unit(finding, bytes, length, said);
        finding->cause = unit ? WIRE_UNIT : WIRE_COLUMNS;
    } else if (finding->counts.rejected[REJECT_CHECKSUM] * 2 > finding->counts.lines) {
        finding->cause = WIRE_CHECKSUMS;
    } else {
        finding->cause = held->count < 8 ? WIRE_TOO_FEW : WIRE_WORDS;
    }
    free(held);
}

/* Every second byte is nought, and nine of ten of the others are letters and line ends of ASCII: so
 * some programs save text (The Unicode Standard, 3.10, UTF-16). */
static bool are_two_bytes(const char *bytes, size_t length)
{
    size_t zeros[2] = {0, 0}, letters[2] = {0, 0};
    for (size_t i = 0; i < length; i++) {
        char byte = bytes[i];
        zeros[i % 2] += byte == '\0';
        letters[i % 2] +=
            (byte >= ' ' && byte <= '~') || byte == '\n' || byte == '\r' || byte == '\t';
    }
    size_t half = length / 2, high = zeros[0] > zeros[1] ? 0 : 1;
    return length >= BYTES_TO_TELL && 10 * zeros[high] >= 9 * half &&
           10 * letters[1 - high] >= 9 * half;
}

void wire_look(const char *bytes, size_t length, const struct decoder_options *said,
               struct wire_finding *finding)
{
    static const struct decoder_options nothing_said;
    const struct decoder_options *options = said != NULL ? said : &nothing_said;
    struct reading reading;
    memset(finding, 0, sizeof *finding);
    finding->cause = length == 0 ? WIRE_NO_BYTES : WIRE_TOO_FEW;
    if (length == 0) {
        return;
    }
    bool reads = read_with(bytes, length, options, &reading);
    finding->problem = reading.problem;
    finding->counts = reading.counts;
    if (reads) {
        show(finding, &reading);
        finding->cause = unit_is_doubtful(&reading) ? WIRE_UNIT : WIRE_READS;
        if (finding->cause == WIRE_UNIT) {
            propose_unit(finding, bytes, length, options);
        }
    } else if (are_two_bytes(bytes, length)) {
        finding->cause = WIRE_TWO_BYTES;
    } else if (speed_search_is_no_text(bytes, length)) {
        finding->cause = WIRE_NO_TEXT;
    } else if (length >= 4 * BYTES_TO_TELL && !has_line_ends(bytes, length)) {
        finding->cause = WIRE_NO_LINE_ENDS;
        propose_line_end(finding, bytes, length, options);
    } else if (length >= BYTES_TO_TELL) {
        look_at_lines(finding, bytes, length, options);
    }
}
