#ifndef HOLDLINE_SESSION_ACROSS_H
#define HOLDLINE_SESSION_ACROSS_H

#include "session/analysis.h"

/* Heights of one session beside those of another. The bottom bracket is what both are counted from,
 * so each must know how high its sensors were over it. */

/* A channel on a build of a session. */
struct across_place {
    const struct session_record *record;
    const struct analysis *analysis;
    int build, channel;
};

/* Standard uncertainty of the difference between the sensors' heights at two places in different
 * sessions (or placings); NAN where one of them is not known over the bottom bracket. Where both
 * follow from the same frame's measures, only what differs between the parts counts, with where
 * each sensor sits on its carrier (a tape); else both absolute uncertainties in quadrature. */
double across_u_mm(const struct across_place *a, const struct across_place *b);

/* The part that is one number for all builds of the place's session, against the reference's: of
 * the placing's first builds. NAN as above. reference NULL: counted from the bottom bracket. */
double across_common_u_mm(const struct across_place *place, const struct across_place *reference);

/* Do both heights follow from the measures of the same frame? */
bool across_same_measures(const struct across_place *a, const struct across_place *b);

#endif
