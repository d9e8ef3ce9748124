/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_draw.h"

#include "base/text.h"
#include "measure/rules.h"
#include "record/typed.h"
#include "screen/form_bike.h"
#include "screen/form_kind.h"
#include "screen/form_sketch.h"
#include "screen/form_typing.h"
#include "screen/form_value.h"

#include <stdio.h>
#include <string.h>

/* How a form looks: title, fields in one column or two, what the field under the cursor takes, what
 * went wrong, keys. Scrolls where there is no room for all. */

struct cell_place {
    int row, column, columns; /* row counted from the first field's */
};

#define TWO_COLUMNS_FROM 76
/* On a large terminal a field has a row and what it takes beside it, and a blank row follows; below
 * them some are left for what follows from the fields. */
#define SPACED_FROM 120
#define SPACED_ROWS_BELOW 8
#define SPACED_TEXT_COLUMNS 80
#define HINT_COLUMN 40 /* from the box's beginning: behind it stand unit and what it was */
#define CHOICE_COLUMNS 14
#define NUMBER_COLUMNS 8
#define WHOLE_COLUMNS 6

/* The bike stands beside the fields where there is room for both. */
static bool has_sketch(const struct form *form, int columns)
{
    return form_kinds[form->kind]->sketch && columns >= TWO_COLUMNS_FROM;
}

static bool is_spaced(const struct form *form, int columns, int room)
{
    int rows = SPACED_ROWS_BELOW;
    for (int i = 0; i < form->count; i++) {
        rows += form->field[i].heading != NULL ? 3 : 2;
    }
    return columns >= SPACED_FROM && rows <= room;
}

/* One under the other, a blank row behind each. */
static int lay_out_spaced(const struct form *form, int columns,
                          struct cell_place place[FORM_FIELDS_MAX])
{
    int row = 0;
    columns = has_sketch(form, columns) ? columns / 2 : columns;
    for (int i = 0; i < form->count; i++) {
        row += form->field[i].heading != NULL ? 1 : 0;
        place[i] = (struct cell_place){row, 1, columns - 2};
        row += 2;
    }
    return row - 1;
}

/* Texts take a row; numbers and choices stand in two columns where there is room, down before
 * across. */
static int lay_out(const struct form *form, int columns, struct cell_place place[FORM_FIELDS_MAX])
{
    int row = 0;
    columns = has_sketch(form, columns) ? columns / 2 : columns;
    bool two =
        columns >= TWO_COLUMNS_FROM && form->count > 6 && !form_kinds[form->kind]->one_column;
    for (int i = 0; i < form->count;) {
        int run = 0;
        while (i + run < form->count && form->field[i + run].kind != FIELD_TEXT) {
            run++;
        }
        row += form->field[i].heading != NULL ? 1 : 0;
        for (int k = 1; k < run; k++) { /* a heading begins a run of its own */
            run = form->field[i + k].heading != NULL ? k : run;
        }
        if (run == 0) {
            place[i++] = (struct cell_place){row++, 1, columns - 2};
            continue;
        }
        int down = two ? (run + 1) / 2 : run;
        for (int k = 1; k < run && two; k++) {
            down = form->field[i + k].begins_column && k >= down ? k : down;
        }
        for (int k = 0; k < run; k++) {
            int side = k / down;
            place[i + k] = (struct cell_place){row + k % down, two ? 1 + side * (columns / 2) : 1,
                                               two ? columns / 2 - 2 : columns - 2};
        }
        row += down;
        i += run;
    }
    return row;
}

static const char *shown_value(const struct form_field *field)
{
    for (int i = 0; field->kind == FIELD_CHOICE && i < field->choice_count; i++) {
        if (strcmp(field->choice[i], field->value) == 0) {
            return field->choice_words[i];
        }
    }
    return field->value;
}

