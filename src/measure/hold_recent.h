/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_HOLD_RECENT_H
#define HOLDLINE_SRC_MEASURE_HOLD_RECENT_H

#include "hold_model.h"
#include "hold_step.h"
#include "series.h"

/* The latest minutes of a hold that goes on, in which steps are looked for stretch by stretch
 * (hold_step.h). Inside the layer only. */
struct recent {
    double *time_s, *height_mm; /* of the hold; owned */
    size_t count, room;
    double expected_rate_hz; /* the highest of the pieces */
    double kept_from_s;      /* what is before is gone */
    double look_from_s;      /* the next stretch begins here */
    struct hold_model step;  /* the largest so far */
};

bool recent_begin(struct recent *recent, double rate_hz); /* false without memory */
void recent_end(struct recent *recent);
/* A piece's readings. What no look wants any more goes. False: some are left out, without memory.
 */
bool recent_add(struct recent *recent, const struct series *series, double from_s);
/* Looks in the stretches that are whole at now_s, as of a hold of most_s; over: and in the last
 * one, which ends now. True: the step is larger than it was. */
bool recent_look(struct recent *recent, double now_s, double most_s, bool over);
/* hold_stream_step_at. */
enum measure_status recent_step_at(const struct recent *recent, double now_s, double at_s,
                                   double *step_mm);
/* The model of a hold that is not looked at in stretches: all of it is there. */
bool recent_model(const struct recent *recent, double duration_s, struct hold_model *model);

#endif
