/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_DRAG_DAY_H
#define HOLDLINE_TESTS_SUPPORT_DRAG_DAY_H

#include "measure/drag_leg.h"
#include "record/record.h"

#include <stdbool.h>

/* A day of two setups over this course and no run yet: 85 kg, 20 C, 101325 Pa, 50 %; laps are
 * indoors. The caller frees it. NULL: no memory. */
struct session_record *drag_day_create(enum course_kind course);
/* One more run without a leg, of the setup in this place, its speed by a wheel. */
struct run_record *drag_day_add_run(struct session_record *record, int setup);
/* One more leg of the last run, steady, by the model for this rider; the air's density in state is
 * the day's whatever stands there. */
struct leg_record *drag_day_add_leg(struct session_record *record, struct drag_state state,
                                    const struct drag_rider *rider, double length_m, bool back);
/* Of the day's air, kg/m3; NAN: none. */
double drag_day_density(void);

/* A day of runs on an indoor track, made from the model with drag areas that are known: one lap of
 * 250 m a run, at 11 m/s, 85 kg, 20 C, 101325 Pa, 50 %. */
void drag_day_begin(struct session_record *record);
/* One more run, of the setup in this place. */
void drag_day_run(struct session_record *record, int setup, double drag_m2, const char *file);
/* Eight more, the design's, A B B A A B B A; B-A -.0055 (-.00782 to -.00318). */
void drag_day_eight(struct session_record *record);

#endif
