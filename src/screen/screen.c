/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen_inside.h"

#include "base/text.h"
#include "screen/sensors.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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
    if (!canvas_create(&screen->canvas, letters) || !plot_create(&screen->state.plot, letters)) {
        screen_close(screen);
        problem_set(problem, "not enough memory for the screen");
        return NULL;
    }
    screen->state.tones = true;
    screen->stale = true;
    return screen;
}

void screen_close(struct screen *screen)
{
    if (screen == NULL) {
        return;
    }
    display_close(screen->display);
    plot_destroy(&screen->state.plot);
    canvas_destroy(&screen->canvas);
    free(screen);
}

int screen_input(const struct screen *screen)
{
    return display_input(screen->display);
}

void screen_say(struct screen *screen, bool problem, const char *sentence)
{
    text_copy(screen->state.message, sizeof screen->state.message, sentence);
    screen->state.message_is_problem = problem;
    screen->said_s = NAN;
    screen->stale = true;
}

#define MESSAGE_STAYS_S 10.0

/* What was done is told for a while; what went wrong stays until a key. */
static void let_message_go(struct screen *screen, const struct view *view)
{
    if (!isfinite(screen->said_s)) {
        screen->said_s = view->session_s;
    }
    if (!screen->state.message_is_problem && screen->state.message[0] != '\0' &&
        view->session_s >= screen->said_s + MESSAGE_STAYS_S) {
        screen_say(screen, false, "");
    }
}

/* ---- tones ---- */

void screen_tell(struct screen *screen, const char *sentence)
{
    screen_say(screen, true, sentence);
}

void screen_set_tones(struct screen *screen, screen_tone_player *player, void *context)
{
    screen->tone_player = player;
    screen->tone_context = context;
}

void screen_tones_on(struct screen *screen, bool on)
{
    screen->state.tones = on;
}

static void sound(struct screen *screen, enum screen_tone tone)
{
    if (screen->tone_player == NULL || !screen->tone_player(screen->tone_context, tone)) {
        display_bell(screen->display);
    }
}

static bool is_capture(enum view_phase phase)
{
    return phase == VIEW_HOLD || phase == VIEW_TARGET || phase == VIEW_PLATE;
}

/* Three, two, one, start; three, two, one, end. */
static void mark_time(struct screen *screen, const struct view *view)
{
    bool settling = view->phase == VIEW_SETTLING, runs = is_capture(view->phase);
    double left = settling ? ceil(view->countdown_s)
                  : runs   ? ceil(view->planned_s - view->elapsed_s)
                           : 0.0;
    bool changed = view->phase != screen->told_phase;
    bool count = (settling || runs) && left >= 1.0 && left <= 3.0 && left != screen->told_left_s;
    if (!screen->state.tones || !screen->drawn) {
        /* nothing is told, and nothing is made up for later */
    } else if (changed && runs) {
        sound(screen, SCREEN_TONE_START);
    } else if (changed && is_capture(screen->told_phase)) {
        sound(screen, SCREEN_TONE_END);
    } else if (count) {
        sound(screen, SCREEN_TONE_COUNT);
    }
    screen->told_phase = view->phase;
    screen->told_left_s = left;
}

/* ---- drawing ---- */

/* A form whose lines were all taken closes, or goes on to the next sensor. */
static void finish_form(struct screen *screen, const struct view *view)
{
    if (screen->form_done) {
        screen->form_done = false;
        screen->stale = true;
        screen->form_page = form_advance(&screen->form, view);
        if (screen->form.kind == FORM_CHECK) {
            screen_open_sensors(screen);
        }
    }
}

static void draw_too_small(struct canvas *canvas)
{
    char text[64];
    snprintf(text, sizeof text, "too small: %d\u00D7%d, 40\u00D712 is needed", canvas->columns,
             canvas->rows);
    canvas_text(canvas, 0, 0, canvas->columns, STYLE_PLAIN, text);
}

