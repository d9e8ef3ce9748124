/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_page.h"

#include "base/problem.h"
#include "base/text.h"
#include "screen/display.h"
#include "screen/form_kind.h"

#include <stdio.h>
#include <string.h>

bool form_page_open(struct form_page *page, const struct view *view, enum form_kind kind)
{
    bool of_channels = form_kinds[kind]->fill_channel != NULL;
    form_open(&page->form, kind, view, of_channels ? page->of_channel : &page->draft[kind]);
    page->waits_for_answer = false;
    return page->form.count > 0;
}

void form_page_leave(struct form_page *page)
{
    form_put_by(&page->form);
    page->waits_for_answer = false;
}

bool form_page_has_line(const struct form_page *page)
{
    return !page->waits_for_answer && page->form.question[0] == '\0' &&
           page->form.line_sent < page->form.line_count;
}

bool form_page_take_line(struct form_page *page, char *line, size_t size)
{
    struct form *form = &page->form;
    bool sure = !form->is_export && strcmp(form->line[form->line_sent], form->asked) == 0;
    /* the lines of a form are one act */
    snprintf(line, size, "%s%s%s", form->line_sent > 0 ? "and " : "", form->line[form->line_sent],
             sure ? " sure=yes" : "");
    page->waits_for_answer = true;
    return form->is_export;
}

/* The field that a refusal names, from 1 on: what is wrong is told with its
 * name. Where none has, any may be wrong. */
static int named_in(const struct form *form, const char *sentence)
{
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        if (form_field_changed(field) && field->key[0] != '\0' &&
            (strstr(sentence, field->key) != NULL || strstr(sentence, field->label) != NULL)) {
            return i + 1;
        }
    }
    return FORM_REFUSED_WHOLE;
}

void form_page_answer(struct form_page *page, bool done, const char *sentence)
{
    struct form *form = &page->form;
    page->waits_for_answer = false;
    if (!done) {
        text_copy(form->problem, sizeof form->problem, sentence);
        form->refused = named_in(form, sentence);
    } else if (++form->line_sent < form->line_count) {
        return;
    } else {
        form_drop_draft(form);
        page->done = true;
    }
    form->line_count = form->line_sent = 0;
}

void form_page_ask(struct form_page *page, const char *question)
{
    struct form *form = &page->form;
    char sentence[sizeof form->problem];
    size_t used = 0;
    const char *how = strstr(question, PROBLEM_SURE); /* in a form it is said otherwise */
    text_copy(form->asked, sizeof form->asked, form->line[form->line_sent]);
    text_append(sentence, sizeof sentence, &used, "%.*s%s",
                how != NULL ? (int)(how - question) : (int)strlen(question), question,
                how != NULL ? " Enter again takes it" : "");
    form_page_answer(page, false, sentence);
}

void form_page_keep_key(struct form_page *page, uint32_t key)
{
    if (page->ahead_count < FORM_KEYS_AHEAD) {
        page->ahead[page->ahead_count++] = key;
    }
}

uint32_t form_page_kept_key(struct form_page *page)
{
    if (page->ahead_count == 0 || page->waits_for_answer) {
        return KEY_NOT_ANY;
    }
    uint32_t key = page->ahead[0];
    page->ahead_count--;
    memmove(page->ahead, page->ahead + 1, (size_t)page->ahead_count * sizeof key);
    return key;
}
