/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_GSL_QUIET_H
#define HOLDLINE_SRC_MEASURE_GSL_QUIET_H

/* GSL's default error handler aborts the program. Each entry into GSL calls this first: it turns
 * the handler off once, from whichever thread comes first; our own guards keep bad arguments out.
 */
void gsl_quiet(void);

#endif
