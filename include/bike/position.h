/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_POSITION_H
#define HOLDLINE_BIKE_POSITION_H

#include "bike/geometry.h"

/* A position is coordinates over the bottom bracket: what is carried from one bike to another. */
struct position {
    struct point arms; /* pad reference point, or bar clamp where there are no pads */
    bool of_pads;
    bool has_extension;
    struct point hands; /* extension tip */
    double saddle_y_mm; /* saddle top over the bottom bracket; NAN without the seat angle */
    double drop_mm;     /* saddle top over the arms; NAN without */
};

bool position_of(const struct bike_values *bike, struct position *position,
                 struct problem *problem);

/* What of a position another bike takes over as it is: saddle (its height along the other seat
 * tube, where both seat angles are known), cranks, and the pads', extensions' and bar's own
 * measures where the other bike's are not given. Stem, spacers and pads are then searched for
 * (bike/search.h). note: what could not be carried over, '' when all was. */
void position_carry(const struct bike_values *from, struct bike_values *to, char *note,
                    size_t size);

#endif