/* Where the value begins to be shown so that the cursor is in the box. */
static const char *scrolled(const struct canvas *canvas, const char *value, size_t cursor, int box,
                            int *at)
{
    char head[FORM_VALUE_SIZE];
    const char *begin = value;
    for (;;) {
        size_t length = cursor - (size_t)(begin - value);
        memcpy(head, begin, length);
        head[length] = '\0';
        *at = canvas_width(canvas, head);
        if (*at < box || *begin == '\0') {
            return begin;
        }
        begin++;
        while (((unsigned char)*begin & 0xC0) == 0x80) {
            begin++;
        }
    }
}

/* As wide as the longest label, as far as the values still have room. */
static int label_columns(const struct canvas *canvas, const struct form *form, int columns)
{
    int widest = 8;
    for (int i = 0; i < form->count; i++) {
        int width = canvas_width(canvas, form->field[i].label);
        widest = width > widest ? width : widest;
    }
    int most = columns - CHOICE_COLUMNS - 1;
    return widest < most ? widest : most;
}

/* What speaks against what stands in a field; "" = nothing does. */
struct objection {
    char trouble[128]; /* it can't be taken */
    char passed[48];   /* a maker's limit */
    bool open;         /* letters are typed that are no choice yet */
};

static void find_objection(const struct form *form, const struct view *view, int index,
                           struct objection *objection)
{
    const struct form_field *field = &form->field[index];
    bool focused = index == form->focus, several = false, empty = field->value[0] == '\0';
    bool bad = form_field_trouble(field, objection->trouble, sizeof objection->trouble) != NULL &&
               (focused || !empty) && !(focused && form->fresh && empty); /* not typed yet */
    objection->open = focused && form_letters_open(form, &several);
    if (objection->open) { /* what was typed, not the choice that still stands there */
        text_copy(objection->trouble, sizeof objection->trouble,
                  several ? "type on" : "none of them");
    } else if (!bad) {
        objection->trouble[0] = '\0';
    }
    if (bad || objection->open ||
        !form_limit_passed(field, view, objection->passed, sizeof objection->passed)) {
        objection->passed[0] = '\0';
    }
}

static int box_columns(enum field_kind kind, int left)
{
    int most = kind == FIELD_TEXT     ? left
               : kind == FIELD_CHOICE ? CHOICE_COLUMNS
               : kind == FIELD_WHOLE  ? WHOLE_COLUMNS
                                      : NUMBER_COLUMNS;
    return left < most ? left : most;
}

/* The box with what stands in it; the cursor where it is this one's. */
static void draw_box(struct canvas *canvas, const struct form *form, int index, int row, int at,
                     int box, const struct objection *objection, int *cursor_row,
                     int *cursor_column)
{
    const struct form_field *field = &form->field[index];
    bool focused = index == form->focus;
    enum style style = objection->trouble[0] != '\0' || objection->passed[0] != '\0' ? STYLE_WARNING
                       : focused                                                     ? STYLE_INPUT
                                                                                     : STYLE_PANEL;
    const char *value = shown_value(field);
    char chosen[64];
    int cursor_at = 0;
    canvas_fill(canvas, row, at, 1, box, style, ' ');
    if (focused && field->kind == FIELD_CHOICE) {
        snprintf(chosen, sizeof chosen, "\u2190 %s \u2192",
                 objection->open ? form->letters : value);
        value = chosen;
    } else if (focused) {
        value = scrolled(canvas, value, form->cursor, box, &cursor_at);
    }
    canvas_text(canvas, row, at, box, style, value);
    if (focused) {
        *cursor_row = row;
        *cursor_column = at + cursor_at;
    }
}

/* As much of the trouble as there is room for. */
static void trouble_words(char *text, size_t size, const struct canvas *canvas,
                          const struct form_field *field, struct objection *objection, int left)
{
    snprintf(text, size, "! %.60s", objection->trouble);
    if (canvas_width(canvas, text) > left && objection->open) {
        text_copy(text, size, left >= 6 ? "! none" : "!");
    } else if (canvas_width(canvas, text) > left) {
        form_field_trouble_short(field, objection->trouble, sizeof objection->trouble);
        snprintf(text, size, left >= 9 ? "! %.60s" : "!%.60s", objection->trouble);
    }
}

