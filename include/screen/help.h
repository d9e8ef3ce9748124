/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_HELP_H
#define HOLDLINE_SCREEN_HELP_H

#include "screen/page.h"

/* The keys that work here, then the others, then the signs of the fitter's screen. Give the number
 * of lines in all. */
int help_draw(struct page_frame *frame, const struct view *view);
/* The keys of a form, where letters are typed. */
int help_draw_form(struct page_frame *frame);

#endif
