/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/paste.h"

#include "base/text.h"
#include "screen/display.h"
#include "screen/form_typing.h"

#include <string.h>

/* A terminal that never says where a paste ends: keys are keys again after so long without one. */
#define PASTE_ENDS_S 5.0
/* Its end where it came in parts, behind Esc. */
static const char end_in_parts[] = "[201~";

/* The form into which it goes; NULL: none that is typed in now. */
static struct form *form_typed_in(struct page_stack *pages)
{
    const struct page_state *state = &pages->state;
    struct form_page *page = &pages->form;
    bool typed_in = page_top(pages) == PAGE_FORM && !page->waits_for_answer &&
                    !state->asks_to_end && state->question[0] == '\0';
    return typed_in && page->form.field[page->form.focus].kind != FIELD_CHOICE ? &page->form : NULL;
}

/* One letter of it, behind a blank where a line ended before. */
static void put(struct page_stack *pages, struct form *form, const struct view *view, uint32_t key)
{
    struct page_paste *paste = &pages->state.paste;
    const char *value = form->field[form->focus].value;
    bool first = form->fresh || form->cursor == 0 || value[form->cursor - 1] == ' ';
    if (paste->blank && !first && key != ' ') {
        form_key(form, view, ' ');
    }
    paste->blank = false;
    size_t before = form->fresh ? 0 : strlen(value);
    form_key(form, view, key);
    paste->cut |= strlen(value) <= before;
}

static void end(struct page_stack *pages)
{
    struct page_paste *paste = &pages->state.paste;
    struct form *form = form_typed_in(pages);
    if (paste->lost) {
        page_say(&pages->state, false,
                 "what was pasted is not taken: it goes into a form's field, as of a note (o)");
    } else if (paste->cut && form != NULL) {
        text_copy(form->problem, sizeof form->problem,
                  "what was pasted is longer than the field: its end is missing");
    }
    paste->on = false;
}

static void take(struct page_stack *pages, const struct view *view, uint32_t key)
{
    struct page_paste *paste = &pages->state.paste;
    struct form *form = form_typed_in(pages);
    bool divides = key == KEY_ACCEPT || key == KEY_TAB;
    bool is_letter = key >= ' ' && key != KEY_ERASE && key < KEY_OTHER;
    if (key == KEY_ESCAPE || (paste->tail > 0 && key == (uint32_t)end_in_parts[paste->tail - 1])) {
        paste->tail = key == KEY_ESCAPE ? 1 : paste->tail + 1;
        if (paste->tail == sizeof end_in_parts) {
            end(pages);
        }
        return;
    }
    paste->tail = 0;
    if (form == NULL) {
        paste->lost |= is_letter;
    } else if (divides) {
        paste->blank = true;
    } else if (is_letter) {
        put(pages, form, view, key);
    }
}

bool paste_takes(struct page_stack *pages, const struct view *view, uint32_t key)
{
    struct page_paste *paste = &pages->state.paste;
    if (key == KEY_PASTE_BEGINS) {
        *paste = (struct page_paste){.on = true};
    } else if (key == KEY_PASTE_ENDS && paste->on) {
        end(pages);
    } else if (paste->on && view->session_s > paste->last_s + PASTE_ENDS_S) {
        paste->on = false;
    } else if (paste->on && key != KEY_SIZE) {
        take(pages, view, key);
        paste->last_s = view->session_s;
        return true;
    }
    paste->last_s = view->session_s;
    return key == KEY_PASTE_BEGINS || key == KEY_PASTE_ENDS;
}
