/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_TIE_H
#define HOLDLINE_BIKE_TIE_H

#include "bike/shift.h"

/* How a sensor's height is known at each build, and how well (docs/heights.md, 'Ties'). Measured
 * wins over computed; both are kept, and too much between them is told.
 *
 * What is shared between builds, and what is not
 * ----------------------------------------------
 * Only differences of sensor heights between builds matter; the first build's height is what they
 * are told against, so it has no uncertainty of its own. Let e be the error of one reading, c the
 * error of a shift computed from parts (wrong label, spacers measured badly), b what differs when
 * the same parts are put together again. The error of a build's shift against the first build is
 *
 *   the first assembly, nothing taken apart    0
 *   the first build's parts again, not read    b                          b = 0.3
 *   other parts, not read                      c(parts) + b
 *   read, and the first build was read too     e(this) - e(first)
 *   read, the first was not, build L was       e(this) - e(L) + error of L's own shift
 *   not read, same parts as build A that was   error of A's shift + b
 *
 * So c is one number for all builds of the same parts, however often these are put together: it
 * cancels between them and never shrinks. And e(first) (or e(L) with L's own error) is one number
 * for all builds that are tied by the same means: it cancels between any two of them, and not
 * against the first build nor against computed ones. That is exactly 'a part common to a group and
 * a part of this build alone':
 *
 *   group                                      u_common            u_build
 *   the first position (same parts as first)   0                   0, or b where put together again
 *   a computed position                        c                   b
 *   all builds read by one means               e(L), error of L    e(this)
 *
 * Three cases do not fit and are told too wide rather than too narrow: (1) one reading that serves
 * several builds (nothing that moves the sensor was touched in between, or the same parts were put
 * together again and not read): these builds are a group of their own with everything but b in
 * u_common, so that averaging them shrinks nothing, at the price that e(L) is counted twice against
 * other builds read by the same means; (2) two computed positions with the same stem: the label's
 * error is counted in both; (3) the fore-aft addition |dX| tan(slope), one number for all builds at
 * a position: the position is its group. L is the read build whose own shift is known best, the
 * first one where it was read: later readings can change which it is, and everything is resolved
 * anew each time. */
enum tie_kind {
    TIE_NONE,  /* the carrier moved and nothing says by how much: 'height not tied' */
    TIE_FIRST, /* the first build of a placing: what the others are tied to */
    TIE_FIXED, /* the carrier does not move, or nothing that moves it was changed or taken apart */
    TIE_REFERENCE, /* a second sensor on the same clamp that looks at a fixed plate (role ref) */
    TIE_PLATE,     /* a plate at a known, unchanging height, read by this sensor */
    TIE_TAPE,
    TIE_COMPUTED, /* from the parts; also the first build's parts put together again */
};

/* What is to be known of a tie beside its numbers. In words: say_tie_finding (say/say.h). */
enum tie_found {
    TIE_FOUND_NOTHING,
    TIE_FOUND_SPREAD,    /* alarm: readings of one assembly further apart than they may be */
    TIE_FOUND_OFF_PARTS, /* alarm: measured and computed shift are that far apart */
    TIE_FOUND_NOT_READ,  /* tied by a reading on another build of the same parts */
    TIE_FOUND_MISSING,   /* not tied: the parts don't tell, and no reading does */
    TIE_FOUND_NO_MOUNT,  /* not tied: nobody said where the sensor is fixed, nor whether it moved */
    TIE_FOUND_ALIKE,     /* not tied: another setup has the same measures; likewise */
    TIE_FOUND_MOVED,     /* not tied: it was said that a sensor moved, and not read by how much */
    TIE_FOUND_AS_BEFORE, /* not tied: no sensor moved, and the build before is not tied */
    TIE_FOUND_FIXED_ANEW, /* not tied: the sensors were fixed anew since the first placing */
    TIE_FOUND_ENDS, /* alarm: the plate at the end of the build and at its beginning disagree */
};
struct tie_finding {
    enum tie_found kind;
    enum tie_kind by;   /* alarms: what the readings are of */
    double apart_mm;    /* alarms */
    bool carrier_moves; /* SPREAD: the sensor is on a part that can slip */
    bool other_stem;    /* OFF_PARTS: the stem differs from the first build's */
    int alike;          /* ALIKE: the number of that setup */
    bool read;          /* MISSING: there is a reading on this build, none on the first */
    char missing[160];  /* MISSING: what sensor_shift_make lacks */
};

