/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fuzz_targets.h"

#include "base/text.h"
#include "rig/decimal.h"
#include "rig/decoder.h"
#include "support/fuzz_clock.h"
#include "support/fuzz_ride.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What came out of a stream. */
struct scanned_port {
    uint64_t samples;
    uint64_t mixed; /* a running mixture of everything in them */
    uint64_t end_byte;
};

static void mix(struct scanned_port *heard, uint64_t value)
{
    heard->mixed = (heard->mixed ^ value) * UINT64_C(1099511628211); /* as FNV-1a does */
}

static void fail(const char *what)
{
    fprintf(stderr, "fuzz: %s\n", what);
    abort();
}

static void hear(void *context, const struct raw_sample *raw)
{
    struct scanned_port *heard = context;
    heard->samples++;
    mix(heard, raw->has_sequence ? raw->sequence : 1);
    mix(heard, raw->has_rig_time ? (uint64_t)raw->rig_time_us : 1);
    mix(heard, raw->end_byte);
    if (raw->end_byte < heard->end_byte) {
        fail("a sample's line ends before the one before it");
    }
    heard->end_byte = raw->end_byte;
    if (raw->has_rig_time &&
        (raw->rig_time_us > INT64_MAX / 4 || raw->rig_time_us < -(INT64_MAX / 4))) {
        fail("a time beyond what can be kept");
    }
    for (int i = 0; i < CHANNELS_MAX; i++) {
        int32_t tenths = raw->range_tenth_mm[i];
        mix(heard, (uint64_t)(uint32_t)tenths << 8 | raw->quality[i]);
        if (raw->quality[i] > READING_OUT_OF_RANGE) {
            fail("no such quality");
        }
        if (tenths > RANGE_KEPT_MAX_TENTH_MM || tenths < -RANGE_KEPT_MAX_TENTH_MM ||
            (raw->quality[i] == READING_MISSING && tenths != 0)) {
            fail("a range that cannot be");
        }
    }
}

static void check_info(const struct rig_info *info)
{
    static const char fit[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-.";
    if (info->channel_count < 0 || info->channel_count > CHANNELS_MAX) {
        fail("a number of channels that cannot be");
    }
    for (int i = 0; i < info->channel_count; i++) {
        size_t length = strnlen(info->channel_name[i], CHANNEL_NAME_SIZE);
        if (length == 0 || length == CHANNEL_NAME_SIZE ||
            strspn(info->channel_name[i], fit) != length) {
            fail("a channel's name that is no key");
        }
    }
    for (const char *at = info->id; *at != '\0'; at++) {
        if ((unsigned char)*at < ' ' || *at == '\x7f') {
            fail("a control character in the rig's name");
        }
    }
    if (!(info->rate_hz >= 0 && info->rate_hz < 1e12)) {
        fail("an announced rate that cannot be");
    }
}

static void check_counts(const struct decoder *decoder, size_t length,
                         const struct scanned_port *heard)
{
    const struct decoder_counts *counts = decoder_counts(decoder);
    uint64_t others = counts->skipped;
    for (int i = 0; i < REJECT_REASONS; i++) {
        others += counts->rejected[i];
    }
    if (counts->bytes != length || counts->samples != heard->samples) {
        fail("bytes or samples are miscounted");
    }
    /* One line is one sample in these; in the others a sample may be spread over lines or a line
     * hold several. */
    const char *dialect = decoder_info(decoder)->dialect;
    bool keyed = false;
    for (int i = 0; i < decoder_info(decoder)->note_count; i++) {
        keyed = keyed || decoder_info(decoder)->note[i].kind == WIRE_KEYED;
    }
    bool one_each = text_equal(dialect, "bench") || (text_equal(dialect, "plain") && !keyed);
    if (one_each ? counts->lines != counts->samples + others : counts->lines < others) {
        fail("a line is neither a sample nor counted");
    }
}

/* most: the most bytes given at once, 0 = all. False: the stream contradicts the options. */
static bool decode(const struct decoder_options *options, const char *bytes, size_t length,
                   size_t most, bool whole, struct scanned_port *heard)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct decoder *decoder = decoder_create(options, &problem);
    memset(heard, 0, sizeof *heard);
    if (decoder == NULL) {
        if (problem.sentence[0] == '\0') {
            fail("options are refused without a sentence");
        }
        return false;
    }
    bool sound = true;
    size_t step = 1;
    for (size_t at = 0; at < length && sound;) {
        size_t part = whole ? length : 1 + step++ * 7919 % most;
        part = part > length - at ? length - at : part;
        sound = decoder_feed(decoder, bytes + at, part, hear, heard, &problem);
        at += part;
    }
    sound = sound && decoder_finish(decoder, hear, heard, &problem);
    check_info(decoder_info(decoder));
    if (sound) {
        check_counts(decoder, length, heard);
    } else if (problem.sentence[0] == '\0') {
        fail("a stream is refused without a sentence");
    }
    decoder_destroy(decoder);
    return sound;
}

