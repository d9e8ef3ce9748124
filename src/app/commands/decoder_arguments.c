/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/decoder_arguments.h"

#include <math.h>

const struct option_row decoder_options_rows[DECODER_OPTIONS] = {
    {"columns", OPTION_COPY, OPTION_INTO(decoder_options, columns)},
    {"unit", OPTION_COPY, OPTION_INTO(decoder_options, unit)},
    {"time-column", OPTION_COPY, OPTION_INTO(decoder_options, time_column)},
    {"time-unit", OPTION_COPY, OPTION_INTO(decoder_options, time_unit)},
    {"dialect", OPTION_COPY, OPTION_INTO(decoder_options, dialect)},
    {"no-echo", OPTION_NUMBER, OPTION_INTO(decoder_options, no_echo), -INFINITY, INFINITY,
     "a number"},
    {"status", OPTION_COPY, OPTION_INTO(decoder_options, status)},
    {"hexadecimal", OPTION_YES, OPTION_INTO(decoder_options, hexadecimal)},
    {"line-end", OPTION_COPY, OPTION_INTO(decoder_options, line_end)},
    {"layout", OPTION_COPY, OPTION_INTO(decoder_options, layout)},
};
