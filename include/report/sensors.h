/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_SENSORS_H
#define HOLDLINE_REPORT_SENSORS_H

#include "analysis/check.h"
#include "report/paper.h"

/* What a row of checks found of a rig, outside of a session. */
struct sensors_checked {
    const char *rig;
    int64_t checked_ms; /* Unix time */
    const struct placing_record *placing;
    const struct check_record *check; /* in the order in which they were made */
    int count;
};

/* 'Sensors of /dev/ttyACM0, 10 January 2026' */
void sensors_title(const struct sensors_checked *checked, char *text, size_t size);
/* Verdict, checks and what they found, budget; on whatever paper. */
bool sensors_document(struct paper *paper, const struct sensors_checked *checked,
                      struct problem *problem);

#endif
