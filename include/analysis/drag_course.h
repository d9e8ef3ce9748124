/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_DRAG_COURSE_H
#define HOLDLINE_ANALYSIS_DRAG_COURSE_H

#include "record/record.h"

/* What a run met on the course: the other way of a pair, the air. */

/* The way back that belongs to a way out; -1 = none. */
int drag_way_back(const struct session_record *record, int leg);
/* A leg's sums, with what its end lies over its beginning by the course's rise. */
struct drag_leg drag_leg_on_course(const struct session_record *record, int leg);
/* Rise over run in the direction of a leg; 0 where nobody said any. */
double drag_grade_of(const struct session_record *record, int leg);
/* Density at a run, between the readings of the air: by time of day where each has one, else by the
 * order in which they were entered. False where there is no reading that can be used. */
bool drag_density_at(const struct session_record *record, const struct run_record *run,
                     double *kg_per_m3);

#endif
