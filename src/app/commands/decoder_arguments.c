/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/decoder_arguments.h"

#include "base/text.h"

bool decoder_argument(int option, const char *value, struct decoder_options *options,
                      struct problem *problem)
{
    switch (option) {
    case DECODER_COLUMNS:
        text_copy(options->columns, sizeof options->columns, value);
        return true;
    case DECODER_UNIT:
        text_copy(options->unit, sizeof options->unit, value);
        return true;
    case DECODER_TIME_COLUMN:
        text_copy(options->time_column, sizeof options->time_column, value);
        return true;
    case DECODER_TIME_UNIT:
        text_copy(options->time_unit, sizeof options->time_unit, value);
        return true;
    case DECODER_DIALECT:
        text_copy(options->dialect, sizeof options->dialect, value);
        return true;
    case DECODER_NO_ECHO:
        return text_to_double(value, &options->no_echo) ||
               problem_usage(problem, "--no-echo: '%s' is no number", value);
    default:
        return problem_usage(problem, "see --help for the options there are");
    }
}
