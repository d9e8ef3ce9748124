/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "next_step.h"

#include "measure/plan.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>

struct done {
    int holds;     /* free ones that count */
    int unsettled; /* the number of one of them that had not settled, 0 = none */
};

static struct done holds_of_build(const struct session *session, int build)
{
    struct done done = {0, 0};
    for (int h = 0; h < session->record.hold_count; h++) {
        const struct hold_record *hold = &session->record.hold[h];
        bool counts = hold->status != HOLD_RUNNING && !hold->rejected && !hold->kept_afterwards &&
                      !hold->guided && analysis_hold_is_long(session->analysis, h);
        if (hold->build == build && counts) {
            done.holds++;
            done.unsettled = session->analysis->hold[h].not_settled ? hold->number : done.unsettled;
        }
    }
    return done;
}

/* Setups ridden as planned (parts changed, ridden in, held, rated) that fit into what is left, with
 * room for one more where the first setup has to be returned to. */
static int setups_that_fit(double left_min, bool with_return)
{
    const struct plan_times times = plan_usual_times();
    double setup_min = plan_build_minutes(&times, true, PLAN_HOLDS_A_BUILD, true);
    return (int)fmax(0.0, floor(left_min / setup_min) - (with_return ? 1.0 : 0.0));
}

static void say_next(struct view *view, enum view_next next, const char *command, const char *words)
{
    view->next = next;
    snprintf(view->next_command, sizeof view->next_command, "%s", command);
    snprintf(view->next_step, sizeof view->next_step, "%s", words);
}

static void next_setup(const struct session *session, struct view *view)
{
    char words[160];
    const struct session_record *record = &session->record;
    int current = record->build[session->build].setup;
    bool back_at_first = current == 0 && record->build[session->build].ordinal > 1;
    double left_min = view->minutes_left;
    if (back_at_first) {
        say_next(view, VIEW_NEXT_WAIT, "", "compare, decide, export; or change the next part");
        return;
    }
    if (record->setup_count == 1) {
        say_next(view, VIEW_NEXT_SETUP, "", "change a part and enter it as the next setup");
        return;
    }
    /* Room is kept for the return to the first setup. */
    if (!isnan(left_min) && setups_that_fit(left_min, true) == 0) {
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

static void next_at_rest(const struct session *session, struct view *view)
{
    char words[160];
    if (session->build < 0 || holds_of_build(session, session->build).holds == 0) {
        if (session->target < 0) {
            say_next(view, VIEW_NEXT_COMMAND, "target", "ride in, then take the target");
            return;
        }
    }
    if (session->band < 0 && has_suggestion(session)) {
        say_next(view, VIEW_NEXT_COMMAND, "band suggested",
                 "take the band suggested (or set another)");
        return;
    }
    struct done done = holds_of_build(session, session->build);
    int wanted = PLAN_HOLDS_A_BUILD + (done.unsettled > 0 ? 1 : 0);
    if (done.holds < wanted) {
        if (done.holds < PLAN_HOLDS_A_BUILD) {
            snprintf(words, sizeof words, "free hold %d of %d on this build", done.holds + 1,
                     PLAN_HOLDS_A_BUILD);
        } else {
            snprintf(words, sizeof words, "hold %d had not settled: one more free hold",
                     done.unsettled);
        }
        say_next(view, VIEW_NEXT_COMMAND, "hold 60s free", words);
        return;
    }
    int setup = session->record.build[session->build].setup;
    if (!view->setup[setup].rated) {
        say_next(view, VIEW_NEXT_RATING, "", "rate this setup");
        return;
    }
    next_setup(session, view);
}

/* What still fits with room kept for the return to the first setup. */
static void fill_clock(const struct session *session, struct view *view)
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
    bool closed = session->build >= 0 && session->record.build[session->build].setup == 0 &&
                  session->record.build[session->build].ordinal > 1;
    bool returns = !closed && session->record.setup_count >= 2;
    int fits = setups_that_fit(left_min, returns);
    const char *then = returns ? ", then back to setup 1" : "";
    if (fits > 0) {
        snprintf(view->clock_words, sizeof view->clock_words, "%.0f min left: %d more setup%s%s",
                 left_min, fits, fits == 1 ? "" : "s", then);
    } else {
        snprintf(view->clock_words, sizeof view->clock_words,
                 "%.0f min left: no other setup fits%s", left_min,
                 then[0] != '\0' ? "; go back to setup 1" : "");
    }
}

void next_step_fill(const struct session *session, struct view *view)
{
    fill_clock(session, view);
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
        next_at_rest(session, view);
        break;
    case VIEW_ENDED:
        say_next(view, VIEW_NEXT_WAIT, "", "the session has ended");
        break;
    }
}
