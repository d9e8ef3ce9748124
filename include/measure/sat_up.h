/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_SAT_UP_H
#define HOLDLINE_MEASURE_SAT_UP_H

#include "measure/hold.h"

/* Sitting up, as told from glances and from a posture that is lost: a part of the body far over its
 * upper limit (SAT_UP_HEAD_MM the head, SAT_UP_MM another) for SAT_UP_S, until none is for
 * SAT_UP_S. It reaches from the first reading that is over to the first that is back. Streaming. */
struct sat_up {
    bool up;        /* sat up now, as far as is known */
    double since_s; /* up: since when; else since when it is over, NAN it is not */
    double back_s;  /* while up: since when none is over, NAN one is */
    int times;      /* that are over and done with, and the one that lasts */
    double total_s; /* of those that are over */
};
void sat_up_start(struct sat_up *sat);
/* One step: is any part that far over its limit? A reading that is missing changes nothing: leave
 * the step out. True when a stretch ended: *stretch is that. */
bool sat_up_step(struct sat_up *sat, double time_s, bool over, struct hold_cut *stretch);
/* The hold ends: a stretch that lasts ends with it. */
bool sat_up_end(struct sat_up *sat, double time_s, struct hold_cut *stretch);
/* That far over? limit_mm: the upper end of the band; INFINITY, or not finite height: no. */
bool sat_up_is_over(double height_mm, double limit_mm, bool is_head);

#endif
