/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_EVENT_H
#define HOLDLINE_SAY_EVENT_H

#include "analysis/analysis.h"
#include "record/effect.h"

/* What has happened in the session, oldest first. */
enum event_kind {
    EVENT_PEOPLE, /* rider, bike, sensors: described */
    EVENT_SETUP,  /* a setup, or a new build of one */
    EVENT_TARGET,
    EVENT_BAND,
    EVENT_HOLD,
    EVENT_MARK,
    EVENT_RATING,
    EVENT_NOTE,
    EVENT_HEIGHT, /* plate or tape */
    EVENT_CHECK,
    EVENT_CHOICE, /* the setup the rider goes home with */
    EVENT_ANSWER, /* to what was asked, and what was put right */
    EVENT_RUN,    /* of a day of runs; the air of it */
    EVENT_BACK,   /* something was taken back, or put back again */
};
#define EVENTS_MAX                                                                                 \
    (PLACINGS_MAX + SETUPS_MAX + BUILDS_MAX + TIES_MAX + TARGETS_MAX + BANDS_MAX + HOLDS_MAX +     \
     RATINGS_MAX + MARKS_MAX + NOTES_MAX + CHECKS_MAX + AIRS_MAX + RUNS_MAX + 1000)
struct event {
    double at_s; /* session axis */
    enum event_kind kind;
    int hold;      /* number of the hold it is or is about; 0 = none */
    bool left_out; /* of a hold: it was left out */
    char what[24]; /* 'hold 3', 'setup 2', 'mark', 'plate' */
    char text[CHECK_WORDS_SIZE];
};

/* A record (by its kind and place; EFFECT_SESSION: the number of the setup chosen) in the words of
 * the session's history. All but at_s is filled. */
void say_event(const struct session_record *record, const struct analysis *analysis,
               enum effect_kind kind, int index, struct event *event);
/* Of one that was taken back since. */
void say_event_taken_back(struct event *event);

#endif
