/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_CHECK_FOLLOW_H
#define HOLDLINE_ANALYSIS_CHECK_FOLLOW_H

#include "check_judging.h"

void check_judge_beam(const struct check_plan *plan, const struct placing_record *placing,
                      const struct check_stretch *stretches, struct judging *judging);
void check_judge_rider(const struct placing_record *placing, const struct check_stretch *stretches,
                       struct judging *judging);

#endif
