/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_FORM_PATH_H
#define HOLDLINE_SCREEN_FORM_PATH_H

#include "screen/canvas.h"
#include "session/view.h"

/* Below a form that names a file: where it is, whole ('goes to', 'is read from'), for nobody
 * remembers the folder of a terminal. Gives the rows used. */
int form_path_draw(struct canvas *canvas, const struct view *view, int row, int rows,
                   const char *words, const char *file);

#endif
