/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_path.h"

#include "screen/form.h"

#include <stdio.h>

int form_path_draw(struct canvas *canvas, const struct view *view, int row, int rows,
                   const char *words, const char *file)
{
    char text[FORM_VALUE_SIZE + sizeof view->folder + 32];
    bool whole = file[0] == '/' || view->folder[0] == '\0';
    if (file[0] == '\0' || rows <= 0) {
        return 0;
    }
    snprintf(text, sizeof text, "%s %s%s%s", words, whole ? "" : view->folder, whole ? "" : "/",
             file);
    return canvas_wrapped(canvas, row, 1, canvas->columns - 2, rows < 4 ? rows : 4, STYLE_PLAIN,
                          text);
}
