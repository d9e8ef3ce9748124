/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_FAR_LEVEL_H
#define HOLDLINE_ANALYSIS_FAR_LEVEL_H

#include "analysis/analysis.h"

/* A hold's level so far from that of the free hold before it, beyond what the parts moved, that it
 * is hardly the rider's: a bottle or a plate in the beam, two cables that changed places, a rider
 * who stood. It may be one who sat otherwise: nothing is left out by itself. */
struct far_level {
    int before;      /* the hold that it is far from: index, the latest that was not far itself */
    double by_mm;    /* above it */
    double parts_mm; /* the furthest that pads, bars, extensions or saddle moved between the two */
    int exchanged; /* a channel that reads what this one read then, and this one what it did: their
                      cables may have changed places; -1 = none */
};

/* False where the hold is none that counts, or is not far: by FAR_LEVEL_MM and more over what the
 * parts moved; and where the parts differ and their places are not known. What looks like exchanged
 * cables is far, whatever the parts did. */
bool far_level_of(const struct session_record *record, const struct analysis *analysis, int hold,
                  int channel, struct far_level *found);

#endif
