/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RIG_CHECK_REPORT_H
#define HOLDLINE_APP_RIG_CHECK_REPORT_H

#include "analysis/check.h"

#include <stdio.h>

/* What a check found, as it is printed. */
struct checked {
    const char *rig;
    const struct check_plan *plan;
    const struct placing_record *placing;
    const struct check_stretch *stretches;
    const struct check_record *check;
    bool is_plate;
};

void rig_check_report_text(FILE *stream, const struct checked *checked);
void rig_check_report_json(FILE *stream, const struct checked *checked);

#endif
