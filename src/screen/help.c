#include "screen/pages.h"

#include <stdio.h>

/* The keys that work here, then the others, from the one table. */

static int draw_entries(struct canvas *canvas, enum key_place place, bool here, int line, int first,
                        int rows)
{
    for (int i = 0; i < key_count; i++) {
        const struct key_entry *entry = &key_table[i];
        bool works = (entry->places & (unsigned)place) != 0;
        if (entry->words == NULL || works != here) {
            continue;
        }
        if (line >= first && line - first < rows) {
            int row = 1 + line - first;
            canvas_text(canvas, row, 2, 7, here ? STYLE_STRONG : STYLE_FAINT, entry->name);
            canvas_text(canvas, row, 10, canvas->columns - 11, here ? STYLE_PLAIN : STYLE_FAINT,
                        entry->words);
        }
        line++;
    }
    return line;
}

int help_draw(struct canvas *canvas, const struct view *view, int first)
{
    enum key_place place = key_place_of(view);
    int rows = canvas->rows - 2;
    canvas_text(canvas, 0, 1, canvas->columns - 2, STYLE_STRONG, "KEYS THAT WORK HERE");
    int line = draw_entries(canvas, place, true, 0, first, rows);
    line++;
    if (line >= first && line - first < rows) {
        canvas_text(canvas, 1 + line - first, 1, canvas->columns - 2, STYLE_STRONG,
                    place == AT_LIVE ? "DURING A HOLD" : "AT REST");
    }
    line = draw_entries(canvas, place, false, line + 1, first, rows);
    canvas_text(canvas, canvas->rows - 1, 1, canvas->columns - 2, STYLE_PLAIN,
                line - first > rows ? "Esc back   arrows: more below" : "Esc back");
    return line;
}
