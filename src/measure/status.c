/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/status.h"

const char *measure_status_sentence(enum measure_status status)
{
    static const char *const words[] = {
        [MEASURE_OK] = "measured",
        [MEASURE_TOO_FEW] = "not enough data",
        [MEASURE_CONSTANT] = "all readings are the same: check that the sensor is not stuck",
        [MEASURE_NOT_FINITE] = "a value that is not a number: check the input",
        [MEASURE_UNSORTED] = "time runs backwards or stands still: check the rig's clock",
        [MEASURE_NO_MEMORY] = "not enough memory",
        [MEASURE_BAD_SETTING] = "a setting outside its limits",
    };
    return words[status];
}
