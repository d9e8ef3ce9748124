/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_VISITS_H
#define HOLDLINE_ANALYSIS_VISITS_H

#include "analysis/across.h"

/* A rider's visits, one beside the other: what of their heights can be set against each other.
 * Setups and channels are those of the across. */

/* The mean of a setup's free holds on one visit. */
struct visit_height {
    bool measured, tied;
    /* 95 %, with what not knowing the sensor's height over the bottom bracket adds; NAN: not known
     */
    double mean_mm, half_width_mm;
};
struct visit_height visit_height(const struct across *across, int session, int setup, int channel);

/* How much a setup differs between two visits; known: both tied, with their limits. The half-width
 * is that of both means and both sensors' heights in quadrature. */
struct visit_change {
    bool known;
    double change_mm, half_width_mm;
};
struct visit_change visit_change(const struct across *across, int setup, int channel, int from,
                                 int to);

/* The setup (of the across) that was chosen on a visit; -1: none, or it was not held freely. */
int visit_chosen(const struct across *across, int session);
/* The next visit after this one on which a setup was held freely; -1 = none. */
int visit_next(const struct across *across, int session, int setup);
/* What a rating of a setup came to on a visit; NAN = not asked. */
double visit_rating(const struct across *across, int session, int setup, int item);

#endif
