/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_CAUTIONS_H
#define HOLDLINE_REPORT_CAUTIONS_H

/* The usual cautions, as every sheet shows them; they defer to makers, clinicians and governing
 * bodies. */
enum caution {
    CAUTION_BODY,
    CAUTION_BOLTS,
    CAUTION_STEERING,
    CAUTION_SIGHT,
    CAUTION_ROAD,
    CAUTION_BEAMS,
    CAUTIONS
};
extern const char *const report_cautions[CAUTIONS];

#endif