void screen_draw(struct screen *screen, const struct view *view)
{
    finish_form(screen, view);
    if (view->message_serial != screen->message_serial) {
        screen->message_serial = view->message_serial;
        screen_say(screen, view->message_is_problem, view->message);
    }
    let_message_go(screen, view);
    if (screen->drawn && !screen->stale && view->serial == screen->drawn_serial) {
        return;
    }
    int rows, columns, cursor_row = -1, cursor_column = -1;
    display_size(screen->display, &rows, &columns);
    canvas_begin(&screen->canvas, rows, columns);
    if (rows < PAGE_ROWS_MIN || columns < PAGE_COLUMNS_MIN) {
        draw_too_small(&screen->canvas);
    } else if (screen->form_page && screen->help_page) {
        screen->help_lines = help_draw_form(&screen->canvas, screen->help_first);
    } else if (screen->form_page) {
        form_draw(&screen->canvas, &screen->form, view, &cursor_row, &cursor_column);
    } else if (screen->help_page) {
        screen->help_lines = help_draw(&screen->canvas, view, screen->help_first);
    } else if (screen->compare_page) {
        screen->compare_lines =
            comparison_draw(&screen->canvas, &screen->state, view, screen->compare_first);
    } else if (screen->sensors_page) {
        screen->sensors_lines =
            sensors_draw(&screen->canvas, &screen->state, view, screen->sensors_first);
    } else if (screen->journal_page) {
        journal_draw(&screen->canvas, &screen->state, &screen->journal, view, &cursor_row,
                     &cursor_column);
    } else if (screen->rider_page) {
        rider_draw(&screen->canvas, &screen->state, view);
    } else {
        fitter_draw(&screen->canvas, &screen->state, view);
    }
    if (screen->state.asks_to_end) { /* whatever page stands there */
        page_message(&screen->canvas, &screen->state, view, rows - 1);
    }
    display_cursor(screen->display, cursor_row, cursor_column);
    display_show(screen->display, &screen->canvas);
    mark_time(screen, view);
    screen->drawn = true;
    screen->drawn_serial = view->serial;
    screen->stale = display_owes(screen->display);
}

/* ---- forms ---- */

static const struct {
    enum key_action action;
    enum form_kind kind;
} form_of[] = {
    {ACT_SETUP, FORM_SETUP},       {ACT_BAND, FORM_BAND},           {ACT_RATING, FORM_RATING},
    {ACT_NOTE, FORM_NOTE},         {ACT_REJECT, FORM_REJECT},       {ACT_PLATE, FORM_PLATE},
    {ACT_TAPE, FORM_TAPE},         {ACT_RIDER, FORM_RIDER},         {ACT_BIKE, FORM_BIKE},
    {ACT_SENSORS, FORM_SENSORS},   {ACT_TARGET_TYPED, FORM_TARGET}, {ACT_CORRECT, FORM_CORRECT},
    {ACT_SETTINGS, FORM_SETTINGS}, {ACT_EXPORT, FORM_EXPORT},       {ACT_CHECK, FORM_CHECK},
    {ACT_CHOOSE, FORM_CHOOSE},     {ACT_LIMITS, FORM_LIMITS},       {ACT_CARRY, FORM_CARRY},
};

void screen_open_form(struct screen *screen, const struct view *view, enum form_kind kind)
{
    form_open(&screen->form, kind, view, &screen->draft[kind]);
    screen->stale = true;
    screen->waits_for_answer = false;
    if (screen->form.count == 0) {
        screen_say(screen, true, "there are no sensors yet that this could be said of");
        return;
    }
    screen->form_page = true;
}

static enum screen_request send_line(struct screen *screen, char *line, size_t size)
{
    struct form *form = &screen->form;
    text_copy(line, size, form->line[form->line_sent]);
    screen->waits_for_answer = true;
    return form->is_export ? SCREEN_EXPORT : SCREEN_COMMAND;
}

