/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_SCREEN_H
#define HOLDLINE_SCREEN_SCREEN_H

#include "base/problem.h"
#include "session/view.h"

#include <stdbool.h>

/* The only room where curses is spoken. One thread calls it. It reads a view and turns keys into
 * the session's command lines; it knows neither the session nor the store. */
struct screen;

/* Takes the terminal over. NULL with one clear line when TERM is unknown or standard output is no
 * terminal; the terminal is then as it was. */
struct screen *screen_open(struct problem *problem);
void screen_close(struct screen *screen); /* gives the terminal back */

/* A second screen, for the rider: the rider's page alone, no commands; q leaves (SCREEN_QUIT). */
void screen_watch_only(struct screen *screen);

/* Draws what changed (nothing when nothing did). */
void screen_draw(struct screen *screen, const struct view *view);
/* Before there is anything to draw: what is waited for, and how much of it is done (NAN: not
 * known).
 */
void screen_draw_wait(struct screen *screen, const char *doing, double share);

enum screen_request {
    SCREEN_NOTHING,
    SCREEN_COMMAND,   /* line holds a session command */
    SCREEN_QUIT,      /* confirmed: end the session and leave */
    SCREEN_EXPORT,    /* line holds the file name */
    SCREEN_REPLACE,   /* the same, over the file that is there */
    SCREEN_STOP_WORK, /* what runs beside the session (view->work) */
};
/* Takes the keys that are waiting (never blocks). Call until SCREEN_NOTHING. */
enum screen_request screen_key(struct screen *screen, const struct view *view, char *line,
                               size_t size);

/* What a command or export came to; shown on the message line, or at the form that made it (then
 * the form stays open with what was typed). */
void screen_answer(struct screen *screen, bool done, const char *sentence);
/* Is it meant so? The same again is: an export (SCREEN_REPLACE) whose file is there already, a line
 * that is taken with sure=yes. */
void screen_answer_asked(struct screen *screen, const char *sentence);

/* What nobody waits for with a form open: told below, a problem until a key, else for a while. */
void screen_tell(struct screen *screen, bool problem, const char *sentence);

/* The session is over and something still runs: to the first page, which tells of it. */
void screen_to_first_page(struct screen *screen);

/* Tones: while it counts down to a start or an end, at the start, at the end; and the cue: lower,
 * raise, in again. Who plays them gives false where the terminal's bell is to ring instead; without
 * anybody the bell rings. The bell has one pitch, so it tells no cue. */
enum screen_tone {
    SCREEN_TONE_COUNT,
    SCREEN_TONE_START,
    SCREEN_TONE_END,
    SCREEN_TONE_LOWER,
    SCREEN_TONE_RAISE,
    SCREEN_TONE_IN,
    SCREEN_TONE_REST, /* of a ride: sit up for a while */
    SCREEN_TONES,
};
typedef bool screen_tone_player(void *context, enum screen_tone tone);
void screen_set_tones(struct screen *screen, screen_tone_player *player, void *context);
/* On from the start; key z does the same. */
void screen_tones_on(struct screen *screen, bool on);

/* A descriptor to poll for keys. */
int screen_input(const struct screen *screen);
/* Its terminal has hung up. */
bool screen_is_gone(const struct screen *screen);

#endif
