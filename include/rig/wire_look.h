/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_WIRE_LOOK_H
#define HOLDLINE_RIG_WIRE_LOOK_H

#include "base/problem.h"
#include "rig/decoder.h"
#include "rig/sample.h"

#include <stdbool.h>
#include <stddef.h>

/* What a piece of a stream is, why no readings come of it, and how it might be read. Pure: bytes
 * in, a finding out. */
enum wire_cause {
    WIRE_READS, /* readings come */
    WIRE_NO_BYTES,
    WIRE_TOO_FEW, /* text, but not enough of it yet */
    WIRE_NO_TEXT, /* a wrong speed, or binary */
    WIRE_NO_LINE_ENDS,
    WIRE_UNMARKED_HEXADECIMAL,
    WIRE_BYTES_IN_FIGURES, /* a binary frame's bytes, written as hexadecimal figures */
    WIRE_FEET,
    WIRE_UNIT,    /* no range to a rider in mm: what is it in? */
    WIRE_COLUMNS, /* which columns are meant? (the problem's sentence) */
    WIRE_WORDS,   /* hardly a number in it */
    WIRE_MARKUP,
    WIRE_CHECKSUMS, /* sentences whose checksums are wrong */
    WIRE_TWO_BYTES, /* text of two bytes a letter (UTF-16) */
    WIRE_CAUSES,
};

struct wire_finding {
    enum wire_cause cause;
    struct problem problem; /* the decoder's, where it has one */
    struct decoder_counts counts;
    bool has_proposal; /* how it may be read: */
    struct decoder_options proposal;
    /* What comes of it so, or as it is where it reads. */
    struct rig_info info;
    uint64_t samples;
    bool has_last[CHANNELS_MAX];
    double last_mm[CHANNELS_MAX];
    bool stands_still; /* the same readings all the time */
};

/* said: what is said of the stream already. */
void wire_look(const char *bytes, size_t length, const struct decoder_options *said,
               struct wire_finding *finding);

#endif
