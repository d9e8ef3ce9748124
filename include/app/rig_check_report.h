/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RIG_CHECK_REPORT_H
#define HOLDLINE_APP_RIG_CHECK_REPORT_H

#include "analysis/check.h"
#include "report/report.h"
#include "report/sensors.h"

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

/* What a row of checks found ('check RIG all'): verdict, each check, what the sensors leave open.
 */
bool check_row_text(FILE *stream, const struct sensors_checked *checked, struct problem *problem);
bool check_row_json(FILE *stream, const struct sensors_checked *checked, struct problem *problem);
/* Whether that could be written there at all, before minutes are spent on it. */
bool check_row_file_may_be(const struct report_file *file, struct problem *problem);
/* By the file's ending: .pdf, .html, .json, .txt. */
bool check_row_file(const struct sensors_checked *checked, const struct report_file *file,
                    struct problem *problem);

#endif