static void take_word(char *text, size_t size, char **rest)
{
    char *word = strsep(rest, " ");
    text_copy(text, size, word == NULL || text_equal(word, "-") ? "" : word);
}

/* The first line, when it says options. Returns where the stream begins. */
static size_t read_options(struct decoder_options *options, const char *bytes, size_t length)
{
    char line[200];
    if (length == 0 || bytes[0] != '?') {
        return 0;
    }
    const char *stop = memchr(bytes, '\n', length);
    size_t end = stop != NULL ? (size_t)(stop - bytes) : length;
    size_t taken = end - 1 < sizeof line - 1 ? end - 1 : sizeof line - 1;
    memcpy(line, bytes + 1, taken);
    line[taken] = '\0';
    char *rest = line;
    char number[24];
    take_word(options->columns, sizeof options->columns, &rest);
    take_word(options->unit, sizeof options->unit, &rest);
    take_word(options->time_column, sizeof options->time_column, &rest);
    take_word(options->time_unit, sizeof options->time_unit, &rest);
    take_word(number, sizeof number, &rest);
    if (!text_to_double(number, &options->no_echo)) {
        options->no_echo = 0;
    }
    return stop != NULL ? end + 1 : end;
}

/* Puts the right checksum where an input has '*??', so that what lies behind it is reached. */
static void fill_checksums(char *stream, size_t length)
{
    static const char digits[] = "0123456789ABCDEF";
    size_t start = 0; /* behind the last '$' or line end */
    for (size_t i = 0; i < length; i++) {
        if (stream[i] == '\n' || stream[i] == '$') {
            start = i + 1;
        } else if (i + 3 <= length && memcmp(stream + i, "*??", 3) == 0) {
            unsigned sum = 0;
            for (size_t k = start; k < i; k++) {
                sum ^= (unsigned char)stream[k];
            }
            stream[i + 1] = digits[sum / 16];
            stream[i + 2] = digits[sum % 16];
        }
    }
}

static void run_dialect(const char *dialect, const uint8_t *bytes, size_t length)
{
    struct decoder_options options;
    struct scanned_port whole;
    struct scanned_port parts;
    memset(&options, 0, sizeof options);
    text_copy(options.dialect, sizeof options.dialect, dialect);
    char *stream = malloc(length + 1);
    if (stream == NULL) {
        return;
    }
    size_t begin = read_options(&options, (const char *)bytes, length);
    memcpy(stream, bytes + begin, length - begin);
    fill_checksums(stream, length - begin);
    bool sound = decode(&options, stream, length - begin, 1, true, &whole);
    bool sound_in_parts = decode(&options, stream, length - begin, 23, false, &parts);
    if (sound != sound_in_parts || memcmp(&whole, &parts, sizeof whole) != 0) {
        fail("other samples come out when the stream is cut otherwise");
    }
    free(stream);
}

static void run_bench(const uint8_t *bytes, size_t length)
{
    run_dialect("bench", bytes, length);
}

static void run_xdr(const uint8_t *bytes, size_t length)
{
    run_dialect("xdr", bytes, length);
}

static void run_senml(const uint8_t *bytes, size_t length)
{
    run_dialect("senml", bytes, length);
}

static void run_plain(const uint8_t *bytes, size_t length)
{
    run_dialect("plain", bytes, length);
}

static void run_readings(const uint8_t *bytes, size_t length)
{
    run_dialect("readings", bytes, length);
}

/* Nobody says which dialect it is. */
static void run_unknown(const uint8_t *bytes, size_t length)
{
    run_dialect("", bytes, length);
}

const struct fuzz_target fuzz_targets[] = {
    {"bench", run_bench},       {"xdr", run_xdr},          {"senml", run_senml},
    {"plain", run_plain},       {"unknown", run_unknown},  {"clock", fuzz_clock},
    {"readings", run_readings}, {"ride_table", fuzz_ride}, {"ride_gpx", fuzz_ride},
};
const size_t fuzz_target_count = sizeof fuzz_targets / sizeof fuzz_targets[0];

const struct fuzz_target *fuzz_target_find(const char *name)
{
    for (size_t i = 0; i < fuzz_target_count; i++) {
        if (text_equal(fuzz_targets[i].name, name)) {
            return &fuzz_targets[i];
        }
    }
    return NULL;
}
