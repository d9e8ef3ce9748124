/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_JOURNAL_H
#define HOLDLINE_SCREEN_JOURNAL_H

#include "screen/page.h"

/* The session's history on a page of its own: everything that has happened, oldest first, one row
 * chosen. What is typed is looked for; the arrows then go from one that has it to the next. */
#define JOURNAL_SEARCH_SIZE 96
struct journal_page {
    int chosen;      /* event in the view */
    int first;       /* line shown first */
    int shown;       /* events that stood on the screen last */
    bool more_below; /* lines follow the last one shown */
    char search[JOURNAL_SEARCH_SIZE];
};

/* The newest is chosen, nothing looked for. */
void journal_open(struct journal_page *page, const struct view *view);
void journal_draw(struct page_frame *frame, const struct page_state *state,
                  struct journal_page *page, const struct view *view);

enum journal_result {
    JOURNAL_STAYS,
    JOURNAL_LEFT,
    JOURNAL_HOLD,  /* leave the hold out that the chosen event is about, or take it in again */
    JOURNAL_OTHER, /* the key does what it does elsewhere */
};
enum journal_result journal_key(struct journal_page *page, const struct view *view, uint32_t key);

#endif
