/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/status.h"

const char *measure_status_sentence(enum measure_status status)
{
    switch (status) {
    case MEASURE_OK:
        return "measured";
    case MEASURE_TOO_FEW:
        return "not enough data";
    case MEASURE_CONSTANT:
        return "all readings are the same: check that the sensor is not stuck";
    case MEASURE_NOT_FINITE:
        return "a value that is not a number: check the input";
    case MEASURE_UNSORTED:
        return "time runs backwards or stands still: check the rig's clock";
    case MEASURE_NO_MEMORY:
        return "not enough memory";
    case MEASURE_BAD_SETTING:
        return "a setting outside its limits";
    }
    return "unknown status";
}
