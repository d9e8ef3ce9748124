/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_SENSORS_PARTS_H
#define HOLDLINE_SCREEN_SENSORS_PARTS_H

#include "screen/scroll.h"
#include "screen/sensors.h"

/* For the files of the sensors' page only. */

/* The check that is going on, if there is one: what is asked, how far it has come. */
void sensors_put_running(struct scroll *scroll, const struct view *view);
/* What the latest check came to and what to do next; nothing while one is going on. */
void sensors_put_latest(struct scroll *scroll, const struct view *view);
/* What was checked of this placing, and what was not. */
void sensors_put_checks(struct scroll *scroll, const struct view *view);
/* sensors_traces.c: where rows are left, the readings of the last minute or two. */
void sensors_put_traces(struct scroll *scroll, struct plot *plot, const struct view *view);
/* The next step, and the keys of this page, in the last row but one. */
void sensors_draw_next(struct canvas *canvas, const struct page_state *state,
                       const struct view *view, bool more);

#endif
