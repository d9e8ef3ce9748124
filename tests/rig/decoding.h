/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_RIG_DECODING_H
#define HOLDLINE_TESTS_RIG_DECODING_H

/* A stream decoded into memory, for the tests of decoders. */

#include "rig/decoder.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct decoded {
    struct raw_sample *sample;
    size_t count, room;
    struct decoder_counts counts;
    struct rig_info info;
    bool fine;
    struct problem problem;
};

static inline void decoded_keep(void *context, const struct raw_sample *raw)
{
    struct decoded *decoded = context;
    if (decoded->count == decoded->room) {
        decoded->room = decoded->room == 0 ? 1024 : decoded->room * 2;
        decoded->sample = realloc(decoded->sample, decoded->room * sizeof *decoded->sample);
        ck_assert_ptr_nonnull(decoded->sample);
    }
    decoded->sample[decoded->count++] = *raw;
}

/* chunk: bytes a feed; 0 = all at once. */
static inline struct decoded decode_bytes(const char *bytes, size_t length, size_t chunk,
                                          const struct decoder_options *options)
{
    struct decoded decoded;
    memset(&decoded, 0, sizeof decoded);
    struct decoder *decoder = decoder_create(options, &decoded.problem);
    ck_assert_msg(decoder != NULL, "%s", decoded.problem.sentence);
    decoded.fine = true;
    chunk = chunk == 0 ? length + 1 : chunk;
    for (size_t at = 0; at < length && decoded.fine; at += chunk) {
        size_t part = length - at < chunk ? length - at : chunk;
        decoded.fine =
            decoder_feed(decoder, bytes + at, part, decoded_keep, &decoded, &decoded.problem);
    }
    decoded.fine =
        decoded.fine && decoder_finish(decoder, decoded_keep, &decoded, &decoded.problem);
    decoded.counts = *decoder_counts(decoder);
    decoded.info = *decoder_info(decoder);
    decoder_destroy(decoder);
    return decoded;
}

static inline struct decoded decode_text(const char *text)
{
    return decode_bytes(text, strlen(text), 0, NULL);
}

static inline struct decoded decode_with(const char *text, const struct decoder_options *options)
{
    return decode_bytes(text, strlen(text), 0, options);
}

/* A whole file, read in pieces; fails the test when it cannot be read. */
static inline struct decoded decode_file(const char *path, const struct decoder_options *options)
{
    FILE *file = fopen(path, "rb");
    ck_assert_msg(file != NULL, "%s", path);
    fseek(file, 0, SEEK_END);
    long length = ftell(file);
    rewind(file);
    char *bytes = malloc((size_t)length + 1);
    ck_assert_ptr_nonnull(bytes);
    ck_assert_uint_eq(fread(bytes, 1, (size_t)length, file), (size_t)length);
    fclose(file);
    struct decoded decoded = decode_bytes(bytes, (size_t)length, 4093, options);
    free(bytes);
    return decoded;
}

static inline uint64_t decoded_rejected(const struct decoded *decoded)
{
    uint64_t rejected = 0;
    for (int i = 0; i < REJECT_REASONS; i++) {
        rejected += decoded->counts.rejected[i];
    }
    return rejected;
}

/* The channels' names, in their order, separated by blanks. */
static inline void check_channels(const struct decoded *decoded, const char *names)
{
    char found[CHANNELS_MAX * (CHANNEL_NAME_SIZE + 1)] = "";
    size_t length = 0;
    for (int i = 0; i < decoded->info.channel_count; i++) {
        length += (size_t)snprintf(found + length, sizeof found - length, i > 0 ? " %s" : "%s",
                                   decoded->info.channel_name[i]);
    }
    ck_assert_str_eq(found, names);
}

static inline void decoded_free(struct decoded *decoded)
{
    free(decoded->sample);
}

/* '$' body '*' checksum, computed byte by byte. */
static inline const char *bench_line_of(const char *body)
{
    static char line[600];
    unsigned sum = 0;
    for (const char *at = body; *at != '\0'; at++) {
        sum ^= (unsigned char)*at;
    }
    snprintf(line, sizeof line, "$%s*%02X\n", body, sum);
    return line;
}

#endif
