/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/page.h"

#include "base/clock.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The two lines at the bottom of a page: the next step with the keys that work now, and what is
 * said or asked. */

#define MESSAGE_STAYS_S 10.0

/* The next step in words, with the numbers of a band that is suggested. */
static void step_words(char *text, size_t size, const struct view *view, enum key_place place)
{
    char band[160];
    text_copy(text, size,
              place == AT_TARGET && view->next == VIEW_NEXT_COMMAND
                  ? "keep the target as it is known now"
                  : view->next_step);
    if (place == AT_LIVE && strcmp(view->next_command, "band suggested") == 0) {
        page_band_suggested(band, sizeof band, view);
        if (band[0] != '\0') {
            snprintf(text, size, "take the band suggested: %s", band);
        }
    }
}

/* What stays until it is well: the store, then readings (where no gauge is, that stands there). */
static const char *lasting_trouble(const struct view *view)
{
    return view->store_trouble[0] != '\0' ? view->store_trouble
           : view->channel_count > 0      ? view->link_trouble
                                          : "";
}

#define STEP_LEAVES 26 /* cells for a hint, '? keys' and 'q end' */

/* Where what is to be done ends and what is said about it begins; NULL: it is all one. */
static const char *step_more(const char *step)
{
    const char *colon = strstr(step, ": "), *semicolon = strstr(step, "; ");
    return colon == NULL || (semicolon != NULL && semicolon < colon) ? semicolon : colon;
}

/* Gives the column after it. */
static int draw_step(struct canvas *canvas, const struct page_state *state, const struct view *view,
                     enum key_place place, int row)
{
    char step[256], field[sizeof step + 16];
    int columns = canvas->columns;
    bool waits = place == AT_HOLD || place == AT_SETTLING || place == AT_PLATE ||
                 (view->next == VIEW_NEXT_WAIT && !page_next_compares(view));
    waits = waits && !(view->phase == VIEW_CHECK && view->check.waits_for_go);
    enum style style = waits ? STYLE_PLAIN : STYLE_NEXT;
    step_words(step, sizeof step, view, place);
    if (step[0] == '\0') {
        return 1;
    }
    snprintf(field, sizeof field, waits ? "%s" : " SPACE \u25B6 %s ", step);
    const char *more = step_more(step);
    bool below =
        state->message[0] == '\0' && !view->work.running && lasting_trouble(view)[0] == '\0';
    int room = below ? columns - STEP_LEAVES : columns - 2;
    if (!waits && more != NULL && canvas_width(canvas, field) > room) {
        /* what is to be done, its key and the others; why it is below, where that row is free */
        snprintf(field, sizeof field, " SPACE \u25B6 %.*s ", (int)(more - step), step);
        canvas_text(canvas, row + 1, 1, below ? columns - 2 : 0, STYLE_PLAIN,
                    more + strspn(more, ":; "));
    } else if (!waits && canvas_width(canvas, field) > columns - 2) {
        snprintf(field, sizeof field, " \u25B6 %s ", step); /* the step itself before its key */
    }
    if (canvas_width(canvas, field) > columns - 2 && state->message[0] == '\0') {
        canvas_wrapped(canvas, row, 1, columns - 2, 2, style, field);
        return columns;
    }
    return 1 + canvas_text(canvas, row, 1, columns - 2, style, field) + 2;
}

bool page_key_works(const struct key_entry *entry, const struct view *view)
{
    const char *command = entry->command != NULL ? entry->command : "";
    if (strcmp(command, "target keep") == 0) {
        return view->next == VIEW_NEXT_COMMAND;
    }
    if (strcmp(command, "read proposed") == 0) {
        return view->link_offer;
    }
    return strcmp(command, "hold 60s guided") != 0 || view->snapshot->target >= 0;
}

static int hint_columns(const struct canvas *canvas, const struct key_entry *entry)
{
    return canvas_width(canvas, entry->name) + 1 + canvas_width(canvas, entry->hint) + 2;
}

static bool is_hint(const struct key_entry *entry, const struct view *view, enum key_place place)
{
    return entry->hint != NULL && (entry->places & (unsigned)place) != 0 &&
           page_key_works(entry, view);
}

static int first_hint_columns(const struct canvas *canvas, const struct view *view,
                              enum key_place place)
{
    for (int i = 0; i < key_count; i++) {
        if (is_hint(&key_table[i], view, place)) {
            return hint_columns(canvas, &key_table[i]);
        }
    }
    return 0;
}

