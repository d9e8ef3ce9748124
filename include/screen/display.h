/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_DISPLAY_H
#define HOLDLINE_SCREEN_DISPLAY_H

#include "base/problem.h"
#include "screen/canvas.h"
#include "screen/palette.h"

/* The terminal, taken over by curses. Its implementation is the one file that includes curses'
 * header. */
struct display;

/* Letters and colours are found out here: the locale, TERM, NO_COLOR. NULL with a sentence where
 * the terminal can't be used; it is then as it was. */
struct display *display_open(struct problem *problem);
void display_close(struct display *display);

enum letters display_letters(const struct display *display);
void display_size(const struct display *display, int *rows, int *columns);

/* Sends what differs from what was shown last. */
void display_show(struct display *display, const struct canvas *canvas);
/* All of it once more at the next show: after something else wrote on the terminal. */
void display_renew(struct display *display);
/* After a change of size: all of it at the next show, and once more at the one after it, since the
 * terminal may still have taken bytes that were meant for the old size. */
void display_resized(struct display *display);
/* Another show is due even where nothing has changed. */
bool display_owes(const struct display *display);
/* Where the cursor stands while something is typed; row -1 hides it. */
void display_cursor(struct display *display, int row, int column);
void display_bell(struct display *display);

/* A key that waits: a character (Unicode), or one of these. Never blocks. */
enum display_key {
    KEY_NOT_ANY = 0,
    KEY_OTHER = 0x110000, /* not known */
    KEY_SIZE,             /* the size has changed */
    KEY_GO_UP,
    KEY_GO_DOWN,
    KEY_GO_LEFT,
    KEY_GO_RIGHT,
    KEY_GO_HOME,
    KEY_GO_END,
    KEY_PAGE_UP,
    KEY_PAGE_DOWN,
    KEY_ERASE,
    KEY_ERASE_FORWARD,
    KEY_ACCEPT,
    KEY_TAB_BACK,
    KEY_PASTE_BEGINS, /* what comes up to the next is pasted, not typed */
    KEY_PASTE_ENDS,
};
#define KEY_ESCAPE 27
#define KEY_TAB 9
#define KEY_INTERRUPT 3 /* Ctrl-C */
#define KEY_SUSPEND 26  /* Ctrl-Z */
#define KEY_BREAK 28    /* Ctrl-\ */
#define KEY_EMPTY 21    /* Ctrl-U */
#define KEY_ANEW 18     /* Ctrl-R */
uint32_t display_key(struct display *display);
int display_input(const struct display *display);
/* The terminal has hung up: no key comes any more, and nobody sees a picture. */
bool display_is_gone(const struct display *display);

#endif
