#include "screen/pages.h"

#include "rig/auxiliary.h"
#include "screen/wording.h"

#include <stdio.h>

/* What the pages have in common: the channels they show, and the two lines at the bottom. */

int page_body_channels(const struct view *view, int index[CHANNELS_MAX])
{
    int count = 0;
    for (int c = 0; c < view->channel_count && c < CHANNELS_MAX; c++) {
        if (view->channel[c].role == ROLE_BODY && auxiliary_of(view->channel[c].name) < 0) {
            index[count++] = c;
        }
    }
    return count;
}

void page_next(struct canvas *canvas, const struct view *view, int row)
{
    char field[sizeof view->next_step + WORDING_SIZE];
    enum key_place place = key_place_of(view);
    int columns = canvas->columns, at = 1;
    bool waits = place == AT_HOLD || place == AT_SETTLING || place == AT_PLATE ||
                 view->next == VIEW_NEXT_WAIT;
    int hints = canvas->columns >= 60 ? 30 : 14; /* at least this much is for the keys */
    const char *step = place == AT_TARGET ? "keep the target as it is known now" : view->next_step;
    if (step[0] != '\0' && !waits) {
        snprintf(field, sizeof field, " SPACE \u25B6 %s ", step);
        at += canvas_text(canvas, row, at, columns - at - hints, STYLE_NEXT, field) + 2;
    } else if (view->next_step[0] != '\0') {
        at += canvas_text(canvas, row, at, columns - at - hints, STYLE_PLAIN, view->next_step) + 2;
    }
    /* '? keys' and 'q end' always stay */
    int end = columns - 1;
    const char *always = "? keys  q end";
    int begin = canvas_right(canvas, row, end, end - at, STYLE_PLAIN, always);
    for (int i = 0; i < key_count; i++) {
        const struct key_entry *entry = &key_table[i];
        if (entry->hint == NULL || !(entry->places & (unsigned)place) ||
            entry->action == ACT_HELP || entry->action == ACT_QUIT) {
            continue;
        }
        int width = canvas_width(canvas, entry->name) + 1 + canvas_width(canvas, entry->hint) + 2;
        if (at + width > begin) {
            continue;
        }
        at += canvas_text(canvas, row, at, begin - at, STYLE_STRONG, entry->name);
        at += 1 + canvas_text(canvas, row, at + 1, begin - at - 1, STYLE_PLAIN, entry->hint) + 2;
    }
}

void page_message(struct canvas *canvas, const struct page_state *state, int row)
{
    char text[sizeof state->message + 8];
    int columns = canvas->columns;
    if (state->asks_to_end) {
        canvas_fill(canvas, row, 0, 1, columns, STYLE_WARNING, ' ');
        canvas_text(canvas, row, 1, columns - 2, STYLE_WARNING,
                    columns >= 70 ? "End the session and leave?  y: end it   any other key: go on"
                                  : "End the session?  y: end  else: go on");
        return;
    }
    if (state->message[0] == '\0') {
        return;
    }
    if (state->message_is_problem) {
        snprintf(text, sizeof text, " ! %s ", state->message);
        canvas_text(canvas, row, 0, columns, STYLE_WARNING, text);
    } else {
        canvas_text(canvas, row, 1, columns - 2, STYLE_PLAIN, state->message);
    }
}
