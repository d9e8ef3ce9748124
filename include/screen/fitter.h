/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_FITTER_H
#define HOLDLINE_SCREEN_FITTER_H

#include "screen/page.h"

void fitter_draw(struct canvas *canvas, struct page_state *state, const struct view *view);

#endif