#define TIE_BUILDS_MAX 128

/* Two builds that follow each other and differ in something, but in nothing that moves the carrier,
 * are one assembly for the sensor: readings on either serve both. Equal in everything, they were
 * taken apart and put together. */
struct tie_build {
    struct bike_values bike; /* frame and parts on it */
    bool moved; /* the sensor itself did since the build before, by what no part says: from here on
                   only what is read ties */
    double plate_range_mm;  /* this channel's range to the plate on this build, NAN = not read */
    double plate_height_mm; /* the plate's height over the bottom bracket as stated, NAN = unknown
                               (then the same unchanging one on all builds; that of the other
                               readings where these agree on one) */
    bool on_pads; /* it was a board across the pads: plates have nothing of its height, nor it of
                     theirs */
    double tape_height_mm;     /* sensor over the bottom bracket by tape, NAN = not read */
    double reference_range_mm; /* mean range of the ref channel on this build, NAN = none */
    int reference_direction;
};

struct tie {
    enum tie_kind kind;
    double sensor_height_mm; /* over the bottom bracket; with no absolute height known the first
                                build is 0. Always a number: not tied, it is as if the sensor had
                                not moved */
    bool absolute; /* sensor_height_mm is from the bottom bracket, not from the first build */
    double u_absolute_mm; /* standard uncertainty of the first build's sensor_height_mm, one number
                             for all builds: it cancels between them, and counts against another
                             placing or another day; NAN when not absolute */
    double u_own_mm; /* the part of u_absolute_mm that another placing on the same bike does not
                        share: less where the height follows from the bike's measures, whose errors
                        are the same each time; else all of it */
    double tilt_deg;
    double shift_mm, shift_x_mm,
        shift_tilt_deg; /* against the first build, as used; NAN = not known */
    /* standard uncertainty of the shift against the first build: */
    double u_common_mm;   /* shared by all builds of the group */
    double u_build_mm;    /* this build's own */
    int position_group;   /* builds of one group share the common part, which cancels between them;
                             the first build's group is 0, numbers have no gaps */
    double ends_apart_mm; /* the plate at the build's two ends; NAN = not read at both. Set by the
                             analysis, which knows when it was read */
    bool has_computed, has_measured;
    double computed_shift_mm, measured_shift_mm;
    bool alarm;
    struct tie_finding found;
};

/* One channel over the builds of one placing, in order; ties gets count entries (count at most
 * TIE_BUILDS_MAX). trunk_slope_deg (15 to 20 usual; NAN = no addition) adds |dX| tan(slope) to the
 * uncertainty of every build whose sensor moved fore-aft. Returns by what heights are over the
 * bottom bracket: TIE_PLATE or TIE_TAPE of this sensor, TIE_COMPUTED from the parts; TIE_NONE: they
 * are not. */
enum tie_kind tie_resolve(const struct sensor_mount *mount, const struct tie_build *builds,
                          int count, double trunk_slope_deg, struct tie *ties);

/* Standard uncertainty of a build's shift against the first build. */
double tie_uncertainty_mm(const struct tie *tie);
/* Tied, and from the bottom bracket: its heights are told as such. One that is not tied has kept
 * its place as if the sensor had not moved, and may still be absolute. */
bool tie_is_over_bottom_bracket(const struct tie *tie);
/* By a reading of its own: plate, tape or a second sensor. */
bool tie_is_read(const struct tie *tie);

#endif
