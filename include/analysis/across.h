/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_ACROSS_H
#define HOLDLINE_ANALYSIS_ACROSS_H

#include "analysis/analysis.h"

/* Heights of one session beside those of another. The bottom bracket is what both are counted from,
 * so each must know how high its sensors were over it. */

/* A channel on a build of a session. */
struct across_place {
    const struct session_record *record;
    const struct analysis *analysis;
    int build, channel;
};

/* Are heights there told from the board on the pads, whose height nobody said, in place of the
 * bottom bracket? They are as good as those of other days with that board, and no others. */
bool across_from_board(const struct across_place *place);

/* Standard uncertainty of the difference between the sensors' heights at two places in different
 * sessions (or placings); NAN where one of them is not known over the bottom bracket, or one alone
 * is told from the board. Where both
 * follow from the same frame's measures, only what differs between the parts counts, with where
 * each sensor sits on its carrier (a tape); else both absolute uncertainties in quadrature. */
double across_u_mm(const struct across_place *a, const struct across_place *b);

/* The part that is one number for all builds of the place's session, against the reference's: of
 * the placing's first builds. NAN as above. reference NULL: counted from the bottom bracket. */
double across_common_u_mm(const struct across_place *place, const struct across_place *reference);

/* Do both heights follow from the measures of the same frame? */
bool across_same_measures(const struct across_place *a, const struct across_place *b);

/* ---- one rider's setups over several sessions ------------------------------------------------ */

#define ACROSS_SESSIONS_MAX 24

/* A session, oldest first; the caller's. */
struct across_session {
    int64_t id; /* as the person names it */
    const struct session_record *record;
    const struct analysis *analysis;
};

/* A setup with free holds that count. With the same bike and parts in several sessions it is one.
 */
struct across_setup {
    int session, setup;                 /* where it was first: index, and index in that session */
    int number_in[ACROSS_SESSIONS_MAX]; /* its number in each session; 0 = not there */
    int holds_in[ACROSS_SESSIONS_MAX];  /* free holds there */
};

/* Why a session's heights of a channel can't be set against another's. */
enum across_apart { APART_NOT, APART_NOT_MEASURED, APART_NOT_TIED, APART_OTHER_MARK };

struct across_channel {
    char name[CHANNEL_NAME_SIZE];
    double matters_mm; /* as in the latest session */
    /* of the sensors' heights over the bottom bracket, one number for a session; NAN: not tied */
    double u_session_mm[ACROSS_SESSIONS_MAX];
    enum across_apart apart[ACROSS_SESSIONS_MAX];
    const char *mark[ACROSS_SESSIONS_MAX]; /* on the body; NULL: it was not measured there */
    int reference;                         /* the session whose mark is compared with; -1 = none */
    struct comparison heights;             /* setups as in across */
};

struct across {
    int session_count;
    struct across_session session[ACROSS_SESSIONS_MAX];
    int setup_count, baseline;
    struct across_setup setup[COMPARE_SETUPS_MAX];
    int channel_count;
    struct across_channel channel[CHANNELS_MAX];
};

/* The same bike with the same parts in two sessions; of bikes of which nothing is known that can't
 * be said. */
bool across_same_setup(const struct across_session *a, int setup_a, const struct across_session *b,
                       int setup_b);
/* A setup of a session among the compared ones, by its parts where it was not held there; -1. */
int across_find_setup(const struct across *across, int session, int setup);

/* Puts the sessions together and compares. baseline: index of a setup, -1 for the one that the
 * oldest session is compared against. NULL with a problem: too much for one comparison, no free
 * holds at all, riders that differ. Freed by across_destroy. */
struct across *across_make(const struct across_session *sessions, int count, int baseline,
                           struct problem *problem);
/* The same where there may be no free hold at all: of visits, not for a comparison. */
struct across *across_make_visits(const struct across_session *sessions, int count,
                                  struct problem *problem);
void across_destroy(struct across *across);

#endif
