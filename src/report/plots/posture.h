/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_PLOTS_POSTURE_H
#define HOLDLINE_REPORT_PLOTS_POSTURE_H

#include "posture_words.h"

#include "bike/side_view.h"
#include "report/report.h"

/* What there is to draw of the rider on the bike, as found and as chosen: parts, marks on the body,
 * what moved. Places in mm from the bottom bracket. */

#define POSTURE_CHANGES_MAX 12
#define POSTURE_SKULL_MM 105.0 /* from the mark under it to its middle; drawn, not measured */

/* One change: from a point to a point, and in words. */
struct posture_change {
    struct point from, to;
    char words[POSTURE_WORDS_SIZE];
};

struct posture {
    struct side_view found, chosen;
    bool has_chosen; /* it is another one than the one found, and can be drawn */
    struct bike_points found_points, chosen_points;
    /* marks on the body, of the first channels */
    int marks;
    struct {
        int channel;
        bool has_found, has_chosen;
        struct point found, chosen;
    } mark[CHANNELS_MAX];
    int changes;
    struct posture_change change[POSTURE_CHANGES_MAX];
    /* what a picture cannot show, since places are not known: changes of parts, saddle, rider */
    int undrawn;
    char undrawn_words[POSTURE_UNDRAWN_MAX + POSTURE_RIDER_MAX][POSTURE_UNDRAWN_SIZE];
};

/* chosen: index of the setup, -1 = as found alone. False where parts are missing without which
 * there is no bike to draw. */
bool posture_find(struct posture *posture, const struct report_input *input, int chosen);

/* The rider, to find one's way by: shoulder and hip follow from marks and saddle, lengths are usual
 * ones. */
struct posture_body {
    bool there, has_arm, has_leg;
    struct point head, shoulder, hip, elbow, hand, knee, foot;
};

/* Not there without two marks and a saddle; crank: its length, mm, NAN = no leg. */
struct posture_body posture_body_of(const struct posture *posture, bool as_chosen, double crank);

#endif
