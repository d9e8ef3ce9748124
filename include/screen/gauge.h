/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_GAUGE_H
#define HOLDLINE_SCREEN_GAUGE_H

#include "screen/canvas.h"
#include "screen/plot.h"
#include "session/snapshot.h"
#include "session/view.h"

/* One channel: the history of the last minute or two, whose right edge is the live gauge, and the
 * earlier setups' marks, all on one upright axis of true heights. */

/* There is a target (a band about it) that can be shown. */
bool gauge_has_target(const struct view_channel *channel);
bool gauge_has_band(const struct view_channel *channel);
/* How far a gauge about the target reaches, above and below: twice the wider limit, 30 mm at least.
 */
double gauge_reach_mm(const struct view_channel *channel);

/* The axis; kept from drawing to drawing so that it does not jump. */
struct gauge_axis {
    bool set;
    uint64_t redrawn; /* of the history that it was made for */
    double low_mm, high_mm;
};
/* Chooses the axis: band, earlier setups and the history shown lie within it. It grows at once and
 * shrinks only where much less would do. */
void gauge_fit_axis(struct gauge_axis *axis, const struct view *view, int channel);

/* Where the free holds of the setups were; gives their number. */
struct gauge_mark {
    int setup; /* its number */
    double height_mm;
};
int gauge_marks(const struct view *view, int channel, struct gauge_mark marks[SETUPS_MAX]);

struct gauge_place {
    int row, column, rows, columns; /* all of it: numbers, history, gauge, marks */
    bool marks;                     /* with earlier setups' marks at the right */
};
void gauge_draw(struct canvas *canvas, struct plot *plot, const struct gauge_axis *axis,
                const struct view *view, int channel, const struct gauge_place *place);

/* A lying gauge in one row: band, earlier setups' marks, needle. For small terminals. */
void gauge_draw_lying(struct canvas *canvas, const struct view *view, int channel, int row,
                      int column, int rows, int columns);

/* Style of a cue's colour on the panel. */
enum style gauge_cue_style(enum cue_state cue);
/* Style of a field with the cue's words. */
enum style gauge_field_style(enum cue_state cue);

/* Points of history that one column takes, and the seconds that so many columns show. */
int gauge_points_per_column(int columns);

#endif