/* What a changed field was before. */
static void was_words(char *text, size_t size, const struct form_field *field)
{
    if (field->initial[0] == '\0' && field->kind != FIELD_CHOICE) {
        text_copy(text, size, "new");
        return;
    }
    const char *was = field->initial;
    for (int i = 0; i < field->choice_count; i++) {
        if (strcmp(field->choice[i], field->initial) == 0) {
            was = field->choice_words[i];
        }
    }
    snprintf(text, size, "was %.40s", was);
}

/* What a field takes. */
static void hint_words(char *text, size_t size, const struct form_field *field)
{
    char low[32], high[32];
    size_t used = 0;
    text[0] = '\0';
    switch (field->kind) {
    case FIELD_NUMBER:
    case FIELD_WHOLE:
    case FIELD_LIMIT:
        text_from_double_shortest(low, sizeof low, field->minimum);
        text_from_double_shortest(high, sizeof high, field->maximum);
        text_append(text, size, &used, "%s to %s %s%s", low, high, field->unit,
                    field->kind == FIELD_LIMIT ? ", or none" : "");
        break;
    case FIELD_BOUNDS:
        text_from_double_shortest(low, sizeof low, field->minimum);
        text_from_double_shortest(high, sizeof high, field->maximum);
        text_append(text, size, &used, "at most 30, between 5..30, at least 5..; all %s to %s %s",
                    low, high, field->unit);
        break;
    case FIELD_CHOICE:
        for (int i = 0; i < field->choice_count; i++) {
            text_append(text, size, &used, "%s%s", i > 0 ? ", " : "", field->choice_words[i]);
        }
        break;
    case FIELD_LENGTH:
        text_append(text, size, &used,
                    "90 s, 20 min, 1:30 or 8 h; under %g s it is kept, but does not count",
                    INTERVAL_KEPT_MIN_S);
        break;
    case FIELD_TEXT:
        text_append(text, size, &used, "%s",
                    field->required ? "some words" : "some words, or nothing");
        break;
    }
}

static void draw_field(struct canvas *canvas, const struct form *form, const struct view *view,
                       int index, int row, const struct cell_place *place, bool spaced,
                       int *cursor_row, int *cursor_column)
{
    const struct form_field *field = &form->field[index];
    struct objection objection;
    char words[200];
    int label = label_columns(canvas, form, place->columns);
    int box = box_columns(field->kind, place->columns - label - 1);
    box = spaced && box > SPACED_TEXT_COLUMNS ? SPACED_TEXT_COLUMNS : box;
    find_objection(form, view, index, &objection);
    bool bad = objection.trouble[0] != '\0', over = objection.passed[0] != '\0';
    canvas_right(canvas, row, place->column + label, label,
                 index == form->focus ? STYLE_STRONG : STYLE_PLAIN, field->label);
    int at = place->column + label + 1;
    draw_box(canvas, form, index, row, at, box, &objection, cursor_row, cursor_column);
    at += box + 1;
    int left = place->column + place->columns - at;
    if (field->unit[0] != '\0' && left >= 3 && !bad && !over) {
        int used = canvas_text(canvas, row, at, left, STYLE_FAINT, field->unit);
        at += used + 1;
        left -= used + 1;
    }
    if (bad && left >= 2) {
        trouble_words(words, sizeof words, canvas, field, &objection, left);
        canvas_text(canvas, row, at, left, STYLE_STRONG, words);
    } else if (over && left >= 2) {
        snprintf(words, sizeof words, "! %s", objection.passed);
        canvas_text(canvas, row, at, left, STYLE_STRONG, words);
    } else if (form_field_changed(field) && left >= 3 && field->kind != FIELD_TEXT) {
        was_words(words, sizeof words, field);
        at += canvas_text(canvas, row, at, left, STYLE_PLAIN, words);
    }
    if (spaced && !bad && !over) {
        int hint = place->column + label + 1 + HINT_COLUMN;
        hint = hint > at + 1 ? hint : at + 1;
        hint_words(words, sizeof words, field);
        canvas_text(canvas, row, hint, place->column + place->columns - hint, STYLE_FAINT, words);
    }
}

