/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/screen.h"

#include "base/text.h"
#include "countdown.h"
#include "measure/rules.h"
#include "screen/display.h"
#include "screen/form_kind.h"
#include "screen/page_kinds.h"
#include "screen/paste.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The terminal, the stack of pages on it, and what keys do that no page takes. */
struct screen {
    struct display *display;
    struct canvas canvas;
    struct page_stack pages;
    bool watching; /* the rider's page and nothing else */
    bool stale;    /* something other than the view has changed */
    bool drawn;
    bool led; /* to the page with large words, where a rider is alone */
    uint64_t drawn_serial, message_serial, heard_serial;
    double key_s;                    /* session time of the last key */
    bool dark;                       /* a ride that nobody looks at */
    double end_asked_s;              /* of a ride without a length: session time */
    screen_tone_player *tone_player; /* NULL: the bell */
    void *tone_context;
    struct countdown countdown;
};

struct screen *screen_open(struct problem *problem)
{
    struct screen *screen = calloc(1, sizeof *screen);
    if (screen == NULL) {
        problem_set(problem, "not enough memory for the screen");
        return NULL;
    }
    screen->display = display_open(problem);
    if (screen->display == NULL) {
        free(screen);
        return NULL;
    }
    enum letters letters = display_letters(screen->display);
    if (!canvas_create(&screen->canvas, letters) ||
        !plot_create(&screen->pages.state.plot, letters)) {
        screen_close(screen);
        problem_set(problem, "not enough memory for the screen");
        return NULL;
    }
    screen->pages.open[screen->pages.count++] = PAGE_FITTER;
    screen->pages.state.tones = true;
    screen->stale = true;
    return screen;
}

void screen_close(struct screen *screen)
{
    if (screen == NULL) {
        return;
    }
    display_close(screen->display);
    plot_destroy(&screen->pages.state.plot);
    canvas_destroy(&screen->canvas);
    free(screen);
}

void screen_to_first_page(struct screen *screen)
{
    while (screen->pages.count > 1) {
        page_close(&screen->pages);
    }
    screen->stale = true;
}

void screen_watch_only(struct screen *screen)
{
    screen->watching = true;
    screen->pages.open[0] = PAGE_RIDER;
    screen->stale = true;
}

int screen_input(const struct screen *screen)
{
    return display_input(screen->display);
}

bool screen_is_gone(const struct screen *screen)
{
    return display_is_gone(screen->display);
}

static void say(struct screen *screen, bool problem, const char *sentence)
{
    page_say(&screen->pages.state, problem, sentence);
    screen->stale = true;
}

void screen_tell(struct screen *screen, bool problem, const char *sentence)
{
    say(screen, problem, sentence);
}

/* ---- tones ---- */

void screen_set_tones(struct screen *screen, screen_tone_player *player, void *context)
{
    screen->tone_player = player;
    screen->tone_context = context;
}

void screen_tones_on(struct screen *screen, bool on)
{
    screen->pages.state.tones = on;
}

static void sound(struct screen *screen, const struct view *view)
{
    static const enum screen_tone cues[CUE_SOUNDS] = {[CUE_SOUND_LOWER] = SCREEN_TONE_LOWER,
                                                      [CUE_SOUND_RAISE] = SCREEN_TONE_RAISE,
                                                      [CUE_SOUND_IN] = SCREEN_TONE_IN};
    enum screen_tone tone;
    bool hears = screen->pages.state.tones && screen->drawn;
    bool told = view->heard_serial != screen->heard_serial && view->heard != CUE_SOUND_NONE;
    screen->heard_serial = view->heard_serial;
    /* without tones, or before anything was shown, nothing is told, and nothing made up for later
     */
    if (countdown_tone(&screen->countdown, view, &tone) && hears &&
        (screen->tone_player == NULL || !screen->tone_player(screen->tone_context, tone))) {
        display_bell(screen->display);
    }
    if (told && hears && screen->tone_player != NULL) {
        screen->tone_player(screen->tone_context, cues[view->heard]);
    }
}

/* ---- drawing ---- */

static void draw_too_small(struct canvas *canvas)
{
    char text[64];
    snprintf(text, sizeof text, "too small: %d\u00D7%d, 40\u00D712 is needed", canvas->columns,
             canvas->rows);
    canvas_text(canvas, 0, 0, canvas->columns, STYLE_PLAIN, text);
}

