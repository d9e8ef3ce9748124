/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_SAMPLE_H
#define HOLDLINE_RIG_SAMPLE_H

#include "base/word_list.h"

#include <stdbool.h>
#include <stdint.h>

#define CHANNELS_MAX 8
#define CHANNEL_NAME_SIZE 32

/* One channel's reading at one time. The stored integer is in tenths of a millimetre, a tenth of
 * the noise of the quietest range sensor; decoders round to it, so that what is stored, what the
 * live session saw and what a replay sees are the same numbers. */
enum reading_quality {
    READING_GOOD = 0,
    READING_MISSING = 1,   /* no reading: empty field, no-echo code */
    READING_WEAK = 2,      /* weak return: doubtful, has a value */
    READING_SATURATED = 3, /* doubtful */
    READING_OUT_OF_RANGE = 4,
};
extern const struct word_list quality_words;

/* All channels at one time. */
struct sample {
    int64_t number;   /* 1, 2, ... within the session: commands and captures point at it */
    int64_t time_us;  /* session axis: the rig's own time where it sends one, else its arrivals
                         evened out; never runs backwards; the first sample is 0 */
    int64_t delay_us; /* arrival on the host minus time_us, both from the first sample: never used
                         by measures */
    uint32_t lost_before; /* samples lost just before this one, by the rig's sequence; 0 if it sends
                             none */
    bool link_gap_before; /* the link was down just before this sample */
    int32_t range_tenth_mm[CHANNELS_MAX]; /* range along the beam as sent; 0 where missing */
    uint8_t quality[CHANNELS_MAX];        /* enum reading_quality */
};

/* What was found out by itself about how a stream is written, and what was left out of it: to be
 * told (say/wire.h). */
enum wire_note_kind {
    WIRE_LEFT_OUT_NAMED,    /* called something else: a temperature, a strength */
    WIRE_LEFT_OUT_COUNTER,  /* counts the lines */
    WIRE_LEFT_OUT_STILL,    /* always value */
    WIRE_LEFT_OUT_SHORT,    /* about value: nearer than any rider, and it hardly moves */
    WIRE_LEFT_OUT_NO_TIME,  /* called a time and does not rise: how long an echo took */
    WIRE_LEFT_OUT_SAME,     /* another column's range in another unit */
    WIRE_LEFT_OUT_DISTANCE, /* only rises: the way that was ridden */
    WIRE_LEFT_OUT_EMPTY,    /* named, and nothing stands in it so far: nothing tells what it is */
    WIRE_STATUS,            /* of channel, or of all (-1): readings whose status is not value are
                               doubtful */
    WIRE_STATUS_WORDS,      /* the same in words */
    WIRE_UNIT_UNSAID,       /* taken as mm */
    WIRE_UNIT_DOUBTFUL,     /* the same, and in mm no rider is at value, about which column lies */
    WIRE_UNNAMED,           /* several columns without names, each taken for a sensor */
    WIRE_LIKE_A_RIDE,       /* column only rises beside them: the log of a ride? */
    WIRE_KEYED,             /* one sensor a line, told apart by label: value = how many */
    WIRE_COMMA,             /* a comma between figures is a decimal point */
    WIRE_HEXADECIMAL,
    WIRE_SENTENCE,
    WIRE_CODE,     /* channel's value means 'no reading'; count = how often it came */
    WIRE_NEGATIVE, /* channel's negative numbers mean 'no reading' */
};
struct wire_note {
    uint8_t kind;   /* enum wire_note_kind */
    int16_t column; /* from 1; 0 = of none */
    int8_t channel;
    char name[24];       /* of the column or key; "" = it has none */
    int64_t value_milli; /* thousandths of the stream's unit */
    uint64_t count;
};
#define WIRE_NOTES_MAX 16

/* What the rig says of itself, or the person said of it. */
struct rig_info {
    char id[64];
    double rate_hz; /* announced; 0 when unknown */
    int channel_count;
    char channel_name[CHANNELS_MAX][CHANNEL_NAME_SIZE];
    bool has_rig_time;
    bool has_sequence;
    char dialect[24];
    int note_count;
    struct wire_note note[WIRE_NOTES_MAX];
};

#endif
