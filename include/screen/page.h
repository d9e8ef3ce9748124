/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_PAGE_H
#define HOLDLINE_SCREEN_PAGE_H

#include "screen/canvas.h"
#include "screen/gauge.h"
#include "screen/keys.h"
#include "screen/plot.h"
#include "session/snapshot.h"
#include "session/view.h"

/* What the pages share: what must outlive a drawing, where they are drawn, the channels they show,
 * and the two lines at the bottom. */
/* What is being pasted. */
struct page_paste {
    bool on;
    bool blank; /* a line of it has ended: a blank, where more comes */
    bool lost, cut;
    size_t tail; /* so many signs of its end in parts have come */
    double last_s;
};

struct page_state {
    struct plot plot;
    struct gauge_axis axis[CHANNELS_MAX];
    bool tones;        /* at three, two, one, start and end */
    char message[512]; /* the line at the bottom */
    bool message_is_problem;
    bool stops_work; /* Esc stops what runs beside the session: it leads to no other page */
    double said_s;   /* when it came, session time; NAN: at the next drawing */
    int64_t said_us; /* the same by the computer's clock: a session without readings stands still */
    int drag_step;   /* of the page of runs: steps passed over since the last was done */
    bool asks_to_end; /* q was pressed: the line at the bottom asks */
    /* another question there: y sends the line, or (of_form) those of the form */
    char question[160], question_line[64];
    bool question_of_form;
    struct page_paste paste;
};

/* Smaller than this is one line that says so. */
#define PAGE_ROWS_MIN 12
#define PAGE_COLUMNS_MIN 40

/* A page being drawn. */
struct page_frame {
    struct canvas *canvas;
    int title_end;                 /* column after its title in the first row */
    int first;                     /* line to begin with, where it scrolls */
    int cursor_row, cursor_column; /* where something is typed; row -1: nowhere */
};

/* The message of the line at the bottom; "" takes it away. What was done is told for a while, what
 * went wrong stays until a key. True: it has gone. */
void page_say(struct page_state *state, bool problem, const char *sentence);
/* A question at the bottom; line: what y makes, NULL: the lines of the form that is open. */
void page_ask(struct page_state *state, const char *question, const char *line);
bool page_let_message_go(struct page_state *state, const struct view *view);
/* A key that does not work now: why, in a few words. */
void page_say_why_not(struct page_state *state, const struct key_entry *entry,
                      enum key_place place);

/* The rider who is entered was here before, or one whose code is nearly the same, and nothing of a
 * bike was said yet today: so, with the day; false where the store has no such session, or has not
 * been read yet. */
bool page_was_here(const struct view *view, char *text, size_t size);
/* Channels of the body, in order; gives their number. */
int page_body_channels(const struct view *view, int index[CHANNELS_MAX]);
/* The latest holds that are over (places in the record), the newest first; gives their number. */
#define PAGE_HOLDS 16
int page_latest_holds(const struct session_record *record, int hold[PAGE_HOLDS]);
/* Number of the setup that was held. */
int page_setup_of_hold(const struct session_record *record, const struct hold_record *hold);
/* What one of them came to on a channel; NAN = not known. */
struct page_hold_numbers {
    double mean_mm, half_width_mm, in_band_share;
};
struct page_hold_numbers page_hold_numbers(const struct view *view, int hold, int channel);
/* What a setup is for, else what was changed against the one before. */
void page_setup_words(char *text, size_t size, const struct session_record *record, int setup);
/* How far something has come, 0 to 1. */
void page_progress_bar(struct canvas *canvas, int row, int column, int columns, double share);
/* What runs beside the session stands in the last row: no problem has its place. */
bool page_tells_of_work(const struct page_state *state, const struct view *view);
/* Message, question, what runs beside the session, or nothing: the last row. */
void page_message(struct canvas *canvas, const struct page_state *state, const struct view *view,
                  int row);
/* Rows that it wants: 2 where it is too long for one. */
int page_message_rows(const struct canvas *canvas, const struct page_state *state,
                      const struct view *view);
/* The same in so many rows from this one on. */
void page_message_in(struct canvas *canvas, const struct page_state *state, const struct view *view,
                     int row, int rows);
/* The screen before there is a view: what is waited for, and its share where that is known. */
void page_wait(struct canvas *canvas, const char *doing, double share);
/* The next step as a field with its key, which has the room first (the row below too, where no
 * message stands in it), then the keys that work now as far as they fit. Nothing while the row
 * below asks. */
void page_next(struct canvas *canvas, const struct page_state *state, const struct view *view,
               int row);
/* Nothing is left but to compare: Space opens the comparison. */
bool page_next_compares(const struct view *view);
/* What would be refused now is not offered. */
bool page_key_works(const struct key_entry *entry, const struct view *view);
/* The suggested bands in numbers: 'head +10/−20, chest +8/none'; "" without any. */
void page_band_suggested(char *text, size_t size, const struct view *view);

#endif