/* Nobody looks at a ride's screen for hours: it is dark but for a while after a key, for a rest,
 * and where something is wrong. */
static bool is_dark(const struct screen *screen, const struct view *view)
{
    const struct page_stack *pages = &screen->pages;
    return view->ride.on && !view->guided && !view->ride.rest && !screen->watching &&
           page_top(pages) == PAGE_RIDER && !pages->state.message_is_problem &&
           !pages->state.asks_to_end && pages->state.question[0] == '\0' &&
           view->link_trouble[0] == '\0' && view->store_trouble[0] == '\0' &&
           view->session_s - screen->key_s >= RIDE_DARK_S;
}

void screen_draw(struct screen *screen, const struct view *view)
{
    struct page_stack *pages = &screen->pages;
    screen->stale |= page_finish_form(pages, view);
    if (view->message_serial != screen->message_serial) {
        screen->message_serial = view->message_serial;
        say(screen, view->message_is_problem, view->message);
    }
    screen->stale |= page_let_message_go(&pages->state, view);
    if (view->alone && !screen->led && !screen->watching) {
        page_open(pages, view, PAGE_RIDER);
    }
    screen->led = view->alone;
    if (screen->drawn && !screen->stale && view->serial == screen->drawn_serial) {
        return;
    }
    int rows, columns;
    struct page_frame frame = {.canvas = &screen->canvas, .cursor_row = -1, .cursor_column = -1};
    pages->state.stops_work = page_stops_work(pages);
    display_size(screen->display, &rows, &columns);
    canvas_begin(&screen->canvas, rows, columns);
    screen->dark = is_dark(screen, view);
    if (screen->dark) {
        ; /* nothing */
    } else if (rows < PAGE_ROWS_MIN || columns < PAGE_COLUMNS_MIN) {
        draw_too_small(&screen->canvas);
    } else {
        page_draw(pages, &frame, view);
    }
    if (pages->state.asks_to_end ||
        pages->state.question[0] != '\0') { /* whatever page stands there */
        page_message(&screen->canvas, &pages->state, view, rows - 1);
    }
    display_cursor(screen->display, frame.cursor_row, frame.cursor_column);
    display_show(screen->display, &screen->canvas);
    sound(screen, view);
    screen->drawn = true;
    screen->drawn_serial = view->serial;
    screen->stale = display_owes(screen->display);
}

void screen_draw_wait(struct screen *screen, const char *doing, double share)
{
    int rows, columns;
    display_size(screen->display, &rows, &columns);
    canvas_begin(&screen->canvas, rows, columns);
    page_wait(&screen->canvas, doing, share);
    display_show(screen->display, &screen->canvas);
}

/* ---- keys ---- */

static enum screen_request send_line(struct screen *screen, char *line, size_t size)
{
    const struct form *form = &screen->pages.form.form;
    bool is_export = form_page_take_line(&screen->pages.form, line, size);
    return !is_export ? SCREEN_COMMAND : form->replaces ? SCREEN_REPLACE : SCREEN_EXPORT;
}

static enum screen_request next_step(struct screen *screen, const struct view *view, char *line,
                                     size_t size)
{
    enum key_place place = key_place_of(view);
    bool waits = view->phase == VIEW_CHECK && view->check.waits_for_go;
    if (view->phase == VIEW_HOLD && view->ride.open) { /* one key alone ends it, too: twice */
        bool again =
            screen->end_asked_s > 0.0 && view->session_s - screen->end_asked_s < RIDE_END_AGAIN_S;
        screen->end_asked_s = again ? 0.0 : view->session_s;
        text_copy(line, size, "stop");
        if (!again) {
            say(screen, false, "the same key again ends the ride");
        }
        return again ? SCREEN_COMMAND : SCREEN_NOTHING;
    }
    if (!waits && (place == AT_SETTLING || place == AT_HOLD || place == AT_PLATE)) {
        say(screen, false, "it ends by itself; x stops it now");
    } else if (form_of_next(view->next) >= 0) {
        page_open_form(&screen->pages, view, (enum form_kind)form_of_next(view->next));
    } else if (view->next == VIEW_NEXT_CHECKS) {
        page_open(&screen->pages, view, PAGE_SENSORS);
    } else if (view->next == VIEW_NEXT_END) {
        screen->pages.state.asks_to_end = true;
    } else if (view->next == VIEW_NEXT_COMMAND && view->next_command[0] != '\0') {
        text_copy(line, size, view->next_command);
        return SCREEN_COMMAND;
    } else if (page_next_compares(view)) {
        page_open(&screen->pages, view, PAGE_COMPARISON);
    } else {
        say(screen, false, "nothing to do for now; ? shows the keys");
    }
    return SCREEN_NOTHING;
}

