/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_DRAG_DAY_H
#define HOLDLINE_TESTS_SUPPORT_DRAG_DAY_H

#include "record/record.h"

/* A day of runs on an indoor track, made from the model with drag areas that are known: one lap of
 * 250 m a run, at 11 m/s, 85 kg, 20 C, 101325 Pa, 50 %. */
void drag_day_begin(struct session_record *record);
/* One more run, of the setup in this place. */
void drag_day_run(struct session_record *record, int setup, double drag_m2, const char *file);
/* The design's eight, A B B A A B B A; B-A -.0055 (-.00782 to -.00318). */
void drag_day_eight(struct session_record *record);

#endif
