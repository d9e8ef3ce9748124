#include "screen/form.h"

#include "base/text.h"
#include "screen/display.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Typing in a form, and whether what was typed is sound. */

struct form_field *form_find(struct form *form, const char *key)
{
    for (int i = 0; i < form->count; i++) {
        if (strcmp(form->field[i].key, key) == 0) {
            return &form->field[i];
        }
    }
    return NULL;
}

bool form_field_changed(const struct form_field *field)
{
    return strcmp(field->initial, field->value) != 0;
}

void form_prefill(struct form_field *field, const char *value)
{
    bool typed = form_field_changed(field);
    text_copy(field->initial, sizeof field->initial, value);
    if (!typed) {
        text_copy(field->value, sizeof field->value, value);
    }
}

void form_prefill_number(struct form_field *field, double value)
{
    char text[32] = "";
    if (isfinite(value)) {
        text_from_double_shortest(text, sizeof text, value);
    }
    form_prefill(field, text);
}

/* '10,5' and a typed minus sign are meant well. */
static bool read_number(const char *typed, double *value)
{
    char cleaned[FORM_VALUE_SIZE], text[FORM_VALUE_SIZE];
    size_t used = 0;
    text_clean(cleaned, sizeof cleaned, typed);
    for (const char *next = cleaned; *next != '\0'; next++) {
        if (strncmp(next, "\u2212", 3) == 0) {
            text[used++] = '-';
            next += 2;
        } else {
            text[used++] = *next == ',' ? '.' : *next;
        }
    }
    text[used] = '\0';
    return text_to_double(text[0] == '+' ? text + 1 : text, value) && text[0] != '\0';
}

double form_number(const struct form_field *field)
{
    double value;
    return read_number(field->value, &value) ? value : NAN;
}

static bool blank(const char *text)
{
    return text[strspn(text, " ")] == '\0';
}

static const char *say_range(const struct form_field *field, char *text, size_t size,
                             const char *what)
{
    char low[32], high[32];
    text_from_double_shortest(low, sizeof low, field->minimum);
    text_from_double_shortest(high, sizeof high, field->maximum);
    snprintf(text, size, "%s%s to %s%s%s%s", what, low, high, field->unit[0] != '\0' ? " " : "",
             field->unit, field->kind == FIELD_LIMIT ? ", or none" : "");
    return text;
}

const char *form_field_trouble(const struct form_field *field, char *text, size_t size)
{
    if (blank(field->value)) {
        if (field->required) {
            snprintf(text, size, "must be filled in");
            return text;
        }
        return NULL;
    }
    if (field->kind == FIELD_TEXT || field->kind == FIELD_CHOICE) {
        return NULL;
    }
    if (field->kind == FIELD_LIMIT && strcmp(field->value, "none") == 0) {
        return NULL;
    }
    double value;
    if (!read_number(field->value, &value)) {
        return say_range(field, text, size, "a number, ");
    }
    if (field->kind == FIELD_LIMIT) {
        value = fabs(value);
    }
    if (value < field->minimum || value > field->maximum) {
        return say_range(field, text, size, "");
    }
    if (field->kind == FIELD_WHOLE && value != floor(value)) {
        return say_range(field, text, size, "a whole number, ");
    }
    return NULL;
}

void form_keep_draft(const struct form *form, struct form_draft *draft)
{
    draft->has = false;
    draft->count = form->count;
    for (int i = 0; i < form->count; i++) {
        draft->typed[i] = form_field_changed(&form->field[i]);
        draft->has = draft->has || draft->typed[i];
        memcpy(draft->value[i], form->field[i].value, sizeof draft->value[i]);
    }
}

/* ---- moving and typing ---- */

static void go_to(struct form *form, int focus)
{
    form->focus = (focus + form->count) % form->count;
    form->fresh = true;
    form->cursor = strlen(form->field[form->focus].value);
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

/* First letter of a choice chooses it; once more, the next that begins with it. */
static void choose_letter(struct form *form, const struct view *view, uint32_t key)
{
    struct form_field *field = &form->field[form->focus];
    int now = 0;
    for (int i = 0; i < field->choice_count; i++) {
        now = strcmp(field->choice[i], field->value) == 0 ? i : now;
    }
    for (int step = 1; step <= field->choice_count; step++) {
        int i = (now + step) % field->choice_count;
        if ((unsigned char)field->choice_words[i][0] == key) {
            choose(form, view, step);
            return;
        }
    }
    if (key == ' ') {
        choose(form, view, 1);
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
            choose(form, view, key == KEY_GO_RIGHT ? 1 : -1);
        } else if (printable) {
            choose_letter(form, view, key);
        } else if (key == KEY_ERASE || key == KEY_ERASE_FORWARD) {
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

enum form_result form_key(struct form *form, const struct view *view, uint32_t key)
{
    switch (key) {
    case KEY_ESCAPE:
    case KEY_INTERRUPT:
        return FORM_LEFT;
    case KEY_ACCEPT:
        return take(form, view);
    case KEY_TAB:
    case KEY_GO_DOWN:
        go_to(form, form->focus + 1);
        return FORM_STAYS;
    case KEY_TAB_BACK:
    case KEY_GO_UP:
        go_to(form, form->focus - 1);
        return FORM_STAYS;
    case KEY_PAGE_UP:
        go_to(form, 0);
        return FORM_STAYS;
    case KEY_PAGE_DOWN:
        go_to(form, form->count - 1);
        return FORM_STAYS;
    default:
        form->problem[0] = '\0';
        type(form, view, key);
        return FORM_STAYS;
    }
}
