/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_RIDE_WATCH_H
#define HOLDLINE_SESSION_RIDE_WATCH_H

#include "measure/sat_up.h"
#include "session/view.h"

struct session;

/* A ride as it goes on, minute by minute: for the screen alone, from the live posture; what counts
 * is worked out of the samples when it is over (measure/minutes.h). Costs the same however long it
 * lasts. */
struct ride_watch {
    bool on;
    int hold;
    double last_s; /* of the ride */
    struct sat_up sat;
    double up_s;
    /* the minute that runs */
    double banded_s, in_s, minute_up_s, off_mm_s[CHANNELS_MAX], off_s[CHANNELS_MAX];
    int sounds;
    int count; /* minutes that are over; the last of them: */
    struct view_ride_minute row[VIEW_RIDE_MINUTES];
};

/* After the live picture of a sample. */
void ride_watch_sample(struct session *session);
/* The rider of a ride is up, or is to be: nobody is told to come down then. */
bool ride_watch_is_up(const struct ride_watch *watch);
void ride_watch_fill(const struct session *session, struct view_ride *view);

#endif
