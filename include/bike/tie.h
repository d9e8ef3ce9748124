#ifndef HOLDLINE_BIKE_TIE_H
#define HOLDLINE_BIKE_TIE_H

#include "bike/carrier.h"

/* How a sensor's height is known at each build, and how well (design/9-height.md, 'Ties'). Measured wins
 * over computed; both are kept, and 3 mm between them is told. */
enum tie_kind {
    TIE_NONE,      /* the carrier moved and nothing says by how much: 'height not tied' */
    TIE_FIRST,     /* the first build of a placing: what the others are tied to */
    TIE_FIXED,     /* the carrier does not move, or nothing that moves it was changed or taken apart */
    TIE_REFERENCE, /* a second sensor on the same clamp that looks at a fixed plate (role ref) */
    TIE_PLATE,     /* a plate at a known, unchanging height, read by this sensor */
    TIE_TAPE,
    TIE_COMPUTED,  /* from the parts */
};
const char *tie_kind_words(enum tie_kind kind);

/* Standard uncertainties to start from: common practice, no source. */
#define TIE_U_REFERENCE_MM 1.0
#define TIE_U_PLATE_MM 1.0
#define TIE_U_TAPE_MM 2.0
#define TIE_U_SPACERS_MM 0.5    /* a change of spacers, risers or extension length */
#define TIE_U_STEM_LABEL_DEG 1.0 /* a changed stem: a degree of its label over its length, at least 2 mm */
#define TIE_U_REBUILD_MM 0.3    /* taken apart and put back the same */
#define TIE_ALARM_MM 3.0        /* measured and computed further apart than this */

struct tie_build {
    struct bike_values bike;   /* frame and parts on it */
    double plate_range_mm;     /* this channel's range to the plate on this build, NAN = not read */
    double plate_height_mm;    /* the plate's height over the bottom bracket as stated, NAN = unknown (then
                                  the same unchanging one on all builds) */
    double tape_height_mm;     /* sensor over the bottom bracket by tape, NAN = not read */
    double reference_range_mm; /* mean range of the ref channel on this build, NAN = none */
    int reference_direction;
};

struct tie {
    enum tie_kind kind;
    double sensor_height_mm; /* over the bottom bracket; with no absolute height known the first build is 0 */
    bool absolute;           /* sensor_height_mm is from the bottom bracket, not from the first build */
    double tilt_deg;
    double shift_mm, shift_x_mm, shift_tilt_deg; /* against the first build, as used */
    /* standard uncertainty of the shift against the first build: */
    double u_common_mm; /* shared by all builds with the same parts (labels, plate's first reading) */
    double u_build_mm;  /* this build's own */
    int position_group; /* builds of one group share the common part, which cancels between them */
    bool has_computed, has_measured;
    double computed_shift_mm, measured_shift_mm;
    bool alarm;
    char reason[160]; /* for TIE_NONE: what is missing; for an alarm: both values and the likely causes */
};

/* One channel over the builds of one placing, in order; ties gets count entries. reads: trunk_slope_deg
 * (15 to 20 usual; NAN = no addition) adds |dX| tan(slope) to the build's uncertainty. */
void tie_resolve(const struct sensor_mount *mount, const struct tie_build *builds, int count,
                 double trunk_slope_deg, struct tie *ties);

#endif
