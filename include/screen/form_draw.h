/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_FORM_DRAW_H
#define HOLDLINE_SCREEN_FORM_DRAW_H

#include "screen/canvas.h"
#include "screen/form.h"

void form_draw(struct canvas *canvas, struct form *form, const struct view *view, int *cursor_row,
               int *cursor_column);

#endif
