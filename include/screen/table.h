/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_TABLE_H
#define HOLDLINE_SCREEN_TABLE_H

#include "screen/canvas.h"
#include "session/view.h"
#include <stdbool.h>

/* The setups and what they show so far, in so many rows (the first is the heading); words: with the
 * verdicts. Rows used. */
int table_draw(struct canvas *canvas, const struct view *view, int row, int column, int rows,
               int columns, bool words);
/* Intervals of the differences of one channel against the baseline, a row a setup. Rows used. */
int table_draw_differences(struct canvas *canvas, const struct view *view, int channel, int row,
                           int column, int rows, int columns);
/* The latest holds, newest first. Rows used. */
int table_draw_holds(struct canvas *canvas, const struct view *view, int row, int column, int rows,
                     int columns);

/* What has happened, newest first, each in up to three rows. Rows used. */
int table_draw_events(struct canvas *canvas, const struct view *view, int row, int column, int rows,
                      int columns);

/* The interval of one difference on an axis of so many cells from minus to plus reach. */
void table_draw_whisker(struct canvas *canvas, const struct setup_difference *difference,
                        double matters, double reach, int row, int column, int columns);
/* How far that axis reaches for all setups of a channel, mm. */
double table_reach(const struct view *view, int channel);

#endif
