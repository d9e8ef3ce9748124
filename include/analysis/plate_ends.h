/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_PLATE_ENDS_H
#define HOLDLINE_ANALYSIS_PLATE_ENDS_H

#include "record/record.h"

/* A plate (or a board on the pads) read on a build before holds were ridden on it, and the same
 * one once more after them: what a sensor slipped between the two is bounded by how far they are
 * apart. A reading that replaces another, with no hold between them, is no second end. */
struct plate_ends {
    double first_mm, last_mm; /* ranges; NAN: not read at both ends */
};
struct plate_ends plate_ends_of(const struct session_record *record, int build, int channel);
/* The last's range less the first's, without its sign; NAN = not read at both ends. */
double plate_ends_apart_mm(const struct plate_ends *ends);
/* Further apart than two readings come by chance: the sensor moved, or the plate. */
bool plate_ends_disagree(const struct plate_ends *ends);

/* The reading that is to be made once more: the first end of a build whose holds were not followed
 * by another; -1 = none. */
int plate_ends_open(const struct session_record *record, int build);

#endif
