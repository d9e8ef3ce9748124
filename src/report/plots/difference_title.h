/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_PLOTS_DIFFERENCE_TITLE_H
#define HOLDLINE_REPORT_PLOTS_DIFFERENCE_TITLE_H

#include "report/report.h"

/* A free hold of this setup counts. */
bool difference_tested(const struct comparison *comparison, int setup);

/* 'head: lower on setups 2 and 4', 'head: none differs for certain'. A failed one is none of them,
 * whatever its numbers. */
void difference_title(const struct report_input *input, int channel, int letters, char *text,
                      size_t size);

#endif