void page_next(struct canvas *canvas, const struct page_state *state, const struct view *view,
               int row)
{
    enum key_place place = key_place_of(view);
    if (state->asks_to_end || state->question[0] != '\0') {
        return;
    }
    int at = draw_step(canvas, state, view, place, row);
    /* what passes the step over, '? keys' and 'q end' stay before other hints */
    int end = canvas->columns - 1, begin = end;
    static const char *const always[] = {"Tab skip  ? keys  q end", "Tab skip  ? keys",
                                         "? keys  q end", "? keys"};
    bool skips = place == AT_LIVE && view->next_skip[0] != '\0';
    const int hint = first_hint_columns(canvas, view, place);
    const bool roomy =
        at + hint + (int)strlen(always[3]) <= end; /* the first of them comes before */
    for (int i = skips ? 0 : 2; i < 4 && begin == end; i++) {
        if (at + (roomy ? hint : 0) + (int)strlen(always[i]) <= end) {
            begin = canvas_right(canvas, row, end, end - at, STYLE_PLAIN, always[i]);
        }
    }
    for (int i = 0; i < key_count; i++) {
        const struct key_entry *entry = &key_table[i];
        if (!is_hint(entry, view, place)) {
            continue;
        }
        int width = hint_columns(canvas, entry);
        if (at + width > begin) {
            break; /* none of less use in its place */
        }
        at += canvas_text(canvas, row, at, begin - at, STYLE_STRONG, entry->name);
        at += 1 + canvas_text(canvas, row, at + 1, begin - at - 1, STYLE_PLAIN, entry->hint) + 2;
    }
}

void page_say(struct page_state *state, bool problem, const char *sentence)
{
    text_copy(state->message, sizeof state->message, sentence);
    state->message_is_problem = problem;
    state->said_s = NAN;
}

void page_ask(struct page_state *state, const char *question, const char *line)
{
    text_copy(state->question, sizeof state->question, question);
    text_copy(state->question_line, sizeof state->question_line, line != NULL ? line : "");
    state->question_of_form = line == NULL;
}

bool page_let_message_go(struct page_state *state, const struct view *view)
{
    int64_t now_us = clock_monotonic_us();
    if (!isfinite(state->said_s)) {
        state->said_s = view->session_s;
        state->said_us = now_us;
    }
    bool stands = view->session_s == state->said_s;
    bool over = view->session_s >= state->said_s + MESSAGE_STAYS_S ||
                (stands && (double)(now_us - state->said_us) / 1e6 >= MESSAGE_STAYS_S);
    bool goes = !state->message_is_problem && state->message[0] != '\0' && over;
    if (goes) {
        page_say(state, false, "");
    }
    return goes;
}

void page_say_why_not(struct page_state *state, const struct key_entry *entry, enum key_place place)
{
    char text[256];
    bool marks = entry->places == AT_HOLD;
    if (place == AT_ENDED) {
        snprintf(text, sizeof text, "%s: the session has ended (9 exports it, q leaves)",
                 entry->name);
    } else if (place == AT_LIVE && entry->why_not != NULL) {
        snprintf(text, sizeof text, "%s: %s", entry->name, entry->why_not);
    } else if (place == AT_SETTLING) {
        snprintf(text, sizeof text, "%s: not in the countdown (x stops it)", entry->name);
    } else if (marks && place != AT_LIVE) {
        snprintf(text, sizeof text, "%s: it marks what happens in a hold; now %s", entry->name,
                 place == AT_TARGET ? "a target is being taken" : "the sensors are being read");
    } else if (entry->places & AT_LIVE) {
        snprintf(text, sizeof text, "%s: not while %s (x stops it)", entry->name,
                 place == AT_TARGET  ? "a target is being taken"
                 : place == AT_PLATE ? "the sensors are being read"
                                     : "a hold is running");
    } else if (!marks) {
        snprintf(text, sizeof text, "%s: not now (%s)", entry->name,
                 entry->why_not != NULL ? entry->why_not : "? shows the keys");
    } else {
        snprintf(text, sizeof text, "%s: no hold is running to be marked (%s)", entry->name,
                 entry->words != NULL ? entry->words : "");
    }
    page_say(state, false, text);
}

/* What would be cut short by ending now. */
static const char *running(enum key_place place)
{
    return place == AT_HOLD || place == AT_SETTLING ? "A hold is running"
           : place == AT_TARGET                     ? "A target is being taken"
           : place == AT_PLATE                      ? "Sensors are being read"
                                                    : NULL;
}

/* What is to be known before an end: what is running, what is not stored. "" = neither. */
static void before_end(char *text, size_t size, const struct view *view)
{
    const char *what = running(key_place_of(view));
    bool stored = view->store_trouble[0] == '\0';
    size_t used = 0;
    text_append(text, size, &used, "%s%s%s", what != NULL ? what : "",
                what != NULL && !stored ? ", and " : "", stored ? "" : view->store_text);
    if (what == NULL && text[0] >= 'a' && text[0] <= 'z') {
        text[0] = (char)(text[0] - 'a' + 'A');
    }
}

