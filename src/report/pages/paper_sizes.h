/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_PAPER_SIZES_H
#define HOLDLINE_REPORT_PAPER_SIZES_H

#include "report/report.h"

/* Width and height in points. */
static const double paper_sizes_pt[][2] = {
    [PAGE_A4] = {595.28, 841.89},
    [PAGE_LETTER] = {612, 792},
};

#endif
