/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_typing.h"

#include "base/text.h"
#include "screen/canvas.h"
#include "screen/display.h"
#include "screen/form_kind.h"
#include "screen/form_value.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Typing in a form. */

/* ---- moving and typing ---- */

static void go_to(struct form *form, int focus)
{
    form->focus = (focus + form->count) % form->count;
    form->fresh = true;
    form->cursor = strlen(form->field[form->focus].value);
    form->letters[0] = '\0';
}

/* The field above or below as they stand on the screen: in the next row there, the nearest of it;
 * past the first and the last the order of Tab goes on. */
static void go_by_rows(struct form *form, int step)
{
    int row = form->drawn_row[form->focus], column = form->drawn_column[form->focus], best = -1;
    for (int i = 0; i < form->count; i++) {
        int rows = (form->drawn_row[i] - row) * step;
        int aside = abs(form->drawn_column[i] - column);
        if (rows <= 0) {
            continue;
        }
        int best_rows = best >= 0 ? (form->drawn_row[best] - row) * step : 0;
        int best_aside = best >= 0 ? abs(form->drawn_column[best] - column) : 0;
        /* the same column before the other one; a text's row is as wide as both */
        bool nearer = rows < best_rows || (rows == best_rows && aside < best_aside);
        if (best < 0 || nearer) {
            best = i;
        }
    }
    go_to(form, best >= 0 ? best : form->focus + step);
}

static void choose(struct form *form, const struct view *view, int step)
{
    struct form_field *field = &form->field[form->focus];
    int at = 0;
    for (int i = 0; i < field->choice_count; i++) {
        if (strcmp(field->choice[i], field->value) == 0) {
            at = i;
        }
    }
    at = (at + step + field->choice_count) % field->choice_count;
    text_copy(field->value, sizeof field->value, field->choice[at]);
    form_follow(form, view, form->focus);
}

/* Do the letters begin the choice's words, or one of them? */
static bool begins_word(const char *words, const char *letters)
{
    size_t length = strlen(letters);
    for (const char *next = words; *next != '\0'; next++) {
        if ((next == words || next[-1] == ' ') && strncmp(next, letters, length) == 0) {
            return true;
        }
    }
    return false;
}

/* The one choice that the letters mean; -1: none does, -2: several do. A choice that is written out
 * is meant, whatever else begins like it. */
static int meant(const struct form_field *field, const char *letters)
{
    int found = -1;
    for (int i = 0; i < field->choice_count; i++) {
        if (strcmp(field->choice_words[i], letters) == 0) {
            return i;
        }
        if (begins_word(field->choice_words[i], letters)) {
            found = found == -1 ? i : -2;
        }
    }
    return found;
}

bool form_letters_open(const struct form *form, bool *several)
{
    const struct form_field *field = &form->field[form->focus];
    int found =
        form->letters[0] != '\0' && field->kind == FIELD_CHOICE ? meant(field, form->letters) : 0;
    *several = found == -2;
    return found < 0;
}

/* Letters that mean none of the choices, or several, are told and the field is not left: what is
 * shown there is not what was typed. */
static bool letters_stand(struct form *form)
{
    bool several;
    if (!form_letters_open(form, &several)) {
        return false;
    }
    snprintf(form->problem, sizeof form->problem, "%s: '%s' %s", form->field[form->focus].label,
             form->letters,
             several ? "begins several: type on, or arrows choose"
                     : "is none of them: type one of its words, or arrows choose");
    return true;
}

/* Letters go on from those before, or begin anew where only so they mean any; where they mean none
 * or several, nothing changes. */
static void choose_letter(struct form *form, const struct view *view, uint32_t key)
{
    struct form_field *field = &form->field[form->focus];
    size_t length = strlen(form->letters);
    char letter[5];
    if (key == ' ' && length == 0) {
        choose(form, view, 1);
        return;
    }
    key = key >= 'A' && key <= 'Z' ? key - 'A' + 'a' : key;
    if (length + canvas_encode(letter, key) >= sizeof form->letters) {
        return;
    }
    text_copy(form->letters + length, sizeof form->letters - length, letter);
    int found = meant(field, form->letters);
    if (found == -1 && meant(field, letter) != -1) {
        text_copy(form->letters, sizeof form->letters, letter);
        length = 0;
        found = meant(field, letter);
    }
    if (found == -1 && key >= '0' && key <= '9') {
        snprintf(form->problem, sizeof form->problem,
                 "%s: one of its words, not %c: the field of "
                 "the number is another",
                 field->label, (char)key);
        form->letters[length] = '\0';
    }
    if (found >= 0 && strcmp(field->value, field->choice[found]) != 0) {
        text_copy(field->value, sizeof field->value, field->choice[found]);
        form_follow(form, view, form->focus);
    }
}

static size_t before(const char *text, size_t at)
{
    if (at == 0) {
        return 0;
    }
    at--;
    while (at > 0 && ((unsigned char)text[at] & 0xC0) == 0x80) {
        at--;
    }
    return at;
}

static size_t after(const char *text, size_t at)
{
    if (text[at] == '\0') {
        return at;
    }
    at++;
    while (((unsigned char)text[at] & 0xC0) == 0x80) {
        at++;
    }
    return at;
}