static enum screen_request key_in_form(struct screen *screen, const struct view *view, uint32_t key,
                                       char *line, size_t size)
{
    screen->stale = true;
    if (form_asks_for_keys(&screen->form, key)) {
        screen_open_help(screen);
        return SCREEN_NOTHING;
    }
    switch (form_key(&screen->form, view, key)) {
    case FORM_LEFT:
        form_keep_draft(&screen->form, &screen->draft[screen->form.kind]);
        screen->form_page = false;
        screen->waits_for_answer = false;
        break;
    case FORM_MADE:
        return send_line(screen, line, size);
    case FORM_STAYS:
        break;
    }
    return SCREEN_NOTHING;
}

/* ---- keys ---- */

static enum screen_request next_step(struct screen *screen, const struct view *view, char *line,
                                     size_t size)
{
    enum key_place place = key_place_of(view);
    bool waits = view->phase == VIEW_CHECK && view->check.waits_for_go;
    if (!waits && (place == AT_SETTLING || place == AT_HOLD || place == AT_PLATE)) {
        screen_say(screen, false, "it ends by itself; x stops it now");
        return SCREEN_NOTHING;
    }
    if (view->next == VIEW_NEXT_SETUP || view->next == VIEW_NEXT_RATING) {
        screen_open_form(screen, view, view->next == VIEW_NEXT_SETUP ? FORM_SETUP : FORM_RATING);
        return SCREEN_NOTHING;
    }
    if (view->next == VIEW_NEXT_COMMAND && view->next_command[0] != '\0') {
        text_copy(line, size, view->next_command);
        return SCREEN_COMMAND;
    }
    if (page_next_compares(view)) {
        screen_open_comparison(screen);
        return SCREEN_NOTHING;
    }
    screen_say(screen, false, "nothing to do for now; ? shows the keys");
    return SCREEN_NOTHING;
}

static enum screen_request act(struct screen *screen, const struct view *view,
                               const struct key_entry *entry, char *line, size_t size)
{
    if (entry->command != NULL) {
        text_copy(line, size, entry->command);
        return SCREEN_COMMAND;
    }
    for (size_t i = 0; i < sizeof form_of / sizeof form_of[0]; i++) {
        if (form_of[i].action == entry->action) {
            screen_open_form(screen, view, form_of[i].kind);
            return SCREEN_NOTHING;
        }
    }
    switch (entry->action) {
    case ACT_NEXT:
        return next_step(screen, view, line, size);
    case ACT_COMPARE:
        screen_open_comparison(screen);
        break;
    case ACT_SENSOR_PAGE:
        screen_open_sensors(screen);
        break;
    case ACT_JOURNAL:
        screen_open_journal(screen, view);
        break;
    case ACT_RIDER_SCREEN:
        screen->rider_page = !screen->rider_page;
        break;
    case ACT_TONES:
        screen->state.tones = !screen->state.tones;
        screen_say(screen, false, screen->state.tones ? "tones on" : "tones off");
        break;
    case ACT_HELP:
        screen_open_help(screen);
        break;
    case ACT_REDRAW:
        display_renew(screen->display);
        break;
    case ACT_BACK:
        if (screen->rider_page) {
            screen->rider_page = false;
        } else {
            screen_say(screen, false, "");
        }
        break;
    case ACT_QUIT:
        screen->state.asks_to_end = true;
        break;
    default:
        break;
    }
    screen->stale = true;
    return SCREEN_NOTHING;
}

