/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_FORM_VALUE_H
#define HOLDLINE_SCREEN_FORM_VALUE_H

#include "screen/form.h"

/* What stands in a field: numbers as people type them, and whether a value is sound. */

/* The number typed; NAN when empty or none. Takes ',' as the decimal sign too, and the field's own
 * unit after it. */
double form_number(const struct form_field *field);
/* Bounds as a command line has them: without blanks and unit, a '.' as the decimal sign. */
void form_bounds_plain(char *text, size_t size, const struct form_field *field);
/* NULL when the value is sound, else why not, as a short phrase ('0 to 150 mm'). */
const char *form_field_trouble(const struct form_field *field, char *text, size_t size);
/* The same in a word, for the place beside the field ('0-150', 'in mm'). */
const char *form_field_trouble_short(const struct form_field *field, char *text, size_t size);

#endif