static void erase(struct form *form, size_t from, size_t to)
{
    char *value = form->field[form->focus].value;
    memmove(value + from, value + to, strlen(value + to) + 1);
    form->cursor = from;
}

static void insert(struct form *form, uint32_t key)
{
    char *value = form->field[form->focus].value, text[5];
    if (form->fresh) { /* as if all of it were marked */
        value[0] = '\0';
        form->cursor = 0;
    }
    size_t length = canvas_encode(text, key), there = strlen(value);
    if (there + length >= FORM_VALUE_SIZE) {
        return;
    }
    memmove(value + form->cursor + length, value + form->cursor, there - form->cursor + 1);
    memcpy(value + form->cursor, text, length);
    form->cursor += length;
}

static void type(struct form *form, const struct view *view, uint32_t key)
{
    struct form_field *field = &form->field[form->focus];
    bool printable = key >= ' ' && key != 127 && !(key >= 0x80 && key < 0xA0) && key < 0x110000;
    if (field->kind == FIELD_CHOICE) {
        if (key == KEY_GO_LEFT || key == KEY_GO_RIGHT) {
            form->letters[0] = '\0';
            choose(form, view, key == KEY_GO_RIGHT ? 1 : -1);
        } else if (printable) {
            choose_letter(form, view, key);
        } else if ((key == KEY_ERASE || key == KEY_EMPTY) && form->letters[0] != '\0') {
            form->letters[0] = '\0';
        } else if (key == KEY_ERASE || key == KEY_ERASE_FORWARD || key == KEY_EMPTY) {
            text_copy(field->value, sizeof field->value, field->choice[0]);
            form_follow(form, view, form->focus);
        }
        return;
    }
    switch (key) {
    case KEY_GO_LEFT:
        form->cursor = before(field->value, form->cursor);
        break;
    case KEY_GO_RIGHT:
        form->cursor = after(field->value, form->cursor);
        break;
    case KEY_GO_HOME:
        form->cursor = 0;
        break;
    case KEY_GO_END:
        form->cursor = strlen(field->value);
        break;
    case KEY_ERASE:
        if (form->cursor > 0) {
            erase(form, before(field->value, form->cursor), form->cursor);
        }
        break;
    case KEY_EMPTY:
        erase(form, 0, strlen(field->value));
        break;
    case KEY_ERASE_FORWARD:
        erase(form, form->cursor, after(field->value, form->cursor));
        break;
    default:
        if (!printable) {
            return;
        }
        insert(form, key);
        break;
    }
    form->fresh = false;
    form_follow(form, view, form->focus);
}

/* Enter: all fields sound, then the lines. */
static enum form_result take(struct form *form, const struct view *view)
{
    char text[128];
    form->problem[0] = '\0';
    form->refused = 0;
    if (letters_stand(form)) {
        return FORM_STAYS;
    }
    form->letters[0] = '\0';
    for (int i = 0; i < form->count; i++) {
        const char *trouble = form_field_trouble(&form->field[i], text, sizeof text);
        if (trouble != NULL) {
            go_to(form, i);
            snprintf(form->problem, sizeof form->problem, "%s: %s", form->field[i].label, trouble);
            return FORM_STAYS;
        }
    }
    form->line_count = form->line_sent = 0;
    return form_make_lines(form, view) ? FORM_MADE : FORM_STAYS;
}

bool form_asks_for_keys(const struct form *form, uint32_t key)
{
    const struct form_field *field = &form->field[form->focus];
    return key == '?' && (field->kind != FIELD_TEXT || form->fresh || field->value[0] == '\0');
}

static void move(struct form *form, uint32_t key)
{
    switch (key) {
    case KEY_TAB:
    case KEY_TAB_BACK:
        go_to(form, form->focus + (key == KEY_TAB ? 1 : -1));
        break;
    case KEY_GO_DOWN:
    case KEY_GO_UP:
        go_by_rows(form, key == KEY_GO_DOWN ? 1 : -1);
        break;
    default:
        go_to(form, key == KEY_PAGE_UP ? 0 : form->count - 1);
        break;
    }
}

enum form_result form_key(struct form *form, const struct view *view, uint32_t key)
{
    switch (key) {
    case KEY_ESCAPE:
    case KEY_INTERRUPT:
        return FORM_LEFT;
    case KEY_ACCEPT:
        form->question[0] = '\0';
        return take(form, view);
    case KEY_ANEW:
        form_begin_anew(form, view);
        return FORM_STAYS;
    case KEY_TAB:
    case KEY_TAB_BACK:
    case KEY_GO_DOWN:
    case KEY_GO_UP:
    case KEY_PAGE_UP:
    case KEY_PAGE_DOWN:
        if (!letters_stand(form)) {
            move(form, key);
        }
        return FORM_STAYS;
    default:
        form->problem[0] = '\0';
        form->refused = form->refused == form->focus + 1 || form->refused == FORM_REFUSED_WHOLE
                            ? 0
                            : form->refused;
        type(form, view, key);
        return FORM_STAYS;
    }
}
