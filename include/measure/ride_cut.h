/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_RIDE_CUT_H
#define HOLDLINE_MEASURE_RIDE_CUT_H

#include "base/problem.h"
#include "measure/ride.h"

/* Legs and laps cut from a ride: where each begins and ends, how fast the bike was there, and what
 * leaves one out. Wind, gusts and passers-by are others' reasons. */

/* Where borders come from. */
enum ride_borders {
    RIDE_BORDERS_LAPS,   /* lap marks in the file */
    RIDE_BORDERS_TIMES,  /* begin and end of each leg, given */
    RIDE_BORDERS_LINE,   /* where the ride crosses a line, or two */
    RIDE_BORDERS_LENGTH, /* a fixed length of track, over the wheel's distance */
};

/* A line across the course: its middle, and the direction of travel over it (from north over east).
 */
struct ride_line {
    double latitude_deg, longitude_deg, heading_deg;
};

struct ride_course {
    enum ride_borders borders;
    /* Each leg is ridden one way and the next the other, turning between them. Otherwise each ends
     * where it began. */
    bool out_and_back;
    /* RIDE_BORDERS_TIMES: begin and end of leg after leg, s on the ride's axis, ascending; a lap's
     * end may be the next one's begin. */
    const double *time_s;
    size_t time_count; /* even */
    /* RIDE_BORDERS_LINE: one line for laps; both ends of the course for out and back. */
    struct ride_line line[2];
    /* RIDE_BORDERS_LENGTH: the track's. RIDE_BORDERS_LAPS: that of a lap, or of one way from turn
     * to turn, where it is known; else 0. */
    double length_m;
    double from_s;      /* nothing before counts */
    double to_s;        /* nor behind; 0: to the end */
    double turn_room_m; /* legs out and back begin and end so far inside; 0: RIDE_TURN_ROOM_M,
                           < 0: none */
};

/* Why a leg does not count; the first that holds, in this order. */
enum ride_left_out {
    RIDE_KEPT,
    RIDE_LEFT_SHORT,        /* under 100 m, or nothing left between its turns */
    RIDE_LEFT_GAP,          /* no sample, no power or no speed for over 3 s */
    RIDE_LEFT_OTHER_LENGTH, /* more than 5 % from what most have: another course */
    RIDE_LEFT_NO_POWER,     /* power 0 for over 3 s */
    RIDE_LEFT_BRAKED,       /* slower by over 0.3 m/s2 with under 50 W */
    RIDE_LEFT_DISTANCE,     /* distance and speed differ by over 5 % */
    RIDE_LEFT_REASONS,
};

struct ride_leg {
    double begin_s, end_s;                 /* on the ride's axis, between samples */
    double begin_m, end_m;                 /* the ride's distance there */
    size_t first, last;                    /* its samples, those between begin and end */
    double length_m;                       /* end_m - begin_m */
    double begin_speed_m_s, end_speed_m_s; /* mean of the 3 s about begin and end */
    int lap;                               /* the file's number, or from 1 on */
    bool has_heading;                      /* known from places, or the line's */
    double heading_deg;                    /* from begin to end, straight */
    enum ride_left_out left_out;
    double left_out_at_s; /* where on the ride's axis the reason was found */
    int pair; /* out and back: legs of the same number make a pair, from 0 on; -1: in none */
};

struct ride_cut {
    struct ride_leg *leg;
    size_t count, kept;
    size_t beside; /* stretches between lap marks that are no legs: turns, the ways to the course
                      and home */
    int pairs;
    size_t left_out[RIDE_LEFT_REASONS];
};

/* False with a sentence where the course can't be cut from this ride: no lap marks, no places, no
 * wheel, no line crossed twice. A cut may well have no leg that is kept. Free it either way. */
bool ride_cut(const struct ride *ride, const struct ride_course *course, struct ride_cut *cut,
              struct problem *problem);
void ride_cut_free(struct ride_cut *cut);

/* Legs left out, or taken in again, by hand make other pairs: counts them anew. */
void ride_cut_count(struct ride_cut *cut, bool out_and_back);

/* A leg's samples from begin to end, those at both ends worked out between the neighbours, as are
 * single values that are not known. */
struct ride_piece {
    size_t count;
    double *time_s;     /* from the leg's begin on */
    double *distance_m; /* from the leg's begin on */
    double *speed_m_s, *power_w;
    double *wind_m_s; /* NULL: the ride has none */
};
/* False: no memory, or a leg with a gap. */
bool ride_piece_take(const struct ride *ride, const struct ride_leg *leg, struct ride_piece *piece);
void ride_piece_free(struct ride_piece *piece);

/* 'power was 0 for over 3 s'. */
const char *ride_left_out_text(enum ride_left_out reason);

#endif
