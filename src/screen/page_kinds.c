/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/page_kinds.h"

#include "base/text.h"
#include "screen/comparison.h"
#include "screen/display.h"
#include "screen/drag_page.h"
#include "screen/fitter.h"
#include "screen/form_draw.h"
#include "screen/form_kind.h"
#include "screen/form_typing.h"
#include "screen/help.h"
#include "screen/rider.h"
#include "screen/scroll.h"
#include "screen/sensors.h"

#include <stdio.h>

/* ---- what keys do on a page, beside scrolling ---- */

static bool is_own_key(const struct key_entry *entry, enum page_kind kind)
{
    return entry->action == ACT_BACK || (entry->action == ACT_PAGE && entry->page == kind);
}

/* Every key goes back. */
static enum page_answer keys_key(struct page_stack *stack, const struct view *view, uint32_t key)
{
    (void)view;
    (void)key;
    page_close(stack);
    return PAGE_TOOK;
}

/* Choosing is done with the page open; Esc, c, Space and Enter go back; every other key does what
 * it does elsewhere. */
static enum page_answer comparison_key(struct page_stack *stack, const struct view *view,
                                       uint32_t key)
{
    const struct key_entry *entry = key_find(key, AT_LIVE, NULL);
    (void)view;
    if (entry != NULL && (entry->keeps & KEEPS_COMPARISON) != 0) {
        return PAGE_PASSES;
    }
    page_close(stack);
    bool back = entry != NULL && (entry->action == ACT_NEXT || is_own_key(entry, PAGE_COMPARISON));
    return back || key >= KEY_OTHER ? PAGE_TOOK : PAGE_PASSES;
}

static enum page_answer form_page_key(struct page_stack *stack, const struct view *view,
                                      uint32_t key)
{
    struct form *form = &stack->form.form;
    if (key == KEY_ESCAPE && page_stops_work(stack) && page_tells_of_work(&stack->state, view)) {
        return PAGE_PASSES;
    }
    if (form_asks_for_keys(form, key)) {
        page_open(stack, view, PAGE_FORM_KEYS);
        return PAGE_TOOK;
    }
    switch (form_key(form, view, key)) {
    case FORM_LEFT:
        form_page_leave(&stack->form);
        page_close(stack);
        break;
    case FORM_MADE:
        if (form->question[0] != '\0') {
            page_ask(&stack->state, form->question, NULL);
            break;
        }
        return PAGE_SENDS;
    case FORM_STAYS:
        break;
    }
    return PAGE_TOOK;
}

/* The form of the check that is due; one that asks for nothing begins at once. */
static enum page_answer begin_check(struct page_stack *stack, const struct view *view,
                                    enum check_kind due)
{
    page_open_form(stack, view, FORM_CHECK);
    bool asks = due != CHECK_RIDER && due != CHECK_STILL;
    return asks ? PAGE_TOOK : form_page_key(stack, view, KEY_ACCEPT);
}

/* Space and Enter do the page's next step: go on with a check that waits, the check that is due, or
 * back; Esc and i go back. What is about the sensors is done with the page open, every other key
 * does what it does elsewhere. */
static enum page_answer sensors_key(struct page_stack *stack, const struct view *view, uint32_t key)
{
    struct sensors_due due;
    enum key_place place = key_place_of(view);
    const struct key_entry *entry = key_find(key, place, NULL);
    if (entry == NULL) {
        return key < KEY_OTHER ? PAGE_PASSES : PAGE_TOOK;
    }
    if (entry->action == ACT_NEXT && place != AT_LIVE) {
        return PAGE_PASSES;
    }
    if (entry->action == ACT_NEXT && sensors_check_due(view, &due)) {
        return begin_check(stack, view, due.kind);
    }
    if ((entry->keeps & KEEPS_SENSORS) != 0) {
        return PAGE_PASSES;
    }
    page_close(stack);
    return entry->action == ACT_NEXT || is_own_key(entry, PAGE_SENSORS) ? PAGE_TOOK : PAGE_PASSES;
}

/* Space and Enter do the page's next step, Tab goes on to the one after, u leaves a run out; what
 * runs is stopped by Esc, which then stays. What is about the runs is done with the page open,
 * every other key does what it does elsewhere. */
