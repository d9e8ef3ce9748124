/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_TIE_READINGS_H
#define HOLDLINE_ANALYSIS_TIE_READINGS_H

#include "record/record.h"

/* Which readings of plate, board and tape say where a sensor was on a build. */

/* Does a board across the pads lie on one build as on the other? The pads ride on the bars: it does
 * on builds of one setup, and where parts are entered for both that differ, in none that carries
 * the pads. Setups that differ by their names alone may differ in anything. */
bool board_lies_alike(const struct session_record *record, int build, int other);

/* A board lies where it lay, or at a height of its own. One that came along with the pads since it
 * was first read, and for which the same height stands, or none, ties nothing. */
bool board_came_along(const struct session_record *record,
                      const struct tie_reading_record *reading);

/* What was read of one kind on a build, by one channel; NULL = not read. A later reading replaces
 * an earlier one, so that a slip can be put right; but a board that came along with the pads, or of
 * whose height over the bottom bracket nothing is known beside a plate, says nothing. */
const struct tie_reading_record *tie_reading_latest(const struct session_record *record,
                                                    enum tie_reading_kind kind, int build,
                                                    int channel);

/* The plate's height over the bottom bracket as it was said; of a board also as it was said, before
 * or later, in its placing where it lay alike. NAN = unknown, 0 = heights are told from it. */
double tie_reading_height_mm(const struct session_record *record,
                             const struct tie_reading_record *reading);

/* How much higher the later reading's plate or board lay than the first one's, mm; NAN = not known:
 * one is a plate and one a board, or only one board's height was said. Plates of which nobody said
 * both heights are one that never moved. */
double tie_reading_higher_mm(const struct session_record *record,
                             const struct tie_reading_record *first,
                             const struct tie_reading_record *later);

#endif
