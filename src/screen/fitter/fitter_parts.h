/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_FITTER_PARTS_H
#define HOLDLINE_SCREEN_FITTER_PARTS_H

#include "screen/fitter.h"

/* Parts of the fitter's screen, each drawn where fitter.c puts it. */

/* The two lines at the top: who, which bike, the clock; the setup and what moved. */
void fitter_head(struct canvas *canvas, const struct view *view);
void fitter_setup(struct canvas *canvas, const struct view *view);
/* What is being recorded, in one row. */
void fitter_recording(struct canvas *canvas, const struct view *view, int row, int column,
                      int columns);
/* Sensors and store, in one row. */
void fitter_health(struct canvas *canvas, const struct view *view, int row, int column,
                   int columns);
/* A channel: title, history and gauge on one axis, cue, digits, numbers of the hold. */
void fitter_panel(struct canvas *canvas, struct page_state *state, const struct view *view,
                  int channel, int row, int column, int rows, int columns);
/* The same in one or two rows of a small terminal. */
void fitter_small_panel(struct canvas *canvas, const struct view *view, int channel, int row,
                        int rows);

#endif
