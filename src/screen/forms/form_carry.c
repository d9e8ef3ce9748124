/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_kind.h"

#include "base/text.h"
#include "screen/form_value.h"

#include <math.h>
#include <string.h>

/* An earlier session taken over: which, what would come, and then it. */

static const struct word_list carry_words = {0, 1, (const char *const[]){"target"}};
static const char *const carry_shown[] = {"target only"};
static const struct typed_number session_number = {"", "", 1, 999999};
static const struct form_row carry_rows[] = {
    {FIELD_WHOLE, "session", "session", .number = &session_number, .required = true},
    {FIELD_WHOLE, "on", "on the bike now, setup", FORM_TYPED(TYPED_SETUP)},
    {FIELD_CHOICE, "what", "take over", .none = "all of it", .list = &carry_words,
     .shown = carry_shown},
};

static void fill_carry(struct form *form, const struct view *view)
{
    const struct view_carry_offers *offers = view->offers;
    form_prefill_number(form_find(form, "session"),
                        offers->count > 0 ? (double)offers->session[0].id : (double)NAN);
    form_prefill(form_find(form, "what"), view->snapshot->record.setup_count > 0 ? "target" : "");
}

/* 'carry 12 on=2 target' */
static void put_line(struct form *form, char *line, size_t size)
{
    struct form_field *on = form_find(form, "on");
    size_t used = 0;
    text_append(line, size, &used, "carry %.0f", form_number(form_find(form, "session")));
    if (form_given(on)) {
        text_append(line, size, &used, " on=%.0f", form_number(on));
    }
    if (strcmp(form_find(form, "what")->value, "target") == 0) {
        text_append(line, size, &used, " target");
    }
}

static bool was_looked_at(struct form *form, const struct view *view)
{
    char line[COMMAND_TEXT_SIZE];
    put_line(form, line, sizeof line);
    return view->offers->looked_at[0] != '\0' && strcmp(line, view->offers->looked_at) == 0;
}

static bool carry_lines(struct form *form, const struct view *view)
{
    char *line = form->line[form->line_count];
    put_line(form, line, COMMAND_TEXT_SIZE);
    form->is_look = !was_looked_at(form, view);
    if (form->is_look) {
        size_t used = strlen(line);
        text_append(line, COMMAND_TEXT_SIZE, &used, " look");
    }
    form->line_count++;
    return true;
}

static void draw_sessions(struct canvas *canvas, const struct view *view, double chosen, int row,
                          int rows)
{
    const struct view_carry_offers *offers = view->offers;
    int width = canvas->columns - 2;
    if (offers->count == 0) {
        canvas_print(canvas, row, 1, width, STYLE_PLAIN,
                     "the store has no earlier session with a bike%s%s",
                     view->snapshot->record.rider.code[0] != '\0' ? " of " : "",
                     view->snapshot->record.rider.code);
        return;
    }
    for (int i = 0; i < offers->count && i < rows; i++) {
        const struct view_carry_session *session = &offers->session[i];
        bool is_chosen = (double)session->id == chosen;
        canvas_print(canvas, row + i, 1, width, is_chosen ? STYLE_STRONG : STYLE_PLAIN,
                     "%s %lld  %s  %s  %s, %d setup%s, %d hold%s", is_chosen ? "\u25B8" : " ",
                     (long long)session->id, session->date, session->rider_code, session->bike,
                     session->setups, session->setups == 1 ? "" : "s", session->holds,
                     session->holds == 1 ? "" : "s");
    }
}

static void draw_carry(struct canvas *canvas, struct form *form, const struct view *view, int row,
                       int rows)
{
    if (!was_looked_at(form, view)) {
        draw_sessions(canvas, view, form_number(form_find(form, "session")), row, rows);
        return;
    }
    for (const char *line = view->offers->sentences; *line != '\0' && rows > 0;) {
        char sentence[1024];
        size_t length = strcspn(line, "\n");
        text_copy(sentence, sizeof sentence, line);
        sentence[length < sizeof sentence ? length : sizeof sentence - 1] = '\0';
        int used = canvas_wrapped(canvas, row, 1, canvas->columns - 2, rows, STYLE_PLAIN, sentence);
        row += used;
        rows -= used;
        line += length + (line[length] == '\n' ? 1 : 0);
    }
}

const struct form_kind_row form_carry = {
    .title = "AN EARLIER SESSION TAKEN OVER",
    .explanation = "Enter shows what would come over and how well it is known; again takes it",
    FORM_ROWS(carry_rows),
    .fill = fill_carry,
    .lines = carry_lines,
    .draw_below = draw_carry,
};
