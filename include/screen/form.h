/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_FORM_H
#define HOLDLINE_SCREEN_FORM_H

#include "screen/open_kinds.h"
#include "session/snapshot.h"
#include "session/view.h"
#include <stdbool.h>
#include <stddef.h>

/* Forms: fields filled in with what the view knows, so that only what changed is typed. A wrong
 * value is told at its field at once with the range allowed; going back keeps what was typed for
 * the next time. A form makes command lines of docs/scripts.md and nothing else.
 * Here is what a form holds. On it stand, one on the other: form_value (numbers as people type
 * them), form_lines (command lines), form_bike (what follows from the parts typed), form_kind (the
 * forms, a row each, and the table of them), form_typing and form_draw, form_page. */
enum field_kind {
    FIELD_TEXT,
    FIELD_NUMBER,
    FIELD_WHOLE,  /* a whole number */
    FIELD_LIMIT,  /* a number, or 'none' */
    FIELD_BOUNDS, /* '30' (at most), '5..30', '5..' (at least), or nothing */
    FIELD_LENGTH, /* of time: 90 s, 20 min, 1:30 or 8 h */
    FIELD_CHOICE, /* one of a few words; left and right go through them */
};

#define FORM_FIELDS_MAX 28
#define FORM_VALUE_SIZE (TEXT_SIZE + 128) /* more than is kept, so that too much is seen */
#define FORM_CHOICES_MAX 9
#define FORM_LINES_MAX (SETUPS_MAX + 1)

struct form_field {
    enum field_kind kind;
    char key[48], label[48], unit[8];
    double minimum, maximum;
    size_t
        kept; /* bytes of a text that its record keeps, with its end; 0: as much as can be typed */
    bool required;
    bool bare; /* stands in the command line without its key */
    int choice_count;
    char choice[FORM_CHOICES_MAX][CHANNEL_NAME_SIZE]; /* as command lines have it; "" = not said */
    char choice_words[FORM_CHOICES_MAX][CHANNEL_NAME_SIZE];
    char initial[FORM_VALUE_SIZE], value[FORM_VALUE_SIZE];
    int channel;         /* index in the view, where the field is of one */
    const char *heading; /* over it, in a row of its own; NULL = none */
    bool begins_column;  /* of two columns the right one begins with it */
};

/* What was typed and not yet taken, by form; in one of each channel by channel. */
struct form_draft {
    bool has;
    int about; /* as the form's */
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
    struct form_draft *draft; /* where it is kept when it is left: one, or one of each channel */
    int of;                   /* the channel that it is about; -1: it is of none */
    int about;                /* the setup, or build, on the bike, where it is about that one */
    const char *title, *explanation;
    int count, focus, first_row;
    struct form_field field[FORM_FIELDS_MAX];
    bool fresh;    /* nothing typed in the focused field yet: typing replaces it */
    size_t cursor; /* byte in the focused value */
    char letters[CHANNEL_NAME_SIZE];   /* typed in a field of choices */
    int drawn_row[FORM_FIELDS_MAX];    /* where the fields stood last: the arrows go by */
    int drawn_column[FORM_FIELDS_MAX]; /* it; all 0 before the first drawing */
    char problem[512];                 /* why it was not taken */
    int refused;                       /* the field that is about, from 1 on; 0: none; or */
#define FORM_REFUSED_WHOLE (-1)
    char question[128];            /* is it meant so? asked before the lines go; "" = nothing */
    char asked[COMMAND_TEXT_SIZE]; /* a line that was asked about: the same again is meant */
    int line_count, line_sent;
    char line[FORM_LINES_MAX][COMMAND_TEXT_SIZE];
    bool of_bike;   /* its fields are of a bike: limits are looked at */
    bool is_export; /* the line is a file's name */
    bool replaces;  /* and what is there of that name is written over */
    bool is_look;   /* the line looks at something: the form stays open */
};

/* One more field; number fields have their range. */
struct form_field *form_add(struct form *form, enum field_kind kind, const char *key,
                            const char *label, const char *unit, double minimum, double maximum);
void form_add_choice(struct form_field *field, const char *value, const char *words);
/* Takes a field away again. */
void form_drop(struct form *form, const char *key);
struct form_field *form_find(struct form *form, const char *key);
bool form_field_changed(const struct form_field *field);
/* Something stands in it. */
bool form_given(const struct form_field *field);
/* The field is one of a bike's measures: which; -1: it is not. */
int form_bike_key(const struct form_field *field);
/* Another value, as if it had been there from the start (what was typed stays). */
void form_prefill(struct form_field *field, const char *value);
void form_prefill_number(struct form_field *field, double value);
/* false, with the reason; the cursor goes to the field (NULL: it stays), whose value is not offered
 * again. */
bool form_refuse(struct form *form, const char *key, const char *sentence);
/* What was typed goes to its draft; there is none. */
void form_keep_draft(const struct form *form);
void form_drop_draft(struct form *form);

#endif
