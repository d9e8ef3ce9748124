/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_COMPARISON_H
#define HOLDLINE_SCREEN_COMPARISON_H

#include "screen/page.h"

/* Of the picture of two channels, with its heading and axis: paging goes no further than leaves it
 * whole on one page or the other. */
#define COMPARISON_PICTURE_ROWS 12
/* All setups against the baseline, the verdicts in full words, the latest holds. Gives the
 * number of lines in all. */
int comparison_draw(struct page_frame *frame, struct page_state *state, const struct view *view);

#endif
