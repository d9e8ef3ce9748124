/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_PAGES_H
#define HOLDLINE_SCREEN_PAGES_H

#include "screen/canvas.h"
#include "screen/gauge.h"
#include "screen/keys.h"
#include "screen/plot.h"
#include "session/view.h"

/* The pages: each draws a view onto the canvas. What must outlive a drawing is in struct
 * page_state. */
struct page_state {
    struct plot plot;
    struct gauge_axis axis[CHANNELS_MAX];
    bool tones;        /* at three, two, one, start and end */
    char message[512]; /* the line at the bottom */
    bool message_is_problem;
    bool asks_to_end; /* q was pressed: the line at the bottom asks */
};

/* Smaller than this is one line that says so. */
#define PAGE_ROWS_MIN 12
#define PAGE_COLUMNS_MIN 40

void fitter_draw(struct canvas *canvas, struct page_state *state, const struct view *view);
void rider_draw(struct canvas *canvas, struct page_state *state, const struct view *view);
/* first: the line to begin with (scrolled). Gives the number of lines in all. */
int help_draw(struct canvas *canvas, const struct view *view, int first);
/* The same of the keys of a form, where letters are typed. */
int help_draw_form(struct canvas *canvas, int first);

/* Of the picture of two channels, with its heading and axis: paging goes no further than leaves it
 * whole on one page or the other. */
#define COMPARISON_PICTURE_ROWS 12
/* All setups against the baseline, the verdicts in full words, the latest holds. first: the line to
 * begin with. Gives the number of lines in all. */
int comparison_draw(struct canvas *canvas, struct page_state *state, const struct view *view,
                    int first);
/* A verdict with its reason and what would settle it: '▼ lower by 12 mm (6 to 18)'. */
void comparison_words(char *text, size_t size, const struct setup_difference *difference);

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

/* The interval of one difference on an axis of so many cells from minus to plus reach. */
void table_draw_whisker(struct canvas *canvas, const struct setup_difference *difference,
                        double matters, double reach, int row, int column, int columns);
/* How far that axis reaches for all setups of a channel, mm. */
double table_reach(const struct view *view, int channel);

/* Channels of the body, in order; gives their number. */
int page_body_channels(const struct view *view, int index[CHANNELS_MAX]);
/* How far something has come, 0 to 1. */
void page_progress_bar(struct canvas *canvas, int row, int column, int columns, double share);
/* Message, question, or nothing: the last row. */
void page_message(struct canvas *canvas, const struct page_state *state, const struct view *view,
                  int row);
/* The next step as a field with its key, which has the room first (the row below too, where no
 * message stands in it), then the keys that work now as far as they fit. Nothing while the row
 * below asks. */
void page_next(struct canvas *canvas, const struct page_state *state, const struct view *view,
               int row);
/* Nothing is left but to compare: Space opens the comparison. */
bool page_next_compares(const struct view *view);
/* The suggested bands in numbers: 'head +10/−20, chest +8/none'; "" without any. */
void page_band_suggested(char *text, size_t size, const struct view *view);

#endif
