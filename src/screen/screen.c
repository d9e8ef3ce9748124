#include "screen/screen.h"

#include "base/text.h"
#include "screen/display.h"
#include "screen/keys.h"
#include "screen/pages.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct screen {
    struct display *display;
    struct canvas canvas;
    struct page_state state;
    bool rider_page, help_page;
    int help_first, help_lines;
    bool stale; /* something other than the view has changed */
    bool drawn;
    uint64_t drawn_serial, message_serial;
    /* for the bell */
    enum view_phase rung_phase;
    double rung_left_s;
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
    if (!canvas_create(&screen->canvas, letters) || !plot_create(&screen->state.plot, letters)) {
        screen_close(screen);
        problem_set(problem, "not enough memory for the screen");
        return NULL;
    }
    screen->state.bell = true;
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

static void say(struct screen *screen, bool problem, const char *sentence)
{
    text_copy(screen->state.message, sizeof screen->state.message, sentence);
    screen->state.message_is_problem = problem;
    screen->stale = true;
}

/* ---- bell ---- */

/* Three, two, one, start; three, two, one, end. */
static void ring(struct screen *screen, const struct view *view)
{
    bool settling = view->phase == VIEW_SETTLING;
    bool runs = view->phase == VIEW_HOLD || view->phase == VIEW_TARGET || view->phase == VIEW_PLATE;
    bool ran = screen->rung_phase == VIEW_HOLD || screen->rung_phase == VIEW_TARGET ||
               screen->rung_phase == VIEW_PLATE;
    double left = settling ? ceil(view->countdown_s)
                  : runs   ? ceil(view->planned_s - view->elapsed_s)
                           : 0.0;
    bool changed = view->phase != screen->rung_phase;
    bool count = (settling || runs) && left >= 1.0 && left <= 3.0 && left != screen->rung_left_s;
    bool start_or_end = screen->drawn && changed && (runs || ran);
    if (screen->state.bell && screen->drawn && (count || start_or_end)) {
        display_bell(screen->display);
    }
    screen->rung_phase = view->phase;
    screen->rung_left_s = left;
}

/* ---- drawing ---- */

static void draw_too_small(struct canvas *canvas)
{
    char text[64];
    snprintf(text, sizeof text, "too small: %d\u00D7%d, 40\u00D712 is needed", canvas->columns,
             canvas->rows);
    canvas_text(canvas, 0, 0, canvas->columns, STYLE_PLAIN, text);
}

void screen_draw(struct screen *screen, const struct view *view)
{
    if (view->message_serial != screen->message_serial) {
        screen->message_serial = view->message_serial;
        say(screen, view->message_is_problem, view->message);
    }
    if (screen->drawn && !screen->stale && view->serial == screen->drawn_serial) {
        return;
    }
    int rows, columns;
    display_size(screen->display, &rows, &columns);
    canvas_begin(&screen->canvas, rows, columns);
    if (rows < PAGE_ROWS_MIN || columns < PAGE_COLUMNS_MIN) {
        draw_too_small(&screen->canvas);
    } else if (screen->help_page) {
        screen->help_lines = help_draw(&screen->canvas, view, screen->help_first);
    } else if (screen->rider_page) {
        rider_draw(&screen->canvas, &screen->state, view);
    } else {
        fitter_draw(&screen->canvas, &screen->state, view);
    }
    display_show(screen->display, &screen->canvas);
    ring(screen, view);
    screen->drawn = true;
    screen->drawn_serial = view->serial;
    screen->stale = false;
}

/* ---- keys ---- */

static enum screen_request next_step(struct screen *screen, const struct view *view, char *line,
                                     size_t size)
{
    enum key_place place = key_place_of(view);
    if (place == AT_SETTLING || place == AT_HOLD || place == AT_PLATE) {
        say(screen, false, "it ends by itself; x stops it now");
        return SCREEN_NOTHING;
    }
    if (view->next == VIEW_NEXT_COMMAND && view->next_command[0] != '\0') {
        text_copy(line, size, view->next_command);
        return SCREEN_COMMAND;
    }
    say(screen, false, "nothing to do for now; ? shows the keys");
    return SCREEN_NOTHING;
}

static enum screen_request act(struct screen *screen, const struct view *view,
                               const struct key_entry *entry, char *line, size_t size)
{
    if (entry->command != NULL) {
        text_copy(line, size, entry->command);
        return SCREEN_COMMAND;
    }
    switch (entry->action) {
    case ACT_NEXT:
        return next_step(screen, view, line, size);
    case ACT_RIDER_SCREEN:
        screen->rider_page = !screen->rider_page;
        break;
    case ACT_BELL:
        screen->state.bell = !screen->state.bell;
        say(screen, false, screen->state.bell ? "bell on" : "bell off");
        break;
    case ACT_HELP:
        screen->help_page = true;
        screen->help_first = 0;
        break;
    case ACT_REDRAW:
        display_renew(screen->display);
        break;
    case ACT_BACK:
        if (screen->rider_page) {
            screen->rider_page = false;
        } else {
            say(screen, false, "");
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

/* On the page of keys the arrows move; every other key goes back. */
static void help_key(struct screen *screen, uint32_t key)
{
    int rows = screen->canvas.rows - 2, last = screen->help_lines - rows;
    int step = key == KEY_GO_DOWN                   ? 1
               : key == KEY_GO_UP                   ? -1
               : key == KEY_PAGE_DOWN || key == ' ' ? rows
               : key == KEY_PAGE_UP                 ? -rows
                                                    : 0;
    screen->stale = true;
    if (step == 0) {
        screen->help_page = false;
        return;
    }
    screen->help_first += step;
    screen->help_first = screen->help_first > last ? last : screen->help_first;
    screen->help_first = screen->help_first < 0 ? 0 : screen->help_first;
}

static enum screen_request take_key(struct screen *screen, const struct view *view, uint32_t key,
                                    char *line, size_t size)
{
    if (screen->state.asks_to_end) {
        screen->state.asks_to_end = false;
        screen->stale = true;
        return key == 'y' || key == 'Y' ? SCREEN_QUIT : SCREEN_NOTHING;
    }
    if (screen->help_page && key != KEY_INTERRUPT) {
        help_key(screen, key);
        return SCREEN_NOTHING;
    }
    const struct key_entry *elsewhere;
    const struct key_entry *entry = key_find(key, key_place_of(view), &elsewhere);
    if (entry != NULL) {
        return act(screen, view, entry, line, size);
    }
    if (elsewhere != NULL) {
        char text[256];
        snprintf(text, sizeof text, "%s works %s: %s", elsewhere->name,
                 elsewhere->places & AT_LIVE ? "when nothing is being captured" : "during a hold",
                 elsewhere->words != NULL ? elsewhere->words : "");
        say(screen, false, text);
    }
    return SCREEN_NOTHING;
}

enum screen_request screen_key(struct screen *screen, const struct view *view, char *line,
                               size_t size)
{
    uint32_t key;
    while ((key = display_key(screen->display)) != KEY_NOT_ANY) {
        if (key == KEY_SIZE) {
            screen->stale = true;
            continue;
        }
        enum screen_request request = take_key(screen, view, key, line, size);
        if (request != SCREEN_NOTHING) {
            return request;
        }
    }
    return SCREEN_NOTHING;
}

void screen_answer(struct screen *screen, bool done, const char *sentence)
{
    if (!done || sentence[0] != '\0') {
        say(screen, !done, sentence);
    }
}
