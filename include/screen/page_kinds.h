/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_PAGE_KINDS_H
#define HOLDLINE_SCREEN_PAGE_KINDS_H

#include "screen/form_page.h"
#include "screen/journal.h"
#include "screen/open_kinds.h"
#include "screen/page.h"

/* The pages that are open, one over the other, each kind once; and what they keep. */
struct page_stack {
    enum page_kind open[PAGE_KINDS];
    int count;
    int rows; /* of the screen, as drawn last */
    int first[PAGE_KINDS],
        lines[PAGE_KINDS]; /* line shown first, lines in all: of those that scroll */
    struct page_state state;
    struct journal_page journal;
    struct form_page form;
};

/* What became of a key. */
enum page_answer {
    PAGE_TOOK,
    PAGE_PASSES, /* it does what it does elsewhere */
    PAGE_SENDS,  /* a line of the form is to be sent */
};

/* A kind of page: one row of the table in page_kinds.c. What is NULL or 0 it does not have. */
struct page_kind_row {
    const char *title;
    void (*open)(struct page_stack *stack, const struct view *view);
    int (*draw)(struct page_stack *stack, struct page_frame *frame, const struct view *view);
    enum page_answer (*key)(struct page_stack *stack, const struct view *view, uint32_t key);
    /* scrolling */
    int fixed_rows;    /* that stay where they are; 0: it does not scroll */
    int kept_rows;     /* of one page that stand on the next one too, where there is room */
    bool space_turns;  /* as PageDown does */
    bool space_leaves; /* from the end on: a foot switch has no other way back */
};
extern const struct page_kind_row page_kinds[PAGE_KINDS];

enum page_kind page_top(const struct page_stack *stack);
/* Esc stops there what runs beside the session: on the first page, where
 * rides are read, and in the form that waits for it. */
bool page_stops_work(const struct page_stack *stack);
bool page_is_open(const struct page_stack *stack, enum page_kind kind);
/* Over the others; one that was open already comes up, as it is when it is opened. */
void page_open(struct page_stack *stack, const struct view *view, enum page_kind kind);
void page_close(struct page_stack *stack);
/* A form over the page that is open; said where there is nothing that it could be about. */
void page_open_form(struct page_stack *stack, const struct view *view, enum form_kind kind);

/* Said where one looks: a form has no line at the bottom but its own. */
void page_tell(struct page_stack *stack, const char *sentence);

void page_draw(struct page_stack *stack, struct page_frame *frame, const struct view *view);
enum page_answer page_key(struct page_stack *stack, const struct view *view, uint32_t key);
/* A form whose lines were all taken closes, or goes on to the next sensor. True: it was one. */
bool page_finish_form(struct page_stack *stack, const struct view *view);

#endif
