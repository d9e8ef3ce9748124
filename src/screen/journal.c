/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/journal.h"

#include "base/numbers.h"
#include "base/text.h"
#include "screen/display.h"
#include "screen/scroll.h"
#include "screen/wording.h"

#include <stdio.h>
#include <string.h>
#include <wctype.h>

#define WIDE_COLUMNS 60 /* from here on the text stands beside its name, else below it */
#define TIME_COLUMNS 9
#define WHAT_COLUMNS 11
#define PHRASE_SIZE (CHECK_WORDS_SIZE + 32)

/* ---- looking for what was typed ---- */

static wint_t letter(const char **next)
{
    uint32_t character;
    size_t bytes = text_decode(*next, strlen(*next), &character);
    *next += bytes;
    return bytes > 0 ? towlower((wint_t)character) : 0;
}

static bool begins(const char *text, const char *search)
{
    wint_t wanted;
    while ((wanted = letter(&search)) != 0) {
        if (letter(&text) != wanted) {
            return false;
        }
    }
    return true;
}

/* Large and small letters are the same, as far as the locale knows them. */
static bool has(const struct event *event, const char *search)
{
    char phrase[PHRASE_SIZE];
    snprintf(phrase, sizeof phrase, "%s %s", event->what, event->text);
    for (const char *at = phrase; *at != '\0'; (void)letter(&at)) {
        if (begins(at, search)) {
            return true;
        }
    }
    return search[0] == '\0';
}

/* The nearest event from one on that has it, in steps of 1 or -1; -1: none. */
static int nearest(const struct journal_page *page, const struct view *view, int from, int step)
{
    for (int i = from; i >= 0 && i < view->snapshot->event_count; i += step) {
        if (has(&view->snapshot->event[i], page->search)) {
            return i;
        }
    }
    return -1;
}

/* After the search has changed: here, else before, else after. */
static void choose_nearest(struct journal_page *page, const struct view *view)
{
    int found = nearest(page, view, page->chosen, -1);
    found = found >= 0 ? found : nearest(page, view, page->chosen, 1);
    page->chosen = found >= 0 ? found : page->chosen;
}

static void go(struct journal_page *page, const struct view *view, int steps)
{
    int step = steps < 0 ? -1 : 1;
    for (int i = 0; i != steps; i += step) {
        int found = nearest(page, view, page->chosen + step, step);
        if (found < 0) {
            return;
        }
        page->chosen = found;
    }
}

/* ---- drawing ---- */

static int text_column(const struct canvas *canvas)
{
    return canvas->columns < WIDE_COLUMNS ? 4 : 2 + TIME_COLUMNS + WHAT_COLUMNS;
}

/* Lines that an event takes: drawn onto nothing. */
static int lines_of(const struct canvas *canvas, const struct event *event)
{
    bool below = canvas->columns < WIDE_COLUMNS;
    int width = canvas->columns - text_column(canvas) - 1, lines = below ? 1 : 0;
    const char *rest = event->text;
    while (*rest != '\0') {
        rest += canvas_fitting(canvas, rest, width);
        rest += strspn(rest, " ");
        lines++;
    }
    return lines > 0 ? lines : 1;
}

static void draw_event(struct scroll *scroll, const struct event *event, bool chosen,
                       const char *search)
{
    struct canvas *canvas = scroll->canvas;
    bool below = canvas->columns < WIDE_COLUMNS, found = search[0] != '\0' && has(event, search);
    enum style style = chosen ? STYLE_STRONG : STYLE_PLAIN;
    int row = scroll_row(scroll), line = scroll->line;
    char when[WORDING_SIZE], words[PHRASE_SIZE];
    say_hours(when, sizeof when, event->at_s);
    canvas_text(canvas, row, 0, 1, STYLE_STRONG, chosen ? "\u25B6" : found ? "*" : " ");
    canvas_right(canvas, row, TIME_COLUMNS, TIME_COLUMNS - 1, chosen ? STYLE_STRONG : STYLE_FAINT,
                 when);
    canvas_text(canvas, row, 2 + TIME_COLUMNS, WHAT_COLUMNS - 1, STYLE_STRONG, event->what);
    scroll->line += below ? 1 : 0;
    if (event->kind == EVENT_NOTE) {
        text_copy(words, sizeof words, event->text);
    } else {
        say_typeset(words, sizeof words, event->text);
    }
    scroll_wrapped(scroll, text_column(canvas), style, words);
    scroll->line = line + lines_of(canvas, event);
}