/* As why the form was not taken: that begins like this, blanks at the end left out. */
static bool is_told_below(const struct form *form, const char *text)
{
    size_t length = strlen(text);
    while (length > 0 && text[length - 1] == ' ') {
        length--;
    }
    return strncmp(form->problem, text, length) == 0;
}

/* What is wrong with the field under the cursor, on its row or below; false: nothing is. */
static bool draw_wrong(struct canvas *canvas, const struct form *form, int row)
{
    const struct form_field *field = &form->field[form->focus];
    char text[256], trouble[128];
    bool several;
    if (form_field_trouble(field, trouble, sizeof trouble) != NULL &&
        !(form->fresh && field->value[0] == '\0')) {
        snprintf(text, sizeof text, " %s: %s ", field->label, trouble);
        if (!is_told_below(form, text + 1)) {
            canvas_text(canvas, row, 0, canvas->columns, STYLE_WARNING, text);
        }
        return true;
    }
    if (!form_letters_open(form, &several)) {
        return false;
    }
    snprintf(text, sizeof text, "%s: '%s'", field->label, form->letters);
    if (!is_told_below(form, text)) {
        snprintf(text, sizeof text, " '%s' %s ", form->letters,
                 several ? "begins several: type on" : "is none of them: Backspace, then anew");
        canvas_text(canvas, row, 0, canvas->columns, STYLE_WARNING, text);
    }
    return true;
}

/* What the field under the cursor takes. */
static void draw_hint(struct canvas *canvas, const struct form *form, int row)
{
    const struct form_field *field = &form->field[form->focus];
    char text[256], takes[200];
    if (draw_wrong(canvas, form, row)) {
        return;
    }
    bool asks = field->label[0] != '\0' && field->label[strlen(field->label) - 1] == '?';
    hint_words(takes, sizeof takes, field);
    snprintf(text, sizeof text, "%s%s %s", field->label, asks ? "" : ":", takes);
    double length_s;
    bool is_short = field->kind == FIELD_LENGTH && typed_length(field->value, &length_s, NULL) &&
                    length_s < INTERVAL_KEPT_MIN_S;
    canvas_text(canvas, row, 1, canvas->columns - 2, is_short ? STYLE_WARNING : STYLE_FAINT, text);
}

/* What follows from the parts typed: limits passed, and what moves; over the explanation where
 * there is no room below the fields. */
static void draw_consequences(struct canvas *canvas, struct form *form, const struct view *view,
                              int row, int rows)
{
    char said[2][512], text[560];
    const char *const begins[] = {"! ", "moves, mm: "};
    form_limits_text(said[0], sizeof said[0], form, view);
    form_moves_text(said[1], sizeof said[1], form, view);
    int width = canvas->columns - 2;
    if (rows <= 0) {
        row = rows = 1;
        width -= 8; /* beside the sign that there is more */
    }
    for (int i = 0; i < 2 && rows > 0; i++) {
        if (said[i][0] != '\0') {
            snprintf(text, sizeof text, "%s%.511s", begins[i], said[i]);
            canvas_fill(canvas, row, 0, 1, canvas->columns, STYLE_PLAIN, ' ');
            int used = canvas_wrapped(canvas, row, 1, width, rows,
                                      i == 0 ? STYLE_WARNING : STYLE_STRONG, text);
            row += used;
            rows -= used;
        }
    }
}

/* What is wrong is not there the next time. */
static bool all_kept(const struct form *form)
{
    char trouble[128];
    bool several, sound = form->refused == 0 && !form_letters_open(form, &several);
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        sound = sound && (!form_field_changed(field) || !form_given(field) ||
                          form_field_trouble(field, trouble, sizeof trouble) == NULL);
    }
    return sound;
}

/* Scrolls so that the field under the cursor is seen, and no further than to the end. */
static void scroll_to_focus(struct form *form, int focus_row, int total, int room)
{
    if (focus_row < form->first_row) {
        form->first_row = focus_row;
    }
    if (focus_row >= form->first_row + room) {
        form->first_row = focus_row - room + 1;
    }
    if (form->first_row > total - room) {
        form->first_row = total - room < 0 ? 0 : total - room;
    }
}

