/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_INSIDE_H
#define HOLDLINE_SCREEN_INSIDE_H

#include "screen/display.h"
#include "screen/form.h"
#include "screen/journal.h"
#include "screen/keys.h"
#include "screen/pages.h"
#include "screen/screen.h"

/* The inside of the screen, for screen.c and screen_pages.c only. */

struct screen {
    struct display *display;
    struct canvas canvas;
    struct page_state state;
    bool rider_page, help_page, compare_page, sensors_page, journal_page, form_page;
    bool watching; /* the rider's page and nothing else */
    struct form form;
    struct form_draft draft[FORMS];
    bool form_done; /* all taken: closes, or goes to the next sensor */
#define KEYS_AHEAD 64
    uint32_t ahead[KEYS_AHEAD]; /* typed while an answer is awaited */
    int ahead_count;
    bool waits_for_answer; /* a line of the form is on its way */
    int help_first, help_lines;
    int compare_first, compare_lines;
    int sensors_first, sensors_lines;
    struct journal_page journal;
    bool stale; /* something other than the view has changed */
    bool drawn;
    uint64_t drawn_serial, message_serial;
    double said_s; /* when the message came, session time; NAN: at the next drawing */
    screen_tone_player *tone_player; /* NULL: the bell */
    void *tone_context;
    enum view_phase told_phase;
    double told_left_s;
};

/* screen.c: a message in the last row; a form over the page that is open */
void screen_say(struct screen *screen, bool problem, const char *sentence);
void screen_open_form(struct screen *screen, const struct view *view, enum form_kind kind);

/* screen_pages.c: the pages beside the fitter's, and what keys do on them. Those that give false
 * have taken the key; else it does what it does elsewhere. */
void screen_open_help(struct screen *screen);
void screen_open_comparison(struct screen *screen);
void screen_open_sensors(struct screen *screen);
void screen_open_journal(struct screen *screen, const struct view *view);
void screen_help_key(struct screen *screen, uint32_t key);
bool screen_compare_key(struct screen *screen, uint32_t key);
bool screen_sensors_key(struct screen *screen, const struct view *view, uint32_t key);
bool screen_journal_key(struct screen *screen, const struct view *view, uint32_t key);
enum screen_request screen_watching_key(struct screen *screen, uint32_t key);
/* A key that does not work now: why, in a few words. */
void screen_say_why_not(struct screen *screen, const struct key_entry *entry, enum key_place place);

#endif