/* The line shown first, so that all of the chosen event is seen. */
static void follow_chosen(struct journal_page *page, const struct canvas *canvas,
                          const struct view *view, int rows)
{
    int line = 0, lines = 0, total = 0;
    for (int i = 0; i < view->snapshot->event_count; i++) {
        int more = lines_of(canvas, &view->snapshot->event[i]);
        if (i == page->chosen) {
            line = total;
            lines = more;
        }
        total += more;
    }
    if (line + lines > page->first + rows) {
        page->first = line + lines - rows;
    }
    if (line < page->first) {
        page->first = line;
    }
    page->first = scroll_moved(page->first, 0, total, rows);
}

static void draw_title(struct page_frame *frame, const struct journal_page *page,
                       const struct view *view)
{
    struct canvas *canvas = frame->canvas;
    char text[JOURNAL_SEARCH_SIZE + 64];
    int columns = canvas->columns, at = frame->title_end + 2, found = 0, place = 0;
    if (page->search[0] == '\0') {
        snprintf(text, sizeof text, "%d event%s, the newest last", view->snapshot->event_count,
                 view->snapshot->event_count == 1 ? "" : "s");
        canvas_text(canvas, 0, at, columns - at - 1, STYLE_PLAIN, text);
        return;
    }
    for (int i = 0; i < view->snapshot->event_count; i++) {
        found += has(&view->snapshot->event[i], page->search) ? 1 : 0;
        place = i == page->chosen ? found : place;
    }
    snprintf(text, sizeof text, found > 0 ? "%d of %d" : "no match", place, found);
    int end =
        canvas_right(canvas, 0, columns - 1, 12, found > 0 ? STYLE_STRONG : STYLE_WARNING, text) -
        2;
    canvas_fill(canvas, 0, at, 1, end - at, STYLE_INPUT, ' ');
    int used = canvas_text(canvas, 0, at, end - at - 1, STYLE_INPUT, page->search);
    frame->cursor_row = 0;
    frame->cursor_column = at + used;
}

static void draw_keys(struct canvas *canvas, const struct page_state *state,
                      const struct journal_page *page, const struct view *view)
{
    bool searches = page->search[0] != '\0', wide = canvas->columns >= 70;
    int row = canvas->rows - 1;
    if (state->message[0] != '\0' || view->store_trouble[0] != '\0') {
        page_message(canvas, state, view, row);
        return;
    }
    bool hold =
        page->chosen < view->snapshot->event_count && view->snapshot->event[page->chosen].hold > 0;
    const char *words = searches && wide ? "arrows: next, previous match   Esc ends the search"
                        : searches       ? "arrows: next  Esc: all"
                        : wide           ? "type to search   arrows move   Esc back"
                                         : "type: search   Esc back";
    int at = 1 + canvas_text(canvas, row, 1, canvas->columns - 2, STYLE_PLAIN, words) + 2;
    if (hold) {
        canvas_text(canvas, row, at, canvas->columns - at - 1, STYLE_PLAIN,
                    wide ? "Enter: leave it out" : "Enter: out");
    }
}

