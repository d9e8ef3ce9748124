/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_DECODER_ARGUMENTS_H
#define HOLDLINE_APP_DECODER_ARGUMENTS_H

#include "base/problem.h"
#include "rig/decoder.h"

/* The options that say what a rig's stream looks like, alike for every command that reads one. */
enum {
    DECODER_COLUMNS = 1000,
    DECODER_UNIT,
    DECODER_TIME_COLUMN,
    DECODER_TIME_UNIT,
    DECODER_NO_ECHO,
    DECODER_DIALECT,
};

#define DECODER_LONG_OPTIONS                                                                       \
    {"columns", required_argument, NULL, DECODER_COLUMNS},                                         \
        {"unit", required_argument, NULL, DECODER_UNIT},                                           \
        {"time-column", required_argument, NULL, DECODER_TIME_COLUMN},                             \
        {"time-unit", required_argument, NULL, DECODER_TIME_UNIT},                                 \
        {"no-echo", required_argument, NULL, DECODER_NO_ECHO},                                     \
    {                                                                                              \
        "dialect", required_argument, NULL, DECODER_DIALECT                                        \
    }

#define DECODER_USAGE                                                                              \
    "of the rig's stream:\n"                                                                       \
    "  --dialect NAME       bench, xdr, senml or plain (default: recognised by itself)\n"          \
    "  --columns LIST       plain numbers: wanted columns, as head=3,chest=5 or by heading\n"      \
    "  --unit UNIT          plain numbers: mm, cm, m or in\n"                                      \
    "  --time-column NAME   plain numbers: the column with the time\n"                             \
    "  --time-unit UNIT     us, ms, s or iso\n"                                                    \
    "  --no-echo VALUE      plain numbers: this value, or more, is no reading\n"

/* Takes one of these options. False with a usage problem: an option that is none of them (getopt
 * has said so already), or a value that can't be. */
bool decoder_argument(int option, const char *value, struct decoder_options *options,
                      struct problem *problem);

#endif
