#ifndef HOLDLINE_BIKE_GEOMETRY_H
#define HOLDLINE_BIKE_GEOMETRY_H

#include "base/problem.h"
#include "bike/fields.h"

/* Side view, origin at the bottom-bracket centre, x forward, y up, millimetres (design/4 section 7). */
struct point {
    double x_mm, y_mm;
};

struct bike_points {
    struct point clamp;         /* bar clamp centre */
    struct point pad;           /* pad reference point */
    struct point extension_tip;
    bool has_pad, has_extension;
};

/* Forward geometry (section 7.2). False where a value it needs is missing: the sentence names each. Pads
 * and extensions are worked out where their values are there. */
bool bike_forward(const struct bike_values *bike, struct bike_points *points, struct problem *problem);

/* Stem length and height along the steerer that put the pad reference point at target, for a given stem
 * angle (section 7.3). Results may be impossible parts: the caller checks ranges. */
bool bike_inverse(const struct bike_values *bike, struct point pad_target, double stem_angle_deg,
                  double *stem_length_mm, double *spacers_mm, struct problem *problem);

#endif
