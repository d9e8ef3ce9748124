/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_DRAG_RUN_H
#define HOLDLINE_SAY_DRAG_RUN_H

#include "analysis/drag.h"

#include <stddef.h>

/* Of single runs, and of what the wheel has against the course. */

/* '0.2451 ±0.0032' of a run by itself; without its interval from too few laps; "-" without a
 * number. */
void say_drag_run_value(char *text, size_t size, const struct drag_run_result *run);
/* '8 laps', '1 lap'; '7 of 8 laps' where not all were used. Of a course out and back 'ways'. */
void say_drag_run_legs(char *text, size_t size, const struct session_record *record,
                       const struct drag_run_result *run);
/* What the ± is, and why there may be none. */
void say_drag_run_interval(char *text, size_t size);
/* What is odd about a run, and why it does not count: 'gusty: repeat; its laps are 1.4 % longer by
 * the wheel than in the other runs'; "" for nothing. */
void say_drag_run_marks(char *text, size_t size, const struct session_record *record,
                        const struct drag_analysis *drag, int run);
/* Of a way out whose way back has another length by the wheel; "" where they agree, and for every
 * other leg. */
void say_drag_uneven(char *text, size_t size, const struct session_record *record,
                     const struct drag_analysis *drag, int leg);
/* Where along a lap or way something was met: '3.2: 5 N more than is explained at 450 to 500 m: a
 * gust, a brake, somebody passing?'; "" where nothing was. */
void say_drag_met(char *text, size_t size, const struct session_record *record,
                  const struct drag_analysis *drag, int leg);
/* Where a lap by the wheel is not as long as it was said to be; "" where it is. */
void say_drag_lap_length(char *text, size_t size, const struct session_record *record,
                         const struct drag_analysis *drag);
/* Where a setup's laps are longer or shorter by the wheel than those of the one it is compared
 * with; "" where they are not. */
void say_drag_other_wheel(char *text, size_t size, const struct session_record *record,
                          const struct drag_analysis *drag, int setup);

#endif
