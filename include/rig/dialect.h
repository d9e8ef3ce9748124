/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_DIALECT_H
#define HOLDLINE_RIG_DIALECT_H

#include "base/problem.h"
#include "rig/decoder.h"
#include "rig/sample.h"
#include "rig/span.h"

/* What a dialect of the wire is to the decoder: one file and one row in the table of
 * src/rig/decoder.c. A line is bytes without their line end, not ended by a NUL, at most
 * DECODER_LINE_MAX long, any garbage. */

/* The first lines, none of them empty, kept until a dialect says they are its own; then they are
 * taken in order. */
#define HELD_LINES_MAX 64
#define HELD_BYTES_MAX 16384
struct held_lines {
    int count;
    size_t used;
    bool ended; /* the stream has: no more lines will come */
    struct {
        size_t start, length;
        uint64_t end_byte;
    } line[HELD_LINES_MAX];
    char bytes[HELD_BYTES_MAX];
};

enum recognition {
    RECOGNITION_NO,
    RECOGNITION_MAYBE, /* taken when nobody is sure and no more lines may be waited for */
    RECOGNITION_SURE,
};

/* Where a dialect leaves what it made of a line. */
struct dialect_output {
    struct rig_info *info;
    struct decoder_counts *counts;
    raw_sample_sink *sink;
    void *context;
    uint64_t end_byte;
    bool may_be_cut; /* the line's beginning may have been lost */
    struct problem *problem;
};

struct dialect {
    const char *name;
    size_t state_size;
    /* last: no more lines can be held, this is all there is to decide by. */
    enum recognition (*recognise)(const struct held_lines *held,
                                  const struct decoder_options *options, bool last);
    /* Begins with the lines held still to come through take. False on a stream that contradicts the
     * options. */
    bool (*begin)(void *state, const struct held_lines *held, const struct decoder_options *options,
                  struct rig_info *info, struct problem *problem);
    /* One line: emits samples, or counts it as skipped or rejected. */
    bool (*take)(void *state, struct dialect_output *output, const char *line, size_t length);
    /* The end of the stream; NULL where nothing is kept from line to line. */
    void (*finish)(void *state, struct dialect_output *output);
};

/* Something to be told of the stream; the same kind of the same column only once. NULL when there
 * is no room. */
struct wire_note *dialect_note(struct rig_info *info, enum wire_note_kind kind, int column,
                               int channel);

void dialect_emit(struct dialect_output *output, struct raw_sample *raw);
bool dialect_skip(struct dialect_output *output);                              /* true */
bool dialect_reject(struct dialect_output *output, enum reject_reason reason); /* true */

/* Channel names are keys in scripts and columns in exports: letters, digits, '_', '-', '.', not
 * beginning with a digit; "" when nothing is left of the text. */
void dialect_channel_name(char name[CHANNEL_NAME_SIZE], const char *text, size_t length);
/* 'ch1', 'ch2', ... */
void dialect_default_channel_name(char name[CHANNEL_NAME_SIZE], int channel);

/* Whether the line's last three bytes are '*' and the checksum of IEC 61162-1 (two hexadecimal
 * digits) of what stands between its first byte and them. */
bool dialect_checksum_is_right(const char *line, size_t length);
/* The part of a line from its last '$' or '!' on, when its checksum is right: what a cut line or
 * noise left before it is passed over. length 0 when there is none. */
struct span dialect_sentence_at_end(const char *line, size_t length);

extern const struct dialect dialect_framed;
extern const struct dialect dialect_bench_line;
extern const struct dialect dialect_xdr_sentence;
extern const struct dialect dialect_senml;
extern const struct dialect dialect_readings_table;
extern const struct dialect dialect_plain_numbers;

#endif