/* Under the keys of a hold, in as many words as there is room for: how much a mark leaves out. */
static void draw_mark_span(struct canvas *canvas, int row)
{
    static const char *const wordings[] = {
        "s l d c t: what happened just now; 1 s before to 3 s after is left out",
        "s to t mark 1 s before to 3 s after",
    };
    for (size_t i = 0; i < sizeof wordings / sizeof wordings[0]; i++) {
        if (canvas_width(canvas, wordings[i]) <= canvas->columns - 2) {
            canvas_text(canvas, row, 1, canvas->columns - 2, STYLE_FAINT, wordings[i]);
            return;
        }
    }
}

bool page_tells_of_work(const struct page_state *state, const struct view *view)
{
    return view->work.running && !(state->message[0] != '\0' && state->message_is_problem);
}

/* 'writing sheet.pdf ... 40 %, Esc stops it'. */
static void work_words(char *text, size_t size, const struct page_state *state,
                       const struct view *view)
{
    const struct view_work *work = &view->work;
    const bool over = view->phase == VIEW_ENDED;
    size_t used = 0;
    text_append(text, size, &used, "%s%s%s ... ", over ? "the session has ended; " : "",
                work->stopping ? "stopping: " : "", work->doing);
    if (isfinite(work->share)) {
        text_append(text, size, &used, "%d %%", (int)(work->share * 100.0));
    } else {
        text_append(text, size, &used, "%d s", work->seconds);
    }
    if (work->waiting > 0) {
        text_append(text, size, &used, ", %d more to do", work->waiting);
    }
    text_append(text, size, &used, "%s",
                !state->stops_work ? ""
                : !work->stopping  ? ", Esc stops it"
                : over             ? ", Esc leaves without it"
                                   : "");
}

/* Beside the message where there is room for both, else in its place. Cells left for the message.
 */
static int draw_work(struct canvas *canvas, const struct page_state *state, const struct view *view,
                     int row)
{
    char text[sizeof state->message];
    work_words(text, sizeof text, state, view);
    int columns = canvas->columns; /* bytes are at least as many as cells */
    int left = state->message[0] != '\0' ? columns - (int)strlen(text) - 4 : 0;
    if (left < (int)strlen(state->message) + 1) {
        left = 0;
    }
    canvas_text(canvas, row, left > 0 ? left + 2 : 1, columns - 2, STYLE_STRONG, text);
    return left;
}

/* The message as it stands there, "" without one; gives its style. */
static enum style message_text(char *text, size_t size, const struct page_state *state,
                               const struct view *view)
{
    const char *lasting = lasting_trouble(view);
    bool problem = state->message[0] != '\0' ? state->message_is_problem : lasting[0] != '\0';
    const char *words = state->message[0] != '\0' ? state->message : lasting;
    snprintf(text, size, words[0] == '\0' ? "%s" : problem ? " ! %s " : " %s", words);
    return problem ? STYLE_WARNING : STYLE_PLAIN;
}

#define CUT " ... "
#define WRAP_LOSS 12 /* cells that a row may leave empty where it is broken at a blank */

/* What is too long for so many cells loses words in its middle: what happened stands at its
 * beginning, and what to do at its end. */
static void keep_the_end(const struct canvas *canvas, char *text, size_t size, int cells)
{
    char kept[sizeof((struct page_state *)0)->message + 16];
    size_t head = 0, used = 0;
    if (canvas_width(canvas, text) <= cells || strlen(text) >= size) {
        return;
    }
    for (size_t i = 1; text[i] != '\0'; i++) {
        char rest = text[i];
        if (rest == ' ') {
            text[i] = '\0';
            head = canvas_width(canvas, text) <= cells * 2 / 5 ? i : head;
            text[i] = rest;
        }
    }
    text_append(kept, sizeof kept, &used, "%.*s" CUT, (int)head, text);
    int room = cells - canvas_width(canvas, kept);
    const char *tail = text + head;
    while (tail != NULL && canvas_width(canvas, tail) > room) {
        tail = strchr(tail + 1, ' ');
    }
    if (head > 0 && tail != NULL) {
        text_append(kept, sizeof kept, &used, "%s", tail + 1);
        text_copy(text, size, kept);
    }
}

int page_message_rows(const struct canvas *canvas, const struct page_state *state,
                      const struct view *view)
{
    char text[sizeof state->message + 8];
    message_text(text, sizeof text, state, view);
    bool alone = !state->asks_to_end && !view->work.running;
    return alone && canvas_width(canvas, text) > canvas->columns ? 2 : 1;
}