void journal_draw(struct page_frame *frame, const struct page_state *state,
                  struct journal_page *page, const struct view *view)
{
    struct canvas *canvas = frame->canvas;
    struct scroll scroll = {.canvas = canvas, .top = 1, .bottom = canvas->rows - 1};
    draw_title(frame, page, view);
    if (view->snapshot->event_count == 0) {
        scroll_wrapped(&scroll, 1, STYLE_PLAIN, "nothing has happened yet");
    }
    page->chosen =
        page->chosen < view->snapshot->event_count ? page->chosen : view->snapshot->event_count - 1;
    page->chosen = page->chosen < 0 ? 0 : page->chosen;
    follow_chosen(page, canvas, view, scroll.bottom - scroll.top);
    scroll.first = page->first;
    page->shown = 0;
    for (int i = 0; i < view->snapshot->event_count; i++) {
        page->shown += scroll_row(&scroll) >= 0 ? 1 : 0;
        draw_event(&scroll, &view->snapshot->event[i], i == page->chosen, page->search);
    }
    page->more_below = scroll_has_more(&scroll);
    draw_keys(canvas, state, page, view);
}

/* ---- keys ---- */

void journal_open(struct journal_page *page, const struct view *view)
{
    memset(page, 0, sizeof *page);
    page->chosen = view->snapshot->event_count > 0 ? view->snapshot->event_count - 1 : 0;
}

static void type(struct journal_page *page, const struct view *view, uint32_t key)
{
    char text[5];
    size_t length = canvas_encode(text, key), there = strlen(page->search);
    if (there + length < sizeof page->search) {
        memcpy(page->search + there, text, length + 1);
        choose_nearest(page, view);
    }
}

static void erase(struct journal_page *page, const struct view *view)
{
    size_t length = strlen(page->search);
    while (length > 0 && ((unsigned char)page->search[--length] & 0xC0) == 0x80) {
    }
    page->search[length] = '\0';
    choose_nearest(page, view);
}

/* A blank goes on in what is typed; before anything is, it turns the page, and goes back from the
 * end (a foot switch has no other way). */
static enum journal_result space(struct journal_page *page, const struct view *view)
{
    if (page->search[0] != '\0') {
        type(page, view, ' ');
        return JOURNAL_STAYS;
    }
    if (!page->more_below) {
        return JOURNAL_LEFT;
    }
    go(page, view, page->shown);
    return JOURNAL_STAYS;
}

enum journal_result journal_key(struct journal_page *page, const struct view *view, uint32_t key)
{
    int page_step = page->shown > 1 ? page->shown - 1 : 1;
    switch (key) {
    case KEY_GO_UP:
        go(page, view, -1);
        return JOURNAL_STAYS;
    case KEY_GO_DOWN:
    case KEY_TAB:
        go(page, view, 1);
        return JOURNAL_STAYS;
    case KEY_PAGE_UP:
        go(page, view, -page_step);
        return JOURNAL_STAYS;
    case KEY_PAGE_DOWN:
        go(page, view, page_step);
        return JOURNAL_STAYS;
    case KEY_GO_HOME:
        go(page, view, -view->snapshot->event_count);
        return JOURNAL_STAYS;
    case KEY_GO_END:
        go(page, view, view->snapshot->event_count);
        return JOURNAL_STAYS;
    case KEY_TAB_BACK:
        go(page, view, -1);
        return JOURNAL_STAYS;
    case KEY_ERASE:
        erase(page, view);
        return JOURNAL_STAYS;
    case KEY_EMPTY:
        page->search[0] = '\0';
        return JOURNAL_STAYS;
    case KEY_ESCAPE:
        if (page->search[0] == '\0') {
            return JOURNAL_LEFT;
        }
        page->search[0] = '\0';
        return JOURNAL_STAYS;
    case KEY_ACCEPT:
        return page->chosen < view->snapshot->event_count &&
                       view->snapshot->event[page->chosen].hold > 0
                   ? JOURNAL_HOLD
                   : JOURNAL_STAYS;
    case ' ':
        return space(page, view);
    default:
        break;
    }
    if (key < ' ' || (key == '?' && page->search[0] == '\0')) {
        return JOURNAL_OTHER;
    }
    bool printable = key != 127 && !(key >= 0x80 && key < 0xA0) && key < KEY_OTHER;
    if (printable) {
        type(page, view, key);
    }
    return JOURNAL_STAYS;
}
