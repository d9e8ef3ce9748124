/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_FORM_SKETCH_H
#define HOLDLINE_SCREEN_FORM_SKETCH_H

#include "screen/canvas.h"
#include "screen/form.h"

/* Beside the fields of a bike, and of a sensor's place: the bike from its right side, to scale, as
 * far as it is typed; what is not known yet is drawn as it usually is. The measure under the cursor
 * is shown from where to where, and said in words. */

#define FORM_SKETCH_COLUMNS 34 /* least width that there is a point in */

void form_sketch_draw(struct canvas *canvas, const struct form *form, const struct view *view,
                      int row, int column, int rows, int columns);

#endif
