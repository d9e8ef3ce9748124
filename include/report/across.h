/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_ACROSS_H
#define HOLDLINE_REPORT_ACROSS_H

#include "analysis/across.h"

#include <stdio.h>

/* One rider's setups over several sessions: which they were, how high in each, what differs, and
 * which sessions nothing ties. */
bool report_across_text(FILE *stream, const struct across *across, int width,
                        struct problem *problem);
/* JSON; docs/export.schema.json describes it ('across_export'). */
bool report_across_json(FILE *stream, const struct across *across, struct problem *problem);

#endif