/* On as many rows above the last as it needs, three at most. */
static void draw_problem(struct canvas *canvas, const struct form *form)
{
    char text[sizeof form->problem + 8];
    int rows = canvas->rows, columns = canvas->columns, needed = 1;
    snprintf(text, sizeof text, " ! %s ", form->problem);
    const char *rest = text + canvas_fitting(canvas, text, columns - 1);
    for (; *rest != '\0' && needed < 4; needed++) {
        rest += canvas_fitting(canvas, rest, columns - 1);
    }
    canvas_fill(canvas, rows - 1 - needed, 0, needed, columns, STYLE_WARNING, ' ');
    canvas_wrapped(canvas, rows - 1 - needed, 0, columns, needed, STYLE_WARNING, text);
}

static void draw_keys(struct canvas *canvas, const struct form *form)
{
    static const char keys[] = "  ? keys";
    int row = canvas->rows - 1, columns = canvas->columns;
    int used = canvas_text(canvas, row, 1, columns - 2, STYLE_PLAIN,
                           columns < 78 ? "Enter take it  Tab next  Esc back"
                           : all_kept(form)
                               ? "Enter take it  Tab next  Ctrl-U empty  Delete forward  "
                                 "Esc back, kept"
                               : "Enter take it  Tab next  Ctrl-U empty  Esc back, kept but for "
                                 "what is wrong");
    if (form_asks_for_keys(form, '?') && used + (int)strlen(keys) <= columns - 2) {
        canvas_text(canvas, row, 1 + used, columns - 1 - used, STYLE_PLAIN, keys);
    }
}

void form_draw(struct canvas *canvas, struct form *form, const struct view *view, int *cursor_row,
               int *cursor_column)
{
    struct cell_place place[FORM_FIELDS_MAX];
    int rows = canvas->rows, columns = canvas->columns;
    int top = rows >= 16 ? 3 : 2, room = rows - top - 3;
    bool spaced = is_spaced(form, columns, room);
    int total = spaced ? lay_out_spaced(form, columns, place) : lay_out(form, columns, place);
    *cursor_row = *cursor_column = -1;
    canvas_text(canvas, 0, 1, columns - 2, STYLE_STRONG, form->title);
    canvas_text(canvas, 1, 1, columns - 2, STYLE_FAINT, form->explanation);
    scroll_to_focus(form, place[form->focus].row, total, room);
    for (int i = 0; i < form->count; i++) {
        form->drawn_row[i] = place[i].row;
        form->drawn_column[i] = place[i].column;
        int row = place[i].row - form->first_row;
        if (form->field[i].heading != NULL && row >= 1 && row <= room) {
            canvas_text(canvas, top + row - 1, place[i].column, place[i].columns, STYLE_FAINT,
                        form->field[i].heading);
        }
        if (row >= 0 && row < room) {
            draw_field(canvas, form, view, i, top + row, &place[i], spaced, cursor_row,
                       cursor_column);
        }
    }
    if (form_kinds[form->kind]->draw_below != NULL) {
        form_kinds[form->kind]->draw_below(canvas, form, view, top + total + 1, room - total - 1);
    }
    draw_consequences(canvas, form, view, top + total + 1, room - total - 1);
    if (has_sketch(form, columns)) {
        form_sketch_draw(canvas, form, view, top, columns / 2 + 1, room, columns - columns / 2 - 2);
    }
    if (form->first_row > 0) {
        canvas_text(canvas, top - 1, columns - 8, 7, STYLE_FAINT, "\u2191 more");
    }
    if (form->first_row + room < total) {
        canvas_text(canvas, rows - 3, columns - 8, 7, STYLE_FAINT, "\u2193 more");
    }
    draw_hint(canvas, form, rows - 3);
    if (form->problem[0] != '\0') {
        draw_problem(canvas, form);
    }
    draw_keys(canvas, form);
}
