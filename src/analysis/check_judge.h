/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_CHECK_JUDGE_H
#define HOLDLINE_ANALYSIS_CHECK_JUDGE_H

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

void check_put(struct check_record *check, enum check_quantity quantity, int channel, int phase,
               double value);
/* One more sentence of the words. */
void check_say(struct check_record *check, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void check_worsen(struct check_record *check, enum check_verdict verdict);
/* True when it was measured; else the reason is said. */
bool check_measured(struct check_record *check, const char *name, enum measure_status status);

void check_judge_beam(const struct check_plan *plan, const struct placing_record *placing,
                      const struct check_stretch *stretches, struct check_record *check);
void check_judge_rider(const struct placing_record *placing, const struct check_stretch *stretches,
                       struct check_record *check);

#endif
