/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_DRAG_DAY_H
#define HOLDLINE_SAY_DRAG_DAY_H

#include "analysis/drag.h"

#include <stddef.h>

/* What a day of runs was like: from what its drag is worked out. */

/* 'Rider and bike 85 kg; out and back over 1000 m; rolling resistance 0.004 (usual)'. */
void say_drag_day(char *text, size_t size, const struct session_record *record,
                  const struct drag_analysis *drag);
/* One reading: '11 °C, 1007 hPa, 60 % at 09:50'; without a time of day, after which run. */
void say_drag_air(char *text, size_t size, const struct air_record *air);
/* What the run of steps came to, or why it gave no rolling resistance; "" where none was ridden. */
void say_drag_steps(char *text, size_t size, const struct session_record *record,
                    const struct drag_analysis *drag);

#endif
