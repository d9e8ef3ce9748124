/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/decimal.h"
#include "rig/dialect.h"
#include "rig/frame_layout.h"

#include <math.h>
#include <string.h>

/* Binary frames with a stated layout. A frame is a line to the decoder: --layout says what ends it.
 */

struct framed {
    struct frame_layout layout;
};

static enum recognition recognise(const struct held_lines *held,
                                  const struct decoder_options *options, bool last)
{
    (void)held;
    (void)last;
    return options->layout[0] != '\0' ? RECOGNITION_SURE : RECOGNITION_NO;
}

static bool begin(void *state, const struct held_lines *held, const struct decoder_options *options,
                  struct rig_info *info, struct problem *problem)
{
    struct framed *framed = state;
    (void)held;
    frame_layout_read(options->layout, &framed->layout, problem); /* sound: decoder_options_sound */
    info->channel_count = framed->layout.channel_count;
    memcpy(info->channel_name, framed->layout.channel_name, sizeof info->channel_name);
    for (int i = 0; i < framed->layout.field_count; i++) {
        info->has_rig_time = info->has_rig_time || framed->layout.field[i].use == FRAME_TIME;
        info->has_sequence = info->has_sequence || framed->layout.field[i].use == FRAME_SEQUENCE;
    }
    return true;
}

/* A channel's range; false when it is beyond what can be kept. */
static bool take_range(const struct frame_field *field, double number, struct raw_sample *raw)
{
    double tenths = round(number * field->factor);
    int channel = field->use;
    if (!isfinite(tenths)) {
        raw->quality[channel] = READING_MISSING;
        return true;
    }
    if (fabs(tenths) > (double)RANGE_KEPT_MAX_TENTH_MM) {
        return false;
    }
    bool nothing = tenths <= 0 && !field->is_auxiliary;
    raw->range_tenth_mm[channel] = nothing ? 0 : (int32_t)tenths;
    raw->quality[channel] = nothing                              ? READING_MISSING
                            : tenths > RANGE_SENSOR_MAX_TENTH_MM ? READING_OUT_OF_RANGE
                                                                 : READING_GOOD;
    return true;
}

static bool take(void *state, struct dialect_output *output, const char *line, size_t length)
{
    const struct frame_layout *layout = &((struct framed *)state)->layout;
    unsigned char bytes[DECODER_LINE_MAX];
    struct raw_sample raw;
    memcpy(bytes, line, length);
    size_t unpacked = frame_unpack(layout->framing, bytes, length);
    if (unpacked == 0) {
        return dialect_reject(output, REJECT_NOT_A_LINE);
    }
    if (unpacked != layout->bytes) {
        return dialect_reject(output, REJECT_FIELD_COUNT);
    }
    if (!frame_check_is_right(layout, bytes)) {
        return dialect_reject(output, REJECT_CHECKSUM);
    }
    memset(&raw, 0, sizeof raw);
    const unsigned char *at = bytes;
    for (int i = 0; i < layout->field_count; i++) {
        const struct frame_field *field = &layout->field[i];
        double number = frame_number(field, at);
        at += field->bytes;
        if (field->use == FRAME_TIME) {
            raw.has_rig_time = true;
            raw.rig_time_us = llround(number * field->factor);
        } else if (field->use == FRAME_SEQUENCE) {
            raw.has_sequence = number >= 0;
            raw.sequence = raw.has_sequence ? (uint64_t)number : 0;
        } else if (field->use >= 0 && !take_range(field, number, &raw)) {
            return dialect_reject(output, REJECT_OUT_OF_RANGE);
        }
    }
    dialect_emit(output, &raw);
    return true;
}

const struct dialect dialect_framed = {
    "framed", sizeof(struct framed), recognise, begin, take, NULL,
};
