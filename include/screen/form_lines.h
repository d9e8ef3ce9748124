/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_FORM_LINES_H
#define HOLDLINE_SCREEN_FORM_LINES_H

#include "screen/form.h"

/* The command lines that forms make (docs/scripts.md). Numbers stand in them as short as they read
 * back. */
struct form_line {
    struct form *form;
    char *line;
    size_t used;
    int words;
};
struct form_line form_line_begin(struct form *form, const char *command);
/* key NULL: the value alone. */
void form_line_text(struct form_line *line, const char *key, const char *typed);
void form_line_number(struct form_line *line, const char *key, double value);
/* A field as its form's table has it: with its key, its channel's name, or bare. */
void form_line_field(struct form_line *line, const struct form_field *field,
                     const struct view *view);
/* All of the form's fields in which something stands; those of channels only. How many. */
int form_line_given(struct form_line *line, const struct view *view, bool channels_only);
/* The bike's measures that were changed; how many. */
int form_line_bike(struct form_line *line, const struct view *view);
/* The line is whole; without a word in it the form is refused with the sentence. */
bool form_line_end(struct form_line *line, const char *refusal);

#endif
