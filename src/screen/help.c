/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/help.h"

#include <stdio.h>
#include <string.h>

/* The keys that work here, then the others, from the one table. */

#define WORDS_AT 12 /* column; the longest key is before it */

/* A sign or key and its words, in as many lines as they need; gives the line after them. */
static int draw_words(struct canvas *canvas, const char *sign, const char *words,
                      enum style of_sign, enum style of_words, int line, int first)
{
    int rows = canvas->rows - 2, width = canvas->columns - WORDS_AT - 1;
    const char *rest = words;
    do {
        char text[256];
        size_t length = canvas_fitting(canvas, rest, width);
        snprintf(text, sizeof text, "%.*s", (int)length, rest);
        if (line >= first && line - first < rows) {
            int row = 1 + line - first;
            canvas_text(canvas, row, 2, WORDS_AT - 3, of_sign, rest == words ? sign : "");
            canvas_text(canvas, row, WORDS_AT, width, of_words, text);
        }
        rest += length > 0 ? length : strlen(rest);
        rest += strspn(rest, " ");
        line++;
    } while (*rest != '\0');
    return line;
}

static int draw_entries(struct canvas *canvas, enum key_place place, bool here, int line, int first)
{
    for (int i = 0; i < key_count; i++) {
        const struct key_entry *entry = &key_table[i];
        bool works = (entry->places & (unsigned)place) != 0;
        if (entry->words == NULL || works != here) {
            continue;
        }
        line = draw_words(canvas, entry->name, entry->words, here ? STYLE_STRONG : STYLE_FAINT,
                          here ? STYLE_PLAIN : STYLE_FAINT, line, first);
    }
    return line;
}

/* What the signs on the fitter's screen are. */
static const struct {
    const char *sign, *words;
} signs[] = {
    {"bars", "thick: the posture (slow); thin: where the body is this instant"},
    {"\u25C22 +2", "an earlier setup's mean height, at its true height on the axis"},
    {"line", "under the history: what was captured; upright: a hold or setup began or ended"},
    {"\u00B14", "95 % interval; in the table with what holds, builds and ties are worth"},
    {"*", "one hold only: its interval is borrowed from the others' repeatability"},
    {"\u2248", "few holds yet: a usual repeatability is assumed in it; no verdict rests on it"},
    {"2+1g", "two free holds, one guided; only free ones are compared"},
    {"\u25B21 \u25BC0", "came up once, went low never, in this hold"},
    {"creep", "slow change of height within the hold, mm a minute"},
};

/* What keys do in a form (form.c). */
static const struct {
    const char *name, *words;
} form_keys[] = {
    {"Enter", "take the form as it stands"},
    {"Esc", "back; what was typed is there the next time"},
    {"Tab", "the next field; Shift-Tab the one before"},
    {"arrows", "up and down: the fields as they stand; left and right: the cursor"},
    {"PageUp", "the first field; PageDown the last"},
    {"letters", "replace what is in the field; after an arrow they go in between"},
    {"", "where one of a few words is asked for, they choose the one they begin"},
    {"", "left, right and Space go through the words"},
    {"Ctrl-U", "empty the field; a field that is empty says nothing"},
    {"Ctrl-R", "the form anew, as it was before anything was typed"},
    {"Delete", "the letter under the cursor; Backspace the one before it"},
    {"?", "these keys, in fields of numbers and choices; in texts a letter"},
    {"Ctrl-C", "end the session (asks once)"},
};

static int draw_heading(struct canvas *canvas, const char *text, int line, int first, int rows)
{
    if (line >= first && line - first < rows) {
        canvas_text(canvas, 1 + line - first, 1, canvas->columns - 2, STYLE_STRONG, text);
    }
    return line + 1;
}

static void draw_way_back(struct canvas *canvas, bool more)
{
    canvas_text(canvas, canvas->rows - 1, 1, canvas->columns - 2, STYLE_PLAIN,
                more ? "Esc back   arrows, Space: more below" : "Esc back");
}

int help_draw(struct page_frame *frame, const struct view *view)
{
    enum key_place place = key_place_of(view);
    struct canvas *canvas = frame->canvas;
    int rows = canvas->rows - 2, first = frame->first, line;
    line = draw_entries(canvas, place, true, 0, first) + 1;
    line = draw_heading(canvas, (place & AT_CAPTURE) == 0 ? "DURING A HOLD" : "AT REST", line,
                        first, rows);
    line = draw_entries(canvas, place, false, line, first) + 1;
    line = draw_heading(canvas, "SIGNS ON THE SCREEN", line, first, rows);
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) {
        line = draw_words(canvas, signs[i].sign, signs[i].words, STYLE_STRONG, STYLE_PLAIN, line,
                          first);
    }
    draw_way_back(canvas, line - first > rows);
    return line;
}

int help_draw_form(struct page_frame *frame)
{
    struct canvas *canvas = frame->canvas;
    int rows = canvas->rows - 2, count = (int)(sizeof form_keys / sizeof form_keys[0]);
    int first = frame->first, line = 0;
    for (int i = 0; i < count; i++) {
        line = draw_words(canvas, form_keys[i].name, form_keys[i].words, STYLE_STRONG, STYLE_PLAIN,
                          line, first);
    }
    draw_way_back(canvas, line - first > rows);
    return line;
}