static enum page_answer drag_key(struct page_stack *stack, const struct view *view, uint32_t key)
{
    enum key_place place = key_place_of(view);
    const struct key_entry *entry = key_find(key, place, NULL);
    if (entry == NULL) {
        return key < KEY_OTHER ? PAGE_PASSES : PAGE_TOOK;
    }
    bool stops = entry->action == ACT_BACK && page_tells_of_work(&stack->state, view);
    if (stops || (entry->keeps & KEEPS_DRAG) != 0) {
        return PAGE_PASSES;
    }
    if (place == AT_LIVE && entry->action == ACT_NEXT) {
        page_open_form(stack, view, drag_page_due(view, stack->state.drag_step));
        stack->state.drag_step = 0;
        return PAGE_TOOK;
    }
    if (entry->action == ACT_SKIP) {
        stack->state.drag_step++;
        return PAGE_TOOK;
    }
    if (entry->action == ACT_FORM && entry->form == FORM_REJECT) {
        page_open_form(stack, view, FORM_RIDE_OUT);
        return PAGE_TOOK;
    }
    page_close(stack);
    return is_own_key(entry, PAGE_DRAG) ? PAGE_TOOK : PAGE_PASSES;
}

/* The form of the hold that is chosen in the journal. */
static void open_chosen_hold(struct page_stack *stack, const struct view *view)
{
    struct form *form = &stack->form.form;
    stack->form.draft[FORM_REJECT].has = false;
    page_open_form(stack, view, FORM_REJECT);
    form_prefill_number(form_find(form, "number"),
                        view->snapshot->event[stack->journal.chosen].hold);
    form->focus = 1; /* the reason */
    form->cursor = 0;
}

/* In the journal letters are looked for, so few keys do what they do elsewhere. */
static enum page_answer journal_page_key(struct page_stack *stack, const struct view *view,
                                         uint32_t key)
{
    page_say(&stack->state, false, "");
    switch (journal_key(&stack->journal, view, key)) {
    case JOURNAL_LEFT:
        page_close(stack);
        break;
    case JOURNAL_HOLD:
        open_chosen_hold(stack, view);
        break;
    case JOURNAL_OTHER:
        return PAGE_PASSES;
    case JOURNAL_STAYS:
        break;
    }
    return PAGE_TOOK;
}

/* ---- how they are drawn, and opened: what each has of the stack ---- */

static int draw_fitter(struct page_stack *stack, struct page_frame *frame, const struct view *view)
{
    fitter_draw(frame->canvas, &stack->state, view);
    return 0;
}

static int draw_rider(struct page_stack *stack, struct page_frame *frame, const struct view *view)
{
    rider_draw(frame->canvas, &stack->state, view);
    return 0;
}

static int draw_comparison(struct page_stack *stack, struct page_frame *frame,
                           const struct view *view)
{
    return comparison_draw(frame, &stack->state, view);
}

static int draw_sensors(struct page_stack *stack, struct page_frame *frame, const struct view *view)
{
    return sensors_draw(frame, &stack->state, view);
}

static int draw_drag(struct page_stack *stack, struct page_frame *frame, const struct view *view)
{
    return drag_page_draw(frame, &stack->state, view);
}

static void open_journal(struct page_stack *stack, const struct view *view)
{
    journal_open(&stack->journal, view);
}

static int draw_journal(struct page_stack *stack, struct page_frame *frame, const struct view *view)
{
    journal_draw(frame, &stack->state, &stack->journal, view);
    return 0;
}

static int draw_form(struct page_stack *stack, struct page_frame *frame, const struct view *view)
{
    struct canvas *canvas = frame->canvas;
    form_draw(canvas, &stack->form.form, view, &frame->cursor_row, &frame->cursor_column);
    if (page_stops_work(stack) && page_tells_of_work(&stack->state, view)) {
        canvas_fill(canvas, canvas->rows - 1, 0, 1, canvas->columns, STYLE_PLAIN, ' ');
        page_message(canvas, &stack->state, view, canvas->rows - 1);
    }
    return 0;
}

static int draw_keys(struct page_stack *stack, struct page_frame *frame, const struct view *view)
{
    (void)stack;
    return help_draw(frame, view);
}

static int draw_form_keys(struct page_stack *stack, struct page_frame *frame,
                          const struct view *view)
{
    (void)stack;
    (void)view;
    return help_draw_form(frame);
}

const struct page_kind_row page_kinds[PAGE_KINDS] = {
    [PAGE_FITTER] = {.draw = draw_fitter},
    [PAGE_RIDER] = {.draw = draw_rider},
    [PAGE_COMPARISON] = {.title = "COMPARISON",
                         .draw = draw_comparison,
                         .key = comparison_key,
                         .fixed_rows = 2,
                         .kept_rows = COMPARISON_PICTURE_ROWS,
                         .space_turns = true,
                         .space_leaves = true},
    [PAGE_SENSORS] = {.title = "SENSORS",
                      .draw = draw_sensors,
                      .key = sensors_key,
                      .fixed_rows = 3},
    [PAGE_DRAG] = {.title = "DRAG", .draw = draw_drag, .key = drag_key, .fixed_rows = 3},
    [PAGE_JOURNAL] = {.title = "JOURNAL",
                      .open = open_journal,
                      .draw = draw_journal,
                      .key = journal_page_key},
    [PAGE_FORM] = {.draw = draw_form, .key = form_page_key},
    [PAGE_KEYS] = {.title = "KEYS THAT WORK HERE",
                   .draw = draw_keys,
                   .key = keys_key,
                   .fixed_rows = 2,
                   .space_turns = true},
    [PAGE_FORM_KEYS] = {.title = "KEYS IN A FORM",
                        .draw = draw_form_keys,
                        .key = keys_key,
                        .fixed_rows = 2,
                        .space_turns = true},
};

