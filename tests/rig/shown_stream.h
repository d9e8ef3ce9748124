/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_RIG_SHOWN_STREAM_H
#define HOLDLINE_TESTS_RIG_SHOWN_STREAM_H

/* What comes of a stream as a line of text, for tables of streams: the readings of each sample in
 * tenths of a millimetre ('-' missing, '~' doubtful, '!' out of range), with '/' between channels;
 * '@' and milliseconds where the rig has a time. */

#include "base/text.h"
#include "rig/decoding.h"

#define SHOWN_SIZE 1000

static inline void show_samples(const struct decoded *decoded, char shown[SHOWN_SIZE])
{
    size_t used = 0;
    shown[0] = '\0';
    for (size_t i = 0; i < decoded->count; i++) {
        const struct raw_sample *raw = &decoded->sample[i];
        text_append(shown, SHOWN_SIZE, &used, "%s", i > 0 ? " " : "");
        for (int c = 0; c < decoded->info.channel_count; c++) {
            const char *mark = raw->quality[c] == READING_WEAK           ? "~"
                               : raw->quality[c] == READING_OUT_OF_RANGE ? "!"
                                                                         : "";
            text_append(shown, SHOWN_SIZE, &used, "%s%s", c > 0 ? "/" : "", mark);
            if (raw->quality[c] == READING_MISSING) {
                text_append(shown, SHOWN_SIZE, &used, "-");
            } else {
                text_append(shown, SHOWN_SIZE, &used, "%d", (int)raw->range_tenth_mm[c]);
            }
        }
        if (raw->has_rig_time) {
            text_append(shown, SHOWN_SIZE, &used, "@%d", (int)(raw->rig_time_us / 1000));
        }
    }
}

/* A row of such a table. channels NULL: the stream is refused, and shown stands in the sentence. */
struct stream_row {
    const char *what, *stream, *channels, *shown;
    uint64_t rejected, skipped;
    struct decoder_options options;
};

static inline void check_stream(const struct stream_row *row)
{
    char shown[SHOWN_SIZE];
    struct decoded decoded = decode_with(row->stream, &row->options);
    if (row->channels == NULL) {
        ck_assert_msg(!decoded.fine, "%s: not refused", row->what);
        ck_assert_msg(strstr(decoded.problem.sentence, row->shown) != NULL, "%s: %s", row->what,
                      decoded.problem.sentence);
        decoded_free(&decoded);
        return;
    }
    ck_assert_msg(decoded.fine, "%s: %s", row->what, decoded.problem.sentence);
    show_samples(&decoded, shown);
    ck_assert_msg(text_equal(shown, row->shown), "%s: %s", row->what, shown);
    check_channels(&decoded, row->channels);
    ck_assert_msg(decoded_rejected(&decoded) == row->rejected, "%s: %d rejected", row->what,
                  (int)decoded_rejected(&decoded));
    ck_assert_msg(decoded.counts.skipped == row->skipped, "%s: %d skipped", row->what,
                  (int)decoded.counts.skipped);
    decoded_free(&decoded);
}

#endif
