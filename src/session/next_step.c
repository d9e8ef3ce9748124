/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "next_step.h"

#include "analysis/plan_of_hour.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>

static void say_next(struct view *view, enum view_next next, const char *command, const char *words)
{
    view->next = next;
    snprintf(view->next_command, sizeof view->next_command, "%s", command);
    snprintf(view->next_step, sizeof view->next_step, "%s", words);
}

static void next_setup(const struct session *session, const struct plan_of_hour *plan,
                       struct view *view)
{
    char words[160];
    const struct session_record *record = &session->record;
    if (plan->closed) {
        say_next(view, VIEW_NEXT_WAIT, "", "compare, decide, export; or change the next part");
        return;
    }
    if (record->setup_count == 1) {
        say_next(view, VIEW_NEXT_SETUP, "", "change a part and enter it as the next setup");
        return;
    }
    if (plan->return_due) {
        snprintf(words, sizeof words,
                 "back to setup %d: without it, setup and tiredness can't be told apart",
                 record->setup[0].number);
        char command[32];
        snprintf(command, sizeof command, "setup %d", record->setup[0].number);
        say_next(view, VIEW_NEXT_COMMAND, command, words);
        return;
    }
    snprintf(words, sizeof words, "the next setup, or back to setup %d to close the round",
             record->setup[0].number);
    say_next(view, VIEW_NEXT_SETUP, "", words);
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

static void next_at_rest(const struct session *session, const struct plan_of_hour *plan,
                         struct view *view)
{
    char words[160];
    if (plan->holds == 0 && session->target < 0) {
        say_next(view, VIEW_NEXT_COMMAND, "target", "ride in, then take the target");
        return;
    }
    if (session->band < 0 && has_suggestion(session)) {
        say_next(view, VIEW_NEXT_COMMAND, "band suggested",
                 "take the band suggested (or set another)");
        return;
    }
    if (plan->holds < plan->holds_wanted) {
        if (plan->holds < PLAN_HOLDS_A_BUILD) {
            snprintf(words, sizeof words, "free hold %d of %d on this build", plan->holds + 1,
                     PLAN_HOLDS_A_BUILD);
        } else {
            snprintf(words, sizeof words, "hold %d had not settled: one more free hold",
                     plan->unsettled);
        }
        char command[32];
        snprintf(command, sizeof command, "hold %gs free", HOLD_LENGTH_S);
        say_next(view, VIEW_NEXT_COMMAND, command, words);
        return;
    }
    int setup = session->record.build[session->build].setup;
    if (!is_rated(&session->record, setup)) {
        say_next(view, VIEW_NEXT_RATING, "", "rate this setup");
        return;
    }
    next_setup(session, plan, view);
}

/* What still fits. */
static void fill_clock(const struct plan_of_hour *plan, struct view *view)
{
    double left_min = view->minutes_left;
    view->clock_words[0] = '\0';
    if (isnan(left_min)) {
        return;
    }
    if (left_min < 0.0) {
        snprintf(view->clock_words, sizeof view->clock_words, "%.0f min over time",
                 ceil(-left_min));
        return;
    }
    if (plan->setups_fit > 0) {
        snprintf(view->clock_words, sizeof view->clock_words, "%.0f min left: %d more setup%s%s",
                 left_min, plan->setups_fit, plan->setups_fit == 1 ? "" : "s",
                 plan->keeps_room ? ", then back to setup 1" : "");
    } else {
        snprintf(view->clock_words, sizeof view->clock_words,
                 "%.0f min left: no other setup fits%s", left_min,
                 plan->keeps_room ? "; go back to setup 1" : "");
    }
}

void next_step_fill(const struct session *session, struct view *view)
{
    struct plan_of_hour plan;
    plan_of_hour_make(&session->record, session->analysis, session->build, view->minutes_left,
                      &plan);
    fill_clock(&plan, view);
    switch (view->phase) {
    case VIEW_WAITING:
        say_next(view, VIEW_NEXT_WAIT, "", "waiting for the sensors");
        break;
    case VIEW_SETTLING:
        say_next(view, VIEW_NEXT_COMMAND, "stop", "settle: no talking, eyes where they will be");
        break;
    case VIEW_HOLD:
        say_next(view, VIEW_NEXT_COMMAND, "stop", "holding");
        break;
    case VIEW_TARGET:
        say_next(view, VIEW_NEXT_COMMAND, "target keep",
                 "holding the posture that is to be the target");
        break;
    case VIEW_PLATE:
        say_next(view, VIEW_NEXT_COMMAND, "stop", "keep the plate still");
        break;
    case VIEW_CHECK:
        if (view->check.waits_for_go) {
            say_next(view, VIEW_NEXT_COMMAND, "check go", view->check.ask);
        } else {
            say_next(view, VIEW_NEXT_COMMAND, "stop", view->check.ask);
        }
        break;
    case VIEW_LIVE:
        next_at_rest(session, &plan, view);
        break;
    case VIEW_ENDED:
        say_next(view, VIEW_NEXT_WAIT, "", "the session has ended");
        break;
    }
}