/* ---- the stack ---- */

enum page_kind page_top(const struct page_stack *stack)
{
    return stack->open[stack->count - 1];
}

bool page_stops_work(const struct page_stack *stack)
{
    enum page_kind top = page_top(stack);
    return stack->count == 1 || top == PAGE_DRAG ||
           (top == PAGE_FORM && stack->form.waits_for_answer);
}

bool page_is_open(const struct page_stack *stack, enum page_kind kind)
{
    for (int i = 0; i < stack->count; i++) {
        if (stack->open[i] == kind) {
            return true;
        }
    }
    return false;
}

static void take_out(struct page_stack *stack, enum page_kind kind)
{
    int left = 0;
    for (int i = 0; i < stack->count; i++) {
        if (stack->open[i] != kind) {
            stack->open[left++] = stack->open[i];
        }
    }
    stack->count = left;
}

void page_open(struct page_stack *stack, const struct view *view, enum page_kind kind)
{
    take_out(stack, kind);
    stack->open[stack->count++] = kind;
    stack->first[kind] = 0;
    if (page_kinds[kind].open != NULL) {
        page_kinds[kind].open(stack, view);
    }
}

void page_close(struct page_stack *stack)
{
    stack->count -= stack->count > 1 ? 1 : 0;
}

void page_open_form(struct page_stack *stack, const struct view *view, enum form_kind kind)
{
    if (form_page_open(&stack->form, view, kind)) {
        page_open(stack, view, PAGE_FORM);
    } else {
        page_say(&stack->state, true, "there are no sensors yet that this could be said of");
    }
}

bool page_finish_form(struct page_stack *stack, const struct view *view)
{
    if (!stack->form.done) {
        return false;
    }
    stack->form.done = false;
    if (!form_advance(&stack->form.form, view)) {
        take_out(stack, PAGE_FORM);
    }
    if (stack->form.form.kind == FORM_CHECK) {
        page_open(stack, view, PAGE_SENSORS);
    }
    return true;
}

void page_tell(struct page_stack *stack, const char *sentence)
{
    struct form *form = &stack->form.form;
    if (page_top(stack) == PAGE_FORM) {
        text_copy(form->problem, sizeof form->problem, sentence);
    } else {
        page_say(&stack->state, false, sentence);
    }
}

void page_draw(struct page_stack *stack, struct page_frame *frame, const struct view *view)
{
    enum page_kind top = page_top(stack);
    const struct page_kind_row *kind = &page_kinds[top];
    if (kind->title != NULL) {
        frame->title_end = 1 + canvas_text(frame->canvas, 0, 1, frame->canvas->columns - 2,
                                           STYLE_STRONG, kind->title);
    }
    frame->first = stack->first[top];
    stack->lines[top] = kind->draw(stack, frame, view);
    stack->rows = frame->canvas->rows;
}

/* The arrows move, and where the page has it so Space. */
static bool scrolled(struct page_stack *stack, enum page_kind top, uint32_t key)
{
    const struct page_kind_row *kind = &page_kinds[top];
    int rows = stack->rows - kind->fixed_rows;
    int turn = rows > 2 * kind->kept_rows ? rows - kind->kept_rows : rows / 2;
    int step = scroll_step(key, turn);
    bool at_end = stack->first[top] + rows >= stack->lines[top];
    if (step == 0 || (key == ' ' && (!kind->space_turns || (kind->space_leaves && at_end)))) {
        return false;
    }
    stack->first[top] = scroll_moved(stack->first[top], step, stack->lines[top], rows);
    return true;
}

enum page_answer page_key(struct page_stack *stack, const struct view *view, uint32_t key)
{
    enum page_kind top = page_top(stack);
    const struct page_kind_row *kind = &page_kinds[top];
    if (kind->fixed_rows > 0 && scrolled(stack, top, key)) {
        return PAGE_TOOK;
    }
    return kind->key != NULL ? kind->key(stack, view, key) : PAGE_PASSES;
}
