/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_FORM_H
#define HOLDLINE_SCREEN_FORM_H

#include "record/record.h"
#include "screen/canvas.h"
#include "screen/open_kinds.h"
#include "session/snapshot.h"
#include "session/view.h"

#include <stdbool.h>
#include <stdint.h>

/* Forms: fields filled in with what the view knows, so that only what changed is typed. A wrong
 * value is told at its field at once with the range allowed; going back keeps what was typed for
 * the next time. A form makes command lines of docs/scripts.md and nothing else. */
enum field_kind {
    FIELD_TEXT,
    FIELD_NUMBER,
    FIELD_WHOLE,  /* a whole number */
    FIELD_LIMIT,  /* a number, or 'none' */
    FIELD_BOUNDS, /* '30' (at most), '5..30', '5..' (at least), or nothing */
    FIELD_CHOICE, /* one of a few words; left and right go through them */
};

#define FORM_FIELDS_MAX 28
#define FORM_VALUE_SIZE (TEXT_SIZE + 128) /* more than is kept, so that too much is seen */
#define FORM_CHOICES_MAX 9
#define FORM_LINES_MAX 5

struct form_field {
    enum field_kind kind;
    char key[48], label[48], unit[8];
    double minimum, maximum;
    size_t
        kept; /* bytes of a text that its record keeps, with its end; 0: as much as can be typed */
    bool required;
    int choice_count;
    char choice[FORM_CHOICES_MAX][CHANNEL_NAME_SIZE]; /* as command lines have it; "" = not said */
    char choice_words[FORM_CHOICES_MAX][CHANNEL_NAME_SIZE];
    char initial[FORM_VALUE_SIZE], value[FORM_VALUE_SIZE];
    int channel;        /* index in the view, where the field is of one */
    bool begins_column; /* of two columns the right one begins with it */
};

/* What was typed and not yet taken, by form. */
struct form_draft {
    bool has;
    int count;
    char value[FORM_FIELDS_MAX][FORM_VALUE_SIZE];
    bool typed[FORM_FIELDS_MAX];
    /* where the cursor was left */
    bool fresh;
    int focus;
    size_t cursor;
};

struct form {
    enum form_kind kind;
    const char *title, *explanation;
    int count, focus, first_row;
    struct form_field field[FORM_FIELDS_MAX];
    bool fresh;    /* nothing typed in the focused field yet: typing replaces it */
    size_t cursor; /* byte in the focused value */
    char letters[CHANNEL_NAME_SIZE];   /* typed in a field of choices */
    int drawn_row[FORM_FIELDS_MAX];    /* where the fields stood last: the arrows go by */
    int drawn_column[FORM_FIELDS_MAX]; /* it; all 0 before the first drawing */
    char problem[512];                 /* why it was not taken */
    int line_count, line_sent;
    char line[FORM_LINES_MAX][COMMAND_TEXT_SIZE];
    bool is_export; /* the line is a file's name */
    bool is_look;   /* the line looks at something: the form stays open */
};

/* ---- form_kinds.c: what the forms ask for ---- */
void form_open(struct form *form, enum form_kind kind, const struct view *view,
               const struct form_draft *draft);
/* After a field has changed: what follows from it (the values of the setup that is started from).
 */
void form_follow(struct form *form, const struct view *view, int field);
/* The sensors' form goes through the channels: moves on to the next, false after the last. One that
 * has only looked at something stays. */
bool form_advance(struct form *form, const struct view *view);

/* ---- form_moves.c ---- */
/* The bike as the form has it typed; false where a value is not sound. */
bool form_bike_typed(struct form *form, const struct view *view, struct bike_values *bike);
/* What a changed setup moves, in mm, how well the sensors' heights are then known from the parts,
 * and which need a plate reading; "" where nothing can be said. */
void form_moves_text(char *text, size_t size, struct form *form, const struct view *view);

/* ---- form_carry.c ---- */
/* Below the fields: the earlier sessions there are, or what the one looked at would bring. */
void form_carry_draw(struct canvas *canvas, struct form *form, const struct view *view, int row,
                     int rows);

/* ---- form_limits.c ---- */
/* Bounds as a command line has them: without blanks and unit, a '.' as the decimal sign. */
void form_bounds_plain(char *text, size_t size, const struct form_field *field);
/* The value in a field passes a limit from the makers' papers: 'max 30'. */
bool form_limit_passed(const struct form_field *field, const struct view *view, char *text,
                       size_t size);
/* All limits that the bike passes as it is typed; "" where it passes none. */
void form_limits_text(char *text, size_t size, struct form *form, const struct view *view);

/* ---- form_lines.c: the command lines they make ---- */
/* False with the problem where something can't be meant that way. */
bool form_make_lines(struct form *form, const struct view *view);

/* ---- form.c: typing ---- */
enum form_result { FORM_STAYS, FORM_LEFT, FORM_MADE };
enum form_result form_key(struct form *form, const struct view *view, uint32_t key);
/* '?' where none can be meant, in a field of a number or a choice and as a text's first: the keys
 * are asked for. */
bool form_asks_for_keys(const struct form *form, uint32_t key);
void form_keep_draft(const struct form *form, struct form_draft *draft);
/* The letters typed in the focused field of choices mean none of them, or several. */
bool form_letters_open(const struct form *form, bool *several);

/* ---- form_value.c: what stands in a field ---- */
struct form_field *form_find(struct form *form, const char *key);
bool form_field_changed(const struct form_field *field);
/* Another value, as if it had been there from the start (what was typed stays). */
void form_prefill(struct form_field *field, const char *value);
void form_prefill_number(struct form_field *field, double value);
/* The number typed; NAN when empty or none. Takes ',' as the decimal sign too, and the field's own
 * unit after it. */
double form_number(const struct form_field *field);
/* NULL when the value is sound, else why not, as a short phrase ('0 to 150 mm'). */
const char *form_field_trouble(const struct form_field *field, char *text, size_t size);
/* The same in a word, for the place beside the field ('0-150', 'in mm'). */
const char *form_field_trouble_short(const struct form_field *field, char *text, size_t size);

/* ---- form_draw.c ---- */
void form_draw(struct canvas *canvas, struct form *form, const struct view *view, int *cursor_row,
               int *cursor_column);

#endif
