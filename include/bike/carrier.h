#ifndef HOLDLINE_BIKE_CARRIER_H
#define HOLDLINE_BIKE_CARRIER_H

#include "bike/geometry.h"

/* What a sensor is fixed to, and where that puts it when parts change (design/9). */
enum carrier {
    CARRIER_STAND,       /* floor stand */
    CARRIER_FRAME,       /* bike frame */
    CARRIER_BASE_BAR,    /* moved by stem, spacers, bar roll */
    CARRIER_PAD_BRACKET, /* those, and pad rise, pad fore-aft */
    CARRIER_EXTENSION,   /* those, and extension length, angle, rise */
    CARRIERS,
};
const char *carrier_key(enum carrier carrier);   /* 'base_bar' */
const char *carrier_words(enum carrier carrier); /* 'base bar' */
int carrier_find(const char *key);               /* or -1 */
bool carrier_moves(enum carrier carrier);        /* can a change at the front end move it? */

struct sensor_mount {
    enum carrier carrier;
    /* From the carrier's reference point (bar clamp centre, pad reference point, extension tip; for stand
     * and frame the bottom bracket) to the sensor's face, in the placing's first build. NAN y: the
     * sensor's absolute height is not known, only its shifts. */
    double x_mm, y_mm;
    double tilt_deg;  /* beam from the vertical, positive leans forward, in the placing's first build */
    int direction;    /* +1 looks up, -1 looks down */
};

struct sensor_position {
    double x_mm, y_mm; /* from the bottom bracket; y is the sensor's height */
    double tilt_deg;
};

/* Where the sensor is with these parts on the bike. A bar rolled against the mount's first build (whose
 * roll is first_bar_roll_deg) turns the arm from the clamp centre to the sensor and tilts the beam. */
bool sensor_locate(const struct bike_values *bike, double first_bar_roll_deg,
                   const struct sensor_mount *mount, struct sensor_position *position,
                   struct problem *problem);

/* Height of the body over the bottom bracket from a range along the beam (design/9). */
double body_height_mm(double sensor_height_mm, int direction, double tilt_deg, double range_mm);

#endif
