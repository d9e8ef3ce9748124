/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/scroll.h"

#include "screen/display.h"

#include <stdio.h>
#include <string.h>

int scroll_row(const struct scroll *scroll)
{
    int row = scroll->top + scroll->line - scroll->first;
    return row >= scroll->top && row < scroll->bottom ? row : -1;
}

void scroll_wrapped(struct scroll *scroll, int column, enum style style, const char *text)
{
    int width = scroll->canvas->columns - column - 1;
    const char *rest = text;
    while (*rest != '\0') {
        size_t fits = canvas_fitting(scroll->canvas, rest, width);
        char part[512];
        snprintf(part, sizeof part, "%.*s", (int)fits, rest);
        canvas_text(scroll->canvas, scroll_row(scroll), column, width, style, part);
        scroll->line++;
        rest += fits;
        rest += strspn(rest, " ");
    }
}

void scroll_heading(struct scroll *scroll, const char *text)
{
    canvas_text(scroll->canvas, scroll_row(scroll), 1, scroll->canvas->columns - 2, STYLE_STRONG,
                text);
    scroll->line++;
}

bool scroll_has_more(const struct scroll *scroll)
{
    return scroll->first + scroll->bottom - scroll->top < scroll->line;
}

int scroll_step(uint32_t key, int rows)
{
    return key == KEY_GO_DOWN                   ? 1
           : key == KEY_GO_UP                   ? -1
           : key == KEY_PAGE_DOWN || key == ' ' ? rows
           : key == KEY_PAGE_UP                 ? -rows
                                                : 0;
}

int scroll_moved(int first, int step, int lines, int rows)
{
    int last = lines - rows;
    first = first + step > last ? last : first + step;
    return first < 0 ? 0 : first;
}