static enum screen_request act(struct screen *screen, const struct view *view,
                               const struct key_entry *entry, char *line, size_t size)
{
    struct page_stack *pages = &screen->pages;
    switch (entry->action) {
    case ACT_COMMAND:
        if (view->undo_drops && strcmp(entry->command, "undo") == 0) {
            page_ask(&pages->state, "Throw away what is being ridden or read now?", entry->command);
            break;
        }
        if (entry->asks != NULL) {
            page_ask(&pages->state, entry->asks, entry->command);
            break;
        }
        if (key_place_of(view) == AT_LIVE && entry->why_not != NULL &&
            !page_key_works(entry, view)) {
            page_say_why_not(&pages->state, entry, AT_LIVE);
            break;
        }
        text_copy(line, size, entry->command);
        return SCREEN_COMMAND;
    case ACT_FORM:
        page_open_form(pages, view, entry->form);
        break;
    case ACT_PAGE: /* and back, where it stands there */
        if (page_top(pages) == entry->page) {
            page_close(pages);
        } else {
            page_open(pages, view, entry->page);
        }
        break;
    case ACT_NEXT:
        return next_step(screen, view, line, size);
    case ACT_SKIP:
        if (view->next_skip[0] != '\0') {
            text_copy(line, size, view->next_skip);
            return SCREEN_COMMAND;
        }
        say(screen, false, "this step can't be passed over");
        break;
    case ACT_TONES:
        pages->state.tones = !pages->state.tones;
        say(screen, false, pages->state.tones ? "tones on" : "tones off");
        break;
    case ACT_REDRAW:
        display_renew(screen->display);
        break;
    case ACT_BACK:
        if (pages->count > 1) {
            page_close(pages);
        } else {
            say(screen, false, "");
        }
        break;
    case ACT_QUIT:
        pages->state.asks_to_end = true;
        break;
    }
    return SCREEN_NOTHING;
}

/* A second screen looks on: it asks nothing and commands nothing. */
static enum screen_request watching_key(struct screen *screen, uint32_t key)
{
    const struct key_entry *entry = key_find(key, AT_LIVE, NULL);
    if (entry == NULL) {
        return SCREEN_NOTHING;
    }
    if (entry->action == ACT_TONES) {
        screen->pages.state.tones = !screen->pages.state.tones;
    } else if (entry->action == ACT_REDRAW) {
        display_renew(screen->display);
    }
    return entry->action == ACT_QUIT || entry->action == ACT_BACK ? SCREEN_QUIT : SCREEN_NOTHING;
}

/* To the question at the bottom: y, or anything else for no. */
static enum screen_request take_answer(struct screen *screen, uint32_t key, char *line, size_t size)
{
    struct page_state *state = &screen->pages.state;
    struct form *form = &screen->pages.form.form;
    bool yes = key == 'y' || key == 'Y';
    state->question[0] = '\0';
    if (state->question_of_form) {
        form->question[0] = '\0';
        form->line_count = yes ? form->line_count : 0;
        return yes ? send_line(screen, line, size) : SCREEN_NOTHING;
    }
    text_copy(line, size, state->question_line);
    return yes ? SCREEN_COMMAND : SCREEN_NOTHING;
}

/* A key that no page and no table has a say in. */
static bool is_taken_anywhere(struct screen *screen, const struct view *view, uint32_t key,
                              enum screen_request *request, char *line, size_t size)
{
    if (key == KEY_SUSPEND || key == KEY_BREAK) {
        page_tell(
            &screen->pages,
            "no stopping from here: a program that is stopped reads no sensors (Ctrl-C ends)");
        return true;
    }
    if (view->guess_due && ((key >= '0' && key <= '9') || key == '+')) {
        snprintf(line, size, "guess %d", key == '+' ? 10 : (int)(key - '0'));
        *request = SCREEN_COMMAND;
        return true;
    }
    if (view->alone && page_top(&screen->pages) == PAGE_RIDER && key >= '0' && key <= '9') {
        say(screen, false, "nothing is to be guessed now"); /* no form opens from the saddle */
        return true;
    }
    return false;
}

