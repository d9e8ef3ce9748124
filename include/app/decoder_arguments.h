/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_DECODER_ARGUMENTS_H
#define HOLDLINE_APP_DECODER_ARGUMENTS_H

#include "app/options.h"
#include "rig/decoder_options.h"

/* The options that say what a rig's stream looks like, alike for every command that reads one. */
extern const struct option_row decoder_options_rows[DECODER_OPTIONS];
#define DECODER_OPTION_SET(decoder)                                                                \
    {                                                                                              \
        decoder_options_rows, DECODER_OPTIONS, decoder                                             \
    }

#define DECODER_USAGE                                                                              \
    "of the rig's stream:\n"                                                                       \
    "  --dialect NAME       bench, xdr, senml, readings or plain (default: by itself)\n"           \
    "  --columns LIST       plain numbers: wanted columns, as head=3,chest=5 or by heading\n"      \
    "  --unit UNIT          plain numbers: mm, cm, m, in, ft, um or ft-in\n"                       \
    "  --time-column NAME   plain numbers: the column with the time\n"                             \
    "  --time-unit UNIT     us, ms, s or iso\n"                                                    \
    "  --no-echo VALUE      plain numbers: this value, or more, is no reading\n"                   \
    "  --status LIST        plain numbers: good codes, as status=0 or strength=100..\n"            \
    "  --hexadecimal        plain numbers: they are, marked or not\n"                              \
    "  --line-end C         this character ends a line\n"                                          \
    "  --layout LIST        binary frames, as cobs,time=u32:us,head=u16:mm,crc16\n"

#endif
