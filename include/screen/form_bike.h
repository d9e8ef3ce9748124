/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_FORM_BIKE_H
#define HOLDLINE_SCREEN_FORM_BIKE_H

#include "screen/form.h"

/* What follows from the parts of a bike as they are typed. */

/* The setup of that number, or NULL. */
const struct setup_record *form_setup_numbered(const struct view *view, double number);
/* The bike as the form has it typed; false where a value is not sound, or it is no form of one. */
bool form_bike_typed(struct form *form, const struct view *view, struct bike_values *bike);
/* What a changed setup moves, in mm, how well the sensors' heights are then known from the parts,
 * and which need a plate reading; "" where nothing can be said. */
void form_moves_text(char *text, size_t size, struct form *form, const struct view *view);
/* The value in a field passes a limit from the makers' papers: 'max 30'. */
bool form_limit_passed(const struct form_field *field, const struct view *view, char *text,
                       size_t size);
/* All limits that the bike passes as it is typed; "" where it passes none. */
void form_limits_text(char *text, size_t size, struct form *form, const struct view *view);

#endif
