/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_DRAG_PAGE_H
#define HOLDLINE_SCREEN_DRAG_PAGE_H

#include "screen/page.h"

/* A day of runs: what is known of rider, course and air, the setups against each other, each run
 * with what was left out of it. It scrolls by lines; the last two rows are the next step and the
 * message. Gives the number of lines. */
int drag_page_draw(struct page_frame *frame, struct page_state *state, const struct view *view);

/* The form that its next step opens: what is missing, else a ride; so many steps on, another. */
enum form_kind drag_page_due(const struct view *view, int step);

#endif
