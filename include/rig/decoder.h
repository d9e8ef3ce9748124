/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_DECODER_H
#define HOLDLINE_RIG_DECODER_H

#include "base/problem.h"
#include "rig/sample.h"

#include <stddef.h>
#include <stdint.h>

/* Bytes to samples. Takes any garbage, never blocks, never allocates per line, counts what it
 * rejects by reason. One table of dialects (src/rig/decoder.c): a new dialect is one file and one
 * row. */

enum reject_reason {
    REJECT_CHECKSUM,
    REJECT_TOO_LONG,   /* cut at DECODER_LINE_MAX, resynchronised at the next line end */
    REJECT_NOT_A_LINE, /* not of the dialect */
    REJECT_BAD_NUMBER,
    REJECT_FIELD_COUNT,
    REJECT_OUT_OF_RANGE, /* a number beyond what can be kept (ranges: 100 km; from 100 m on a
                            reading is kept and marked READING_OUT_OF_RANGE, so that the other
                            channels live) */
    REJECT_STALE,        /* before the rig's heading, or sequence already seen */
    REJECT_WRONG_TIME,   /* the reader's: a time that jumps and comes back, or stands still */
    REJECT_REASONS,
};
const char *reject_reason_text(enum reject_reason reason);

#define DECODER_LINE_MAX 512

struct decoder_counts {
    uint64_t bytes;
    uint64_t lines;
    uint64_t samples;
    uint64_t lost; /* by sequence; a decoder alone leaves it 0, reader_counts has it */
    uint64_t
        skipped; /* lines that are fine but carry no reading: comments, headings, other sentences */
    uint64_t rejected[REJECT_REASONS];
};

/* What the person says of the stream; all optional ("" or 0). */
struct decoder_options {
    char dialect[24];  /* 'bench', 'xdr', 'senml', 'readings', 'plain'; "" = recognised from the
                          first lines */
    char columns[256]; /* plain: wanted columns by heading name or number from 1, comma-separated,
                          each as NAME or CHANNEL=NAME ('head=3,chest=5') */
    char unit[8];      /* plain: mm, cm, m, in, um, ft-in; "" = from the heading, else mm where that
                          can be */
    char time_column[64]; /* plain: heading name or number of the time column */
    char time_unit[8]; /* us, ms, s, iso; "" = from the heading, else iso where it looks so, else ms
                        */
    double no_echo;    /* plain: this value in the stream's unit, or more, is no reading; 0 = none
                          (a reading of exactly 0 never is one) */
    char status[96];   /* plain: COLUMN=GOOD, divided by commas; GOOD is a code or word, several
                          divided by '/', or LEAST.. or LEAST..MOST: other readings are doubtful */
    bool hexadecimal;  /* plain: all numbers are, marked or not */
    char line_end[4];  /* the character that ends a line, beside LF and CR; "" = none */
    char layout[192]; /* binary frames: how they are framed and what is in them (rig/frame_layout.h)
                       */
    bool times_only;  /* only when lines come matters, as to a link that plays a recording at its
                         own pace: which of many columns are ranges need not be told */
};

/* A decoded line, before the rig's clock and the numbering. */
struct raw_sample {
    bool has_sequence;
    bool has_rig_time;
    uint64_t sequence;
    int64_t rig_time_us;
    int32_t range_tenth_mm[CHANNELS_MAX];
    uint8_t quality[CHANNELS_MAX];
    uint64_t end_byte; /* place of the line's end in the stream: which read brought it */
};
typedef void raw_sample_sink(void *context, const struct raw_sample *raw);

struct decoder;
/* Can the options that were said be, whatever comes (dialect, units, columns)? */
bool decoder_options_sound(const struct decoder_options *options, struct problem *problem);
/* NULL with a problem on options that can't be. */
struct decoder *decoder_create(const struct decoder_options *options, struct problem *problem);
void decoder_destroy(struct decoder *decoder);

/* Calls sink for each line decoded. False only when the stream contradicts what the person said (a
 * column that is not there: the sentence lists those there are). */
bool decoder_feed(struct decoder *decoder, const char *bytes, size_t length, raw_sample_sink *sink,
                  void *context, struct problem *problem);
/* End of the stream: a last line without a line end is taken. */
bool decoder_finish(struct decoder *decoder, raw_sample_sink *sink, void *context,
                    struct problem *problem);
/* The link was taken up again: forget the half line, keep everything else. The next line may have
 * lost its beginning: a dialect without a checksum passes it over. */
void decoder_resynchronise(struct decoder *decoder);

/* What was held is of another speed of the line: nothing of it is lines. Only before the lines are
 * recognised. */
void decoder_forget(struct decoder *decoder);

const struct rig_info *decoder_info(const struct decoder *decoder);
const struct decoder_counts *decoder_counts(const struct decoder *decoder);

#endif
