/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_FORM_PARTS_H
#define HOLDLINE_SCREEN_FORM_PARTS_H

#include "screen/form.h"

/* For the files that make up forms only. */

/* One more field; number fields have their range. */
struct form_field *form_add(struct form *form, enum field_kind kind, const char *key,
                            const char *label, const char *unit, double minimum, double maximum);
/* kept: bytes of it that are kept, with its end; 0: no limit of its own. */
struct form_field *form_add_text(struct form *form, const char *key, const char *label,
                                 const char *value, size_t kept);
void form_add_choice(struct form_field *field, const char *value, const char *words);
/* Something stands in it. */
bool form_given(const struct form_field *field);
/* false, with the reason; focus: the field it is about. */
bool form_refuse(struct form *form, const char *sentence);

/* form_carry.c: an earlier session taken over */
void form_carry_open(struct form *form, const struct view *view);
bool form_carry_lines(struct form *form, const struct view *view);

/* form_limits.c: limits from the makers' papers */
void form_limits_open(struct form *form, const struct view *view);
bool form_limits_lines(struct form *form);

/* form_check.c: a check of the sensors */
void form_check_open(struct form *form, const struct view *view);
void form_check_follow(struct form *form, const struct view *view, int field);
bool form_check_lines(struct form *form);

#endif
