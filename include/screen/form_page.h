/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_FORM_PAGE_H
#define HOLDLINE_SCREEN_FORM_PAGE_H

#include "screen/form.h"

/* The form that is open, and the way of its lines: one after the other, each waits for its answer.
 * What is typed meanwhile is kept; what was left half typed is there the next time. */
#define FORM_KEYS_AHEAD 64
struct form_page {
    struct form form;
    struct form_draft draft[FORMS], of_channel[CHANNELS_MAX];
    bool done;             /* all taken: closes, or goes to the next sensor */
    bool waits_for_answer; /* a line is on its way */
    uint32_t ahead[FORM_KEYS_AHEAD];
    int ahead_count;
};

/* False where it would have no field. */
bool form_page_open(struct form_page *page, const struct view *view, enum form_kind kind);
void form_page_leave(struct form_page *page);

/* A line is to be sent: the first of a form just made, or the next after an answer. */
bool form_page_has_line(const struct form_page *page);
/* Takes it; true where it is a file's name, to export to. A line that was asked about, and is the
 * same again, says sure=yes. */
bool form_page_take_line(struct form_page *page, char *line, size_t size);
/* The answer to the line. The form stays until all its lines were taken; what was typed then counts
 * as taken too. */
void form_page_answer(struct form_page *page, bool done, const char *sentence);
/* The line was not taken, but asked about: Enter with the same again takes it. */
void form_page_ask(struct form_page *page, const char *question);

/* A key that must wait for the answer; and the first of those that waited (KEY_NOT_ANY: none). */
void form_page_keep_key(struct form_page *page, uint32_t key);
uint32_t form_page_kept_key(struct form_page *page);

#endif
