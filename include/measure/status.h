/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_STATUS_H
#define HOLDLINE_MEASURE_STATUS_H

/* Why a number is there or not: never a NaN, a crash or a plausible number in its place. */
enum measure_status {
    MEASURE_OK,
    MEASURE_TOO_FEW,  /* not enough data */
    MEASURE_CONSTANT, /* all the same: no spread to work with */
    MEASURE_NOT_FINITE,
    MEASURE_UNSORTED, /* time runs backwards or stands still */
    MEASURE_NO_MEMORY,
    MEASURE_BAD_SETTING,
};
const char *measure_status_sentence(enum measure_status status);

#endif
