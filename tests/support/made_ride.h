/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_MADE_RIDE_H
#define HOLDLINE_TESTS_SUPPORT_MADE_RIDE_H

#include "measure/ride_cut.h"

/* Rides made by hand, whose borders are known: what is expected of a cut is where they were put. */

#define RADIANS (3.14159265358979323846 / 180.0)
#define METRES_A_DEGREE 111195.08 /* 2 pi 6371.0088 km / 360 */

/* By lap marks, nothing else said. */
extern const struct ride_course made_ride_laps;

/* Power, speed and distance from a wheel, and what is asked for; not finished. */
struct ride *made_ride(bool laps, bool places);
void made_ride_add(struct ride *ride, double time_s, double power_w, double speed_m_s,
                   double distance_m, double lap);
/* 200 W and 10 m/s, so far north and east of 50, 8 degrees. */
void made_ride_place(struct ride *ride, double time_s, double north_m, double east_m,
                     double distance_m);
/* 10 m/s and 200 W for seconds, a lap mark every lap_s; finished. */
struct ride *made_ride_even(int seconds, int lap_s);

/* Cut, or the test fails; refused with a sentence that has why in it. */
struct ride_cut made_ride_cut(const struct ride *ride, const struct ride_course *course);
void made_ride_refused(const struct ride *ride, const struct ride_course *course, const char *why);

#endif
