/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_BARE_NUMBERS_H
#define HOLDLINE_APP_BARE_NUMBERS_H

#include "base/problem.h"
#include "measure/hold.h"

#include <stddef.h>

/* A file of nothing but numbers, one a line, taken as they are: all digits, 0 and negative ones too
 * (a decoder rounds to tenths of a millimetre and takes 0 for no reading). Empty lines and those
 * that begin with '#' are passed over. */
struct bare_numbers {
    double *value;
    size_t count, capacity;
};

/* False, without a problem, when it is no such file (nothing but numbers, and at least one); with
 * one where it can't be read. '-' is standard input, which is put back for whoever reads it next.
 */
bool bare_numbers_read(const char *file, struct bare_numbers *list, struct problem *problem);
void bare_numbers_free(struct bare_numbers *list);

/* Raw measures of the list at so many a second. What takes a body's length of readings (creep,
 * spectra, intervals) may be missing; mean, SD and quantiles are there from 2 numbers on. */
void bare_numbers_summarise(const struct bare_numbers *list, double rate_hz,
                            struct hold_summary *summary);

#endif