static enum screen_request take_key(struct screen *screen, const struct view *view, uint32_t key,
                                    char *line, size_t size)
{
    if (screen->watching) {
        return screen_watching_key(screen, key);
    }
    if (screen->state.asks_to_end) {
        screen->state.asks_to_end = false;
        screen->stale = true;
        return key == 'y' || key == 'Y' ? SCREEN_QUIT : SCREEN_NOTHING;
    }
    if (key == KEY_INTERRUPT) {
        screen->state.asks_to_end = true;
        screen->stale = true;
        return SCREEN_NOTHING;
    }
    if (screen->help_page) { /* over a form too */
        screen_help_key(screen, key);
        return SCREEN_NOTHING;
    }
    if (screen->form_page) {
        return key_in_form(screen, view, key, line, size);
    }
    if (screen->compare_page && !screen_compare_key(screen, key)) {
        return SCREEN_NOTHING;
    }
    if (screen->sensors_page && !screen_sensors_key(screen, view, key)) {
        struct sensors_due due; /* what asks nothing begins at once */
        bool at_once = screen->form_page && sensors_check_due(view, &due) &&
                       (due.kind == CHECK_RIDER || due.kind == CHECK_STILL);
        return at_once ? key_in_form(screen, view, KEY_ACCEPT, line, size) : SCREEN_NOTHING;
    }
    if (screen->journal_page && !screen_journal_key(screen, view, key)) {
        return SCREEN_NOTHING;
    }
    const struct key_entry *elsewhere;
    const struct key_entry *entry = key_find(key, key_place_of(view), &elsewhere);
    bool looks = entry != NULL && (entry->action == ACT_RIDER_SCREEN || entry->action == ACT_HELP ||
                                   entry->action == ACT_TONES || entry->action == ACT_REDRAW);
    if (screen->state.message[0] != '\0' && !(screen->state.message_is_problem && looks)) {
        screen_say(screen, false, ""); /* it was of the key before */
    }
    if (entry != NULL) {
        return act(screen, view, entry, line, size);
    }
    if (elsewhere != NULL) {
        screen_say_why_not(screen, elsewhere, key_place_of(view));
    }
    return SCREEN_NOTHING;
}

/* Keys that were typed while an answer was awaited come first. */
static uint32_t next_key(struct screen *screen)
{
    if (screen->ahead_count > 0 && !screen->waits_for_answer) {
        uint32_t key = screen->ahead[0];
        screen->ahead_count--;
        memmove(screen->ahead, screen->ahead + 1, (size_t)screen->ahead_count * sizeof key);
        return key;
    }
    return display_key(screen->display);
}

enum screen_request screen_key(struct screen *screen, const struct view *view, char *line,
                               size_t size)
{
    uint32_t key;
    finish_form(screen, view);
    if (screen->form_page && !screen->waits_for_answer && screen->form.line_sent > 0 &&
        screen->form.line_sent < screen->form.line_count) {
        return send_line(screen, line, size); /* the form's next line */
    }
    while ((key = next_key(screen)) != KEY_NOT_ANY) {
        if (key == KEY_SIZE) {
            display_resized(screen->display);
            screen->stale = true;
            continue;
        }
        bool at_once = key == KEY_ESCAPE || key == KEY_INTERRUPT || screen->state.asks_to_end;
        if (screen->form_page && screen->waits_for_answer && !at_once) {
            if (screen->ahead_count < KEYS_AHEAD) {
                screen->ahead[screen->ahead_count++] = key;
            }
            continue;
        }
        enum screen_request request = take_key(screen, view, key, line, size);
        if (request != SCREEN_NOTHING) {
            return request;
        }
    }
    return SCREEN_NOTHING;
}

/* The form stays until all its lines were taken; what was typed then counts as taken too. */
static void answer_form(struct screen *screen, bool done, const char *sentence)
{
    struct form *form = &screen->form;
    screen->waits_for_answer = false;
    screen->stale = true;
    if (!done) {
        text_copy(form->problem, sizeof form->problem, sentence);
        form->line_count = form->line_sent = 0;
        return;
    }
    if (sentence[0] != '\0') {
        screen_say(screen, false, sentence);
    }
    if (++form->line_sent < form->line_count) {
        return;
    }
    form->line_count = form->line_sent = 0;
    screen->draft[form->kind].has = false;
    screen->form_done = true;
}

void screen_answer(struct screen *screen, bool done, const char *sentence)
{
    if (screen->form_page && screen->waits_for_answer) {
        answer_form(screen, done, sentence);
    } else if (!done || sentence[0] != '\0') {
        screen_say(screen, !done, sentence);
    }
}

void screen_watch_only(struct screen *screen)
{
    screen->watching = screen->rider_page = true;
    screen->stale = true;
}
