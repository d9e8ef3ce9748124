/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_CHECK_JUDGING_H
#define HOLDLINE_ANALYSIS_CHECK_JUDGING_H

#include "analysis/check.h"
#include "measure/status.h"

#include <stdint.h>

/* For the files that judge checks only. */

/* One channel's readings of one phase in mm; those with a mark for the good ones, and these alone.
 */
struct readings {
    size_t all, good;
    double *all_time_s, *all_mm;
    uint8_t *valid;
    double *time_s, *mm;
};
/* raw: as sent, not calibrated. False without memory; else readings_free. */
bool readings_of(const struct placing_record *placing, int channel, bool raw,
                 const struct check_stretch *stretch, struct readings *readings);
void readings_free(struct readings *readings);

/* A check that is being judged. */
struct judging {
    struct check_record *check;
    struct check_findings *findings;
};
/* FIND(judging, CHECK_FOUND_DRIFT, channel, mm, half_width): one value at least, NAN = none. */
#define FIND(judging, kind, channel, ...)                                                          \
    check_find((judging)->findings, (kind), (channel),                                             \
               (int)(sizeof(double[]){__VA_ARGS__} / sizeof(double)), (double[]){__VA_ARGS__})

void check_put(struct judging *judging, enum check_quantity quantity, int channel, int phase,
               double value);
void check_worsen(struct judging *judging, enum check_verdict verdict);
/* True when it was measured; else the reason is found. */
bool check_measured(struct judging *judging, int channel, enum measure_status status);

#endif
