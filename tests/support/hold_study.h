/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_HOLD_STUDY_H
#define HOLDLINE_TESTS_SUPPORT_HOLD_STUDY_H

#include <stdint.h>

/* Are the alarms of a hold right? Holds of two channels at 25 readings a second, on two invented
 * riders, with something known happening in one of the channels (each in turn). */
enum study_rider { RIDER_FIRST, RIDER_SWAY, STUDY_RIDERS }; /* simulated_hold.h, sway_rider.h */
enum hold_event {
    EVENT_NONE,
    EVENT_GLANCES,       /* looks up for 2 to 4 s, two a minute */
    EVENT_SETTLING,      /* 20 mm, with a time constant of 20 s */
    EVENT_SETTLING_RAMP, /* 20 mm, evenly, and over after 20 s */
    EVENT_CREEP,         /* 15 mm a minute, up or down */
    EVENT_STEP,          /* 8 mm, up or down, 10 s from either end at least */
    EVENT_STEP_LARGE,    /* 12 mm */
    EVENT_LAST_GLANCE,   /* looks up by 40 mm for 2 s, half a second before the end */
    EVENT_RESTLESS,      /* nothing, on riders who wander twice as far */
    HOLD_EVENTS
};

struct hold_study {
    long holds;
    /* holds: with such an alarm on either channel where nothing happens, else on the one where it
     * does */
    long not_settled, settling, stepped, drifting;
    long drifting_channels; /* of both */
    long step_found;        /* within 1.5 s */
    long creep_covered, covered;
    double errors, squares; /* of the mean, in mm; of the channel with the event */
    double whole_squares;   /* the same of the mean of all readings */
};

/* Adds so many holds. */
void hold_study_run(enum study_rider rider, enum hold_event event, double seconds, long holds,
                    uint64_t seed, struct hold_study *study);
const char *hold_event_name(enum hold_event event);
/* A line of the table, and its heading. */
void hold_study_heading(void);
void hold_study_print(enum study_rider rider, enum hold_event event, double seconds,
                      const struct hold_study *study);

#endif
