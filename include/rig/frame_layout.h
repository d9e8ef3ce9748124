/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_FRAME_LAYOUT_H
#define HOLDLINE_RIG_FRAME_LAYOUT_H

#include "base/problem.h"
#include "rig/sample.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Binary frames with a layout that was said, never guessed:
 *
 *   cobs,time=u32:us,head=u16:mm,chest=i16be:0.1mm,-=u8,crc16
 *
 * The framing first: cobs (Cheshire and Baker 1999: consistent overhead byte stuffing, frames end
 * with a zero) or slip (RFC 1055). Then the fields in their order, NAME=TYPE or NAME=TYPE:UNIT. The
 * name is a channel's, or time, sequence, or '-' for what is passed over. Types u8 u16 u24 u32 i8
 * i16 i24 i32 f32, little-endian, with 'be' behind them big-endian. Units of ranges: 0.1mm, mm (the
 * default), cm, m, in, um; of time us (the default), ms, s. At the end sum8, xor8 or crc16 (CCITT,
 * from FFFF, in the byte order of the layout's first field) where frames have one. */
#define FRAME_FIELDS_MAX 24

enum framing { FRAMING_COBS, FRAMING_SLIP };
enum frame_check { FRAME_NO_CHECK, FRAME_SUM8, FRAME_XOR8, FRAME_CRC16 };
enum { FRAME_PASSED_OVER = -1, FRAME_TIME = -2, FRAME_SEQUENCE = -3 };

struct frame_field {
    int use; /* channel, or one of the above */
    int bytes;
    bool is_signed, is_float, is_big;
    double factor; /* to tenths of a millimetre, or us */
    bool is_auxiliary;
};

struct frame_layout {
    enum framing framing;
    enum frame_check check;
    bool check_is_big;
    int field_count, channel_count;
    size_t bytes; /* of a frame, with its check */
    struct frame_field field[FRAME_FIELDS_MAX];
    char channel_name[CHANNELS_MAX][CHANNEL_NAME_SIZE];
};

/* False with a sentence that says what is wrong in it. */
bool frame_layout_read(const char *text, struct frame_layout *layout, struct problem *problem);

/* The byte that ends a frame. */
char frame_end(enum framing framing);
/* A frame without its end, unpacked in place: its bytes, or 0 where it cannot be one. */
size_t frame_unpack(enum framing framing, unsigned char *bytes, size_t length);
/* Is the check at the frame's end right? */
bool frame_check_is_right(const struct frame_layout *layout, const unsigned char *bytes);
/* A field's number, as it was sent. */
double frame_number(const struct frame_field *field, const unsigned char *bytes);

#endif