void page_message_in(struct canvas *canvas, const struct page_state *state, const struct view *view,
                     int row, int rows)
{
    char text[sizeof state->message + 8];
    if (rows < 2) {
        page_message(canvas, state, view, row);
        return;
    }
    enum style style = message_text(text, sizeof text, state, view);
    if (style != STYLE_PLAIN) {
        canvas_fill(canvas, row, 0, rows, canvas->columns, style, ' ');
    }
    keep_the_end(canvas, text, sizeof text, rows * (canvas->columns - 2) - WRAP_LOSS);
    canvas_wrapped(canvas, row, 1, canvas->columns - 2, rows, style, text + 1);
}

/* Whether to end, in as many words as there is room for; what is running in the row above where
 * there is no room beside it. */
static void draw_end_question(struct canvas *canvas, const struct view *view, int row)
{
    bool stored = view->store_trouble[0] == '\0', ended = key_place_of(view) == AT_ENDED;
    char what[sizeof view->store_text + 40], text[sizeof what + 80];
    int columns = canvas->columns;
    before_end(what, sizeof what, view);
    bool plain = what[0] == '\0';
    const char *const wordings[] = {
        ended && plain ? "The session has ended. Leave?  y: leave   any other key: stay"
        : ended        ? ". Leave?  y: leave   any other key: stay"
        : plain        ? "End the session and leave?  y: end it   any other key: go on"
        : stored       ? ": end it and the session?  y: end   any other key: go on"
                       : ". End the session?  y: end   any other key: go on",
        ended && plain ? "The session has ended. Leave?  y: leave  else: stay"
        : ended        ? ". Leave?  y: leave  else: stay"
        : plain        ? "End the session and leave?  y: end  else: go on"
        : stored       ? ": end it and the session?  y: end  else: go on"
                       : ". End the session?  y: end  else: go on",
    };
    canvas_fill(canvas, row, 0, 1, columns, STYLE_WARNING, ' ');
    for (size_t i = 0; i < sizeof wordings / sizeof wordings[0]; i++) {
        size_t used = 0;
        text_append(text, sizeof text, &used, "%s%s", what, wordings[i]);
        if (canvas_width(canvas, text) <= columns - 2) {
            canvas_text(canvas, row, 1, columns - 2, STYLE_WARNING, text);
            return;
        }
    }
    snprintf(text, sizeof text, "%s",
             ended    ? "Ended. Leave?  y: leave  else: stay"
             : !plain ? "End it all?  y: end  else: go on"
                      : "End the session?  y: end  else: go on");
    canvas_text(canvas, row, 1, columns - 2, STYLE_WARNING, text);
    if (!plain) {
        canvas_fill(canvas, row - 1, 0, 1, columns, STYLE_WARNING, ' ');
        canvas_text(canvas, row - 1, 1, columns - 2, STYLE_WARNING, what);
    }
}

void page_message(struct canvas *canvas, const struct page_state *state, const struct view *view,
                  int row)
{
    char text[sizeof state->message + 8];
    int columns = canvas->columns;
    if (state->asks_to_end) {
        draw_end_question(canvas, view, row);
        return;
    }
    if (state->question[0] != '\0') {
        static const char answers[] = "y: yes   any other key: no";
        int room = columns - 2 - (int)sizeof answers;
        bool beside = canvas_width(canvas, state->question) < room;
        canvas_fill(canvas, beside ? row : row - 1, 0, beside ? 1 : 2, columns, STYLE_WARNING, ' ');
        canvas_text(canvas, beside ? row : row - 1, 1, columns - 2, STYLE_WARNING, state->question);
        canvas_right(canvas, row, columns - 1, columns - 2, STYLE_WARNING, answers);
        return;
    }
    if (page_tells_of_work(state, view)) {
        columns = draw_work(canvas, state, view, row);
        if (columns == 0 || state->message[0] == '\0') {
            return;
        }
    }
    if (state->message[0] == '\0' && lasting_trouble(view)[0] == '\0') {
        if (key_place_of(view) == AT_HOLD) {
            draw_mark_span(canvas, row);
        }
        return;
    }
    enum style style = message_text(text, sizeof text, state, view);
    keep_the_end(canvas, text, sizeof text, columns);
    canvas_text(canvas, row, 0, columns, style, text);
}

void page_wait(struct canvas *canvas, const char *doing, double share)
{
    char text[160];
    size_t used = 0;
    text_append(text, sizeof text, &used, "%s ...", doing);
    if (isfinite(share)) {
        text_append(text, sizeof text, &used, " %d %%", (int)(share * 100.0));
    }
    canvas_text(canvas, 0, 1, canvas->columns - 1, STYLE_STRONG, "HOLDLINE");
    canvas_text(canvas, canvas->rows > 2 ? 2 : 0, 1, canvas->columns - 1, STYLE_PLAIN, text);
}
