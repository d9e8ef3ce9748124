/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_VIEWS_H
#define HOLDLINE_TESTS_SUPPORT_VIEWS_H

#include "session/snapshot.h"
#include "session/view.h"

/* Made-up views for screens, one for each state of a session: an invented rider of a club's winter
 * indoor training group on an invented bike. */
enum made_view {
    MADE_EMPTY, /* no sensors, nothing entered */
    MADE_FIRST, /* sensors are there, nothing entered yet */
    MADE_LIVE,  /* setup 3, target and band, at rest after one hold */
    MADE_SETTLING,
    MADE_HOLD_FREE,
    MADE_HOLD_GUIDED,
    MADE_TARGET,
    MADE_PLATE,
    MADE_TROUBLE,  /* link down, store behind, a problem in the message */
    MADE_CHECK,    /* a step test that waits for its block, a power meter on the wire */
    MADE_CHECKED,  /* at rest, some checks made and the latest failed, a sensor that sees two things
                    */
    MADE_MANY,     /* twelve setups, four channels of the body */
    MADE_HOLD_OUT, /* guided, the head is high */
    MADE_RUNS,     /* live, with a day of runs: the eight of support/drag_day.h */
    MADE_ENDED,    /* live, and the session was ended from elsewhere */
    MADE_VIEWS,
};
extern const char *const made_view_names[MADE_VIEWS];

/* A view with all that it points at. */
struct made_up {
    struct view view;
    struct snapshot snapshot;
    struct view_history history;
    struct view_carry_offers earlier;
};
void made_view(struct made_up *made, enum made_view kind);
/* Of nothing: no sensors, no session. */
void made_begin(struct made_up *made);
void made_copy(struct made_up *to, const struct made_up *from);
/* What a made view stands in, and what it points at, to be changed. */
struct made_up *made_of(struct view *view);
struct snapshot *made_snapshot(struct view *view);
struct channel_record *made_sensor(struct view *view, int channel);
/* A plate read over a sensor, on the build in force. */
void made_plate(struct view *view, int channel, double range_mm);
/* view_moves.c: time goes on by so much: the body moves, the history grows, clocks run. */
void made_view_step(struct view *view, double seconds);
/* One more step of the history, as it was at a time. */
void made_view_point(struct view *view, double time_s, enum view_phase phase, int setup);
/* view_events.c: what has happened in the made-up session, the newest last. */
void made_events(struct view *view);
/* view_insight.c: what follows from its holds beside the comparison. */
void made_insight(struct view *view);
/* view_checks.c: what is on the wire; a check that runs; those that were made. */
void made_wire(struct view *view);
void made_check(struct view *view);
void made_results(struct view *view);
/* One more, of a sensor (-1: all); a step that reads too much. */
struct check_record *made_checked(struct view *view, enum check_kind kind, int channel,
                                  enum check_verdict verdict, double at_s, const char *words);
void made_off_scale(struct check_record *check);

#endif
