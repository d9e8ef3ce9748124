/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "next_step.h"

#include "analysis/plan_of_hour.h"
#include "analysis/slip.h"
#include "base/text.h"
#include "say/next.h"

#include <stdio.h>

struct next {
    enum next_step step;
    int a, b; /* its numbers (say/next.h) */
    enum view_next form;
    char command[32];
};

static struct next by_form(enum next_step step, enum view_next form, int a)
{
    return (struct next){.step = step, .a = a, .form = form};
}

static struct next by_command(enum next_step step, const char *command)
{
    struct next next = {.step = step, .form = VIEW_NEXT_COMMAND};
    snprintf(next.command, sizeof next.command, "%s", command);
    return next;
}

static struct next next_setup(const struct session_record *record, const struct plan_of_hour *plan)
{
    int first = record->setup[0].number;
    if (plan->closed) {
        return by_form(NEXT_ROUND_CLOSED, VIEW_NEXT_WAIT, 0);
    }
    if (record->setup_count == 1) {
        return by_form(NEXT_FIRST_CHANGE, VIEW_NEXT_SETUP, 0);
    }
    if (plan->return_due) {
        struct next next = {.step = NEXT_RETURN, .a = first, .form = VIEW_NEXT_COMMAND};
        snprintf(next.command, sizeof next.command, "setup %d", first);
        return next;
    }
    return by_form(NEXT_SETUP, VIEW_NEXT_SETUP, first);
}

static bool has_suggestion(const struct session *session)
{
    for (int c = 0; c < CHANNELS_MAX; c++) {
        for (int i = 0; i < session->proposal_count[c]; i++) {
            if (session->proposal[c][i].suggested) {
                return true;
            }
        }
    }
    return false;
}

static bool is_rated(const struct session_record *record, int setup)
{
    for (int r = 0; r < record->rating_count; r++) {
        if (record->rating[r].setup == setup) {
            return true;
        }
    }
    return false;
}

static struct next next_at_rest(const struct session *session, const struct plan_of_hour *plan)
{
    if (session->build >= 0 &&
        analysis_moved_unanswered(&session->record, session->analysis, session->build)) {
        return by_form(NEXT_MOVED, VIEW_NEXT_MOVED, 0);
    }
    if (slip_unanswered(&session->record, session->analysis) >= 0) {
        return by_form(NEXT_SLIPPED, VIEW_NEXT_SLIPPED, 0);
    }
    for (int c = 0; c < session->analysis->channel_count; c++) {
        if (session->analysis->step_open[c] > 0) {
            return by_form(NEXT_STEPPED, VIEW_NEXT_WAIT, session->analysis->step_open[c]);
        }
    }
    if (plan->holds == 0 && session->target < 0) {
        return by_command(NEXT_TARGET, "target");
    }
    if (session->band < 0 && has_suggestion(session)) {
        return by_command(NEXT_BAND, "band suggested");
    }
    if (plan->holds < plan->holds_wanted) {
        struct next next = {.step = NEXT_HOLD_AGAIN, .a = plan->unsettled};
        if (plan->holds < plan->asked.each.holds) {
            next =
                (struct next){.step = NEXT_HOLD, .a = plan->holds + 1, .b = plan->asked.each.holds};
        }
        next.form = VIEW_NEXT_COMMAND;
        snprintf(next.command, sizeof next.command, "hold %gs free", plan->asked.each.hold_s);
        return next;
    }
    int setup = session->record.build[session->build].setup;
    if (!is_rated(&session->record, setup)) {
        return by_form(NEXT_RATING, VIEW_NEXT_RATING, 0);
    }
    return next_setup(&session->record, plan);
}

/* As far as the view shows it: is each channel's level known, or seen not to have settled? */
static bool can_be_kept(const struct session *session, const struct view *view)
{
    bool any = false, known = true;
    for (int c = 0; c < view->channel_count; c++) {
        if (session->analysis->body[c]) {
            any = true;
            known = known && session->progress_second >= 0 &&
                    (session->progress[c].has_interval || session->progress[c].not_settled);
        }
    }
    return any && known;
}

static struct next next_of(const struct session *session, const struct view *view,
                           const struct plan_of_hour *plan)
{
    switch (view->phase) {
    case VIEW_WAITING:
        break;
    case VIEW_SETTLING:
        return by_command(NEXT_SETTLE, "stop");
    case VIEW_HOLD:
        return by_command(NEXT_HOLDING, "stop");
    case VIEW_TARGET:
        return can_be_kept(session, view) ? by_command(NEXT_HOLDING_TARGET, "target keep")
                                          : by_form(NEXT_HOLDING_TARGET, VIEW_NEXT_WAIT, 0);
    case VIEW_PLATE:
        return by_command(NEXT_PLATE, "stop");
    case VIEW_CHECK: /* it asks for itself */
        return by_command(NEXT_STEPS, view->check.waits_for_go ? "check go" : "stop");
    case VIEW_LIVE:
        return next_at_rest(session, plan);
    case VIEW_ENDED:
        return by_form(NEXT_SESSION_ENDED, VIEW_NEXT_WAIT, 0);
    }
    return by_form(NEXT_SENSORS, VIEW_NEXT_WAIT, 0);
}

void next_step_fill(const struct session *session, struct view *view)
{
    struct plan_of_hour plan;
    plan_of_hour_make(&session->record, session->analysis, session->build, view->minutes_left,
                      &session->hour, &plan);
    say_session_clock(view->clock_words, sizeof view->clock_words, view->minutes_left, &plan);
    struct next next = next_of(session, view, &plan);
    view->next = next.form;
    text_copy(view->next_command, sizeof view->next_command, next.command);
    if (next.step == NEXT_STEPS) {
        text_copy(view->next_step, sizeof view->next_step, view->check.ask);
    } else {
        say_next_step(view->next_step, sizeof view->next_step, next.step, next.a, next.b,
                      session->hour.each.hold_s);
    }
    if (next.step == NEXT_HOLD && next.a == 1) {
        say_hour_why(view->next_step, sizeof view->next_step, &session->hour);
    }
}
