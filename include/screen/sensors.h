/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_SENSORS_H
#define HOLDLINE_SCREEN_SENSORS_H

#include "analysis/check.h"
#include "screen/page.h"

/* The page of the sensors: each one's readings, health and place; the wire and the clock; the check
 * that is going on; which checks were made of this placing, and which one is due. */

/* Gives the number of lines in all. */
int sensors_draw(struct page_frame *frame, struct page_state *state, const struct view *view);

/* The check that is due: one that went wrong again (a step that reads too much or too little wants
 * a calibration), then those not made yet of this placing, in the order rider, beam, step, still.
 * False when all were made, or there are no sensors. channel: index in the view, -1 = all. */
struct sensors_due {
    enum check_kind kind;
    int channel;
};
bool sensors_check_due(const struct view *view, struct sensors_due *due);

/* 'rider test', 'beam', ... */
const char *sensors_kind_words(enum check_kind kind);
/* The latest check of this placing of a kind and sensor (-1 = all): its place in the record, or -1.
 */
int sensors_result(const struct view *view, enum check_kind kind, int channel);
/* It carries ranges: it can be checked. */
bool sensors_is_range(const struct channel_record *channel);

#endif