static enum screen_request take_key(struct screen *screen, const struct view *view, uint32_t key,
                                    char *line, size_t size)
{
    struct page_state *state = &screen->pages.state;
    screen->stale = true;
    screen->key_s = view->session_s;
    if (screen->dark && key != KEY_INTERRUPT) { /* it lights the screen up, and no more */
        screen->dark = false;
        return SCREEN_NOTHING;
    }
    if (screen->watching) {
        return watching_key(screen, key);
    }
    if (state->asks_to_end) {
        state->asks_to_end = false;
        return key == 'y' || key == 'Y' ? SCREEN_QUIT : SCREEN_NOTHING;
    }
    if (key == KEY_INTERRUPT) {
        state->asks_to_end = true;
        state->question[0] = '\0';
        return SCREEN_NOTHING;
    }
    if (state->question[0] != '\0') {
        return take_answer(screen, key, line, size);
    }
    enum screen_request request = SCREEN_NOTHING;
    if (is_taken_anywhere(screen, view, key, &request, line, size)) {
        return request;
    }
    switch (page_key(&screen->pages, view, key)) {
    case PAGE_TOOK:
        return SCREEN_NOTHING;
    case PAGE_SENDS:
        return send_line(screen, line, size);
    case PAGE_PASSES:
        break;
    }
    const struct key_entry *elsewhere;
    const struct key_entry *entry = key_find(key, key_place_of(view), &elsewhere);
    if (entry != NULL && entry->action == ACT_BACK && page_stops_work(&screen->pages) &&
        page_tells_of_work(state, view)) {
        return SCREEN_STOP_WORK;
    }
    bool keeps_problem = entry != NULL && (entry->keeps & KEEPS_PROBLEM) != 0;
    if (!state->message_is_problem || !keeps_problem) {
        page_say(state, false, ""); /* it was of the key before */
    }
    if (entry != NULL) {
        return act(screen, view, entry, line, size);
    }
    if (elsewhere != NULL) {
        page_say_why_not(state, elsewhere, key_place_of(view));
    }
    return SCREEN_NOTHING;
}

/* A form is there whose line is on its way. */
static bool waits_for_answer(const struct screen *screen)
{
    return page_is_open(&screen->pages, PAGE_FORM) && screen->pages.form.waits_for_answer;
}

enum screen_request screen_key(struct screen *screen, const struct view *view, char *line,
                               size_t size)
{
    uint32_t key;
    struct page_stack *pages = &screen->pages;
    screen->stale |= page_finish_form(pages, view);
    if (page_is_open(pages, PAGE_FORM) && form_page_has_line(&pages->form)) {
        return send_line(screen, line, size);
    }
    while ((key = form_page_kept_key(&pages->form)) != KEY_NOT_ANY ||
           (key = display_key(screen->display)) != KEY_NOT_ANY) {
        bool at_once = key == KEY_ESCAPE || key == KEY_INTERRUPT || pages->state.asks_to_end;
        if (paste_takes(pages, view, key)) {
            screen->stale = true;
        } else if (key == KEY_SIZE) {
            display_resized(screen->display);
            screen->stale = true;
        } else if (waits_for_answer(screen) && !at_once) {
            form_page_keep_key(&pages->form, key);
        } else {
            enum screen_request request = take_key(screen, view, key, line, size);
            if (request != SCREEN_NOTHING) {
                return request;
            }
        }
    }
    return SCREEN_NOTHING;
}

void screen_answer(struct screen *screen, bool done, const char *sentence)
{
    bool of_form = waits_for_answer(screen);
    if (of_form) {
        form_page_answer(&screen->pages.form, done, sentence);
        screen->stale = true;
    }
    if ((done && sentence[0] != '\0') || (!done && !of_form)) {
        say(screen, !done, sentence);
    }
}

void screen_answer_asked(struct screen *screen, const char *sentence)
{
    if (waits_for_answer(screen)) {
        form_page_ask(&screen->pages.form, sentence);
        screen->stale = true;
    } else {
        say(screen, true, sentence);
    }
}
