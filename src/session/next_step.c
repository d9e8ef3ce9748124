/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "next_step.h"
#include "next_inside.h"
#include "next_practice.h"
#include "resit.h"

#include "analysis/far_level.h"
#include "analysis/plan_of_hour.h"
#include "analysis/plate_ends.h"
#include "analysis/slip.h"
#include "base/text.h"
#include "say/next.h"

#include <math.h>
#include <stdio.h>

/* What comes next, from the door to the door: who and what, then setups and holds, the way back to
 * the first, what it came to, and that on the bike. Each step can be passed over. */

static struct next by_setup(enum next_step step, int number)
{
    struct next next = {.step = step, .a = number, .form = VIEW_NEXT_COMMAND};
    snprintf(next.command, sizeof next.command, "setup %d", number);
    return next;
}

static struct next a_hold(const struct session *session, enum next_step step, int a, int b)
{
    struct next next = {.step = step, .a = a, .b = b, .form = VIEW_NEXT_COMMAND};
    snprintf(next.command, sizeof next.command, "hold %gs free",
             session->settings.hour.each.hold_s);
    return next;
}

void next_step_pass(struct session *session, enum next_step step)
{
    session->settings.passed[step] = next_scope_of(session, step);
}

/* ---- before the first target or hold ---- */

static bool place_lacks(const struct session *session)
{
    const struct placing_record *placing = machine_placing(session);
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        if (placing->channel[c].role == ROLE_BODY && !placing->channel[c].mounted) {
            return true;
        }
    }
    return false;
}

static bool place_was_carried(const struct session *session, int channel)
{
    const struct placing_record *placing = machine_placing(session);
    return session->settings.place_carried[channel] && placing != NULL &&
           channel < placing->channel_count && placing->channel[channel].role == ROLE_BODY &&
           placing->channel[channel].mounted;
}

static bool any_place_was_carried(const struct session *session)
{
    bool any = false;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        any = any || place_was_carried(session, c);
    }
    return any;
}

/* A target that is known to so much was brought along from an earlier session. */
static bool any_target_of_today(const struct session_record *record)
{
    for (int t = 0; t < record->target_count; t++) {
        bool brought = false;
        for (int c = 0; c < CHANNELS_MAX; c++) {
            brought = brought || isfinite(record->target[t].entered_half_width_mm[c]);
        }
        if (!brought) {
            return true;
        }
    }
    return false;
}

static bool rider_was_tested(const struct session *session)
{
    const struct session_record *record = &session->record;
    for (int i = 0; i < record->check_count; i++) {
        if (record->check[i].kind == CHECK_RIDER && record->check[i].placing == session->placing) {
            return true;
        }
    }
    return false;
}

/* Who rides what, and the sensors: while nothing was ridden. False: all is there. */
static bool next_at_door(const struct session *session, const struct view *view, struct next *next)
{
    const struct session_record *record = &session->record;
    bool rides = view->phase == VIEW_LIVE;
    if (any_target_of_today(record) || record->hold_count > 0) {
        return false;
    }
    if (!record->has_rider && !next_passed(session, NEXT_RIDER)) {
        *next = next_by_form(NEXT_RIDER, VIEW_NEXT_RIDER, 0);
    } else if (isnan(session->settings.minutes_planned) && !next_passed(session, NEXT_MINUTES)) {
        *next = next_by_form(NEXT_MINUTES, VIEW_NEXT_MINUTES, 0);
    } else if (!record->has_bike && !next_passed(session, NEXT_BIKE)) {
        *next = next_by_form(NEXT_BIKE, VIEW_NEXT_BIKE, 0);
    } else if (rides && place_lacks(session) && !next_passed(session, NEXT_PLACES)) {
        *next = next_by_form(NEXT_PLACES, VIEW_NEXT_PLACES, 0);
    } else if (rides && any_place_was_carried(session) && !next_passed(session, NEXT_PLACES)) {
        *next = next_by_form(NEXT_PLACES_CARRIED, VIEW_NEXT_PLACES, 0);
    } else if (rides && !rider_was_tested(session) && !next_passed(session, NEXT_CHECKS)) {
        *next = next_by_form(NEXT_CHECKS, VIEW_NEXT_CHECKS, 0);
    } else if (rides && !next_passed(session, NEXT_WARM_UP)) {
        *next = next_by_command(NEXT_WARM_UP, "pass warm_up");
    } else {
        return false;
    }
    return true;
}

/* ---- setups and holds ---- */

static bool is_rated(const struct session_record *record, int setup)
{
    for (int r = 0; r < record->rating_count; r++) {
        if (record->rating[r].setup == setup) {
            return true;
        }
    }
    return false;
}

/* False: this build is done with. */
static bool next_on_build(const struct session *session, const struct plan_of_hour *plan,
                          struct next *next)
{
    if (plan->holds == 0 && session->target < 0 && !next_passed(session, NEXT_TARGET)) {
        *next = next_by_command(NEXT_TARGET, "target");
    } else if (session->band < 0 && next_has_band_suggested(session) &&
               !next_passed(session, NEXT_BAND)) {
        *next = next_by_command(NEXT_BAND, "band suggested");
    } else if (plan->holds < plan->holds_wanted && !next_passed(session, NEXT_HOLD)) {
        *next = plan->holds < plan->asked.each.holds
                    ? a_hold(session, NEXT_HOLD, plan->holds + 1, plan->asked.each.holds)
                    : a_hold(session, NEXT_HOLD_AGAIN, plan->unsettled, 0);
    } else if (session->build >= 0 &&
               !is_rated(&session->record, session->record.build[session->build].setup) &&
               !next_passed(session, NEXT_RATING)) {
        *next = next_by_form(NEXT_RATING, VIEW_NEXT_RATING, 0);
    } else if (plate_ends_open(&session->record, session->build) >= 0 &&
               !next_passed(session, NEXT_PLATE_AGAIN)) {
        int before = plate_ends_open(&session->record, session->build);
        *next = next_same_plate(NEXT_PLATE_AGAIN, &session->record.tie_reading[before]);
    } else {
        return false;
    }
    return true;
}

/* The setup that all are compared against has no free hold, but the one on the bike does: without
 * it nothing can be compared, as after an earlier session was taken over. 0: it is not so. */
static int to_compare_with(const struct session *session, const struct plan_of_hour *plan)
{
    const struct session_record *record = &session->record;
    int baseline = session_record_setup(record, record->settings.baseline_setup);
    bool held = baseline < 0 || plan->holds == 0 || session->analysis->free_holds[baseline] > 0;
    return held ? 0 : record->settings.baseline_setup;
}

/* False: the round is over, or was called so. */
static bool next_setup(const struct session *session, const struct plan_of_hour *plan,
                       struct next *next)
{
    const struct session_record *record = &session->record;
    if (plan->closed || record->setup_count == 0) {
        return false;
    }
    int first = record->setup[0].number;
    if (record->setup_count == 1) {
        *next = next_by_form(NEXT_FIRST_CHANGE, VIEW_NEXT_SETUP, 0);
        return !next_passed(session, NEXT_FIRST_CHANGE);
    }
    if (to_compare_with(session, plan) > 0 && !next_passed(session, NEXT_SETUP)) {
        *next = by_setup(NEXT_COMPARED_WITH, to_compare_with(session, plan));
        return true;
    }
    if (!plan->return_due && !next_passed(session, NEXT_SETUP)) {
        *next = next_by_form(NEXT_SETUP, VIEW_NEXT_SETUP, first);
        return true;
    }
    *next = by_setup(NEXT_RETURN, first);
    return !next_passed(session, NEXT_RETURN);
}

/* ---- what it came to ---- */

static int setup_on_bike(const struct session *session)
{
    const struct session_record *record = &session->record;
    return session->build >= 0 ? record->setup[record->build[session->build].setup].number : 0;
}

/* A hold of this setup that was begun since it was chosen. */
static bool was_held(const struct session *session, int setup)
{
    const struct session_record *record = &session->record;
    for (int h = session->settings.chosen.holds; h < record->hold_count; h++) {
        const struct hold_record *hold = &record->hold[h];
        if (record->setup[record->build[hold->build].setup].number == setup &&
            hold->status == HOLD_COMPLETE && !hold->rejected) {
            return true;
        }
    }
    return false;
}

static struct next next_with_choice(const struct session *session)
{
    const struct session_record *record = &session->record;
    int chosen = record->settings.chosen_setup;
    bool own_target = record->target_count > session->settings.chosen.targets;
    bool own_band = record->band_count > session->settings.chosen.bands;
    if (setup_on_bike(session) != chosen && !next_passed(session, NEXT_PUT_ON)) {
        return by_setup(NEXT_PUT_ON, chosen);
    }
    if (setup_on_bike(session) == chosen) {
        if (!was_held(session, chosen) && !next_passed(session, NEXT_CHECK_HOLD)) {
            return a_hold(session, NEXT_CHECK_HOLD, chosen, 0);
        }
        if (!own_target && !next_passed(session, NEXT_OWN_TARGET)) {
            struct next next = next_by_command(NEXT_OWN_TARGET, "target");
            next.a = chosen;
            return next;
        }
        if (own_target && !own_band && next_has_band_suggested(session) &&
            !next_passed(session, NEXT_OWN_BAND)) {
            return next_by_command(NEXT_OWN_BAND, "band suggested");
        }
    }
    return !next_passed(session, NEXT_SHEET) ? next_by_form(NEXT_SHEET, VIEW_NEXT_SHEET, 0)
                                             : next_by_form(NEXT_END, VIEW_NEXT_END, 0);
}

/* What was chosen leads, but for one who goes on trying others after it. */
static bool choice_leads(const struct session *session, const struct plan_of_hour *plan)
{
    int chosen = session->record.settings.chosen_setup;
    return chosen > 0 && (session->record.build_count == session->settings.chosen.builds ||
                          plan->closed || setup_on_bike(session) == chosen);
}

/* The latest free hold, where it is of this build and its level hardly the rider's: its number; 0:
 * it is not. */
static int far_hold(const struct session *session)
{
    const struct session_record *record = &session->record;
    struct far_level far;
    int hold = record->hold_count - 1;
    while (hold >= 0 && (record->hold[hold].guided || record->hold[hold].rejected)) {
        hold--;
    }
    bool here = hold >= 0 && record->hold[hold].build == session->build;
    for (int c = 0; here && c < session->analysis->channel_count; c++) {
        if (far_level_of(record, session->analysis, hold, c, &far)) {
            return record->hold[hold].number;
        }
    }
    return 0;
}

static struct next next_at_rest(const struct session *session, const struct view *view,
                                const struct plan_of_hour *plan)
{
    struct next next;
    if (session->settings.practice.on) {
        return next_in_practice(session);
    }
    if (session->build >= 0 &&
        analysis_moved_unanswered(&session->record, session->analysis, session->build)) {
        return next_by_form(NEXT_MOVED, VIEW_NEXT_MOVED, 0);
    }
    if (slip_unanswered(&session->record, session->analysis) >= 0) {
        return next_by_form(NEXT_SLIPPED, VIEW_NEXT_SLIPPED, 0);
    }
    for (int c = 0; c < session->analysis->channel_count; c++) {
        if (session->analysis->step_open[c] > 0 && !next_passed(session, NEXT_STEPPED)) {
            return next_by_form(NEXT_STEPPED, VIEW_NEXT_WAIT, session->analysis->step_open[c]);
        }
    }
    if (!next_passed(session, NEXT_FAR) && far_hold(session) > 0) {
        return next_by_form(NEXT_FAR, VIEW_NEXT_WAIT, far_hold(session));
    }
    if (choice_leads(session, plan)) {
        return next_with_choice(session);
    }
    if (next_at_door(session, view, &next) || next_on_build(session, plan, &next) ||
        next_setup(session, plan, &next)) {
        return next;
    }
    if (session->record.hold_count > 0 && session->record.settings.chosen_setup == 0 &&
        !next_passed(session, NEXT_CHOOSE)) {
        return next_by_form(NEXT_CHOOSE, VIEW_NEXT_CHOOSE, 0);
    }
    return next_by_form(NEXT_ROUND_CLOSED, VIEW_NEXT_WAIT, 0);
}

/* Counting down to a free hold before which the rider was not seen to sit up yet. */
static bool sit_up_is_asked(const struct session *session)
{
    if (session->doing.activity != ACTIVITY_HOLD) {
        return false;
    }
    const struct hold_record *hold = &session->record.hold[session->doing.hold];
    return !hold->guided && hold->purpose == PURPOSE_NONE && !session->doing.unwatched &&
           resit_is_due(session);
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
    struct next next;
    switch (view->phase) {
    case VIEW_WAITING:
        if (next_at_door(session, view, &next)) {
            return next;
        }
        break;
    case VIEW_SETTLING:
        return next_by_command(sit_up_is_asked(session) ? NEXT_SIT_UP : NEXT_SETTLE, "stop");
    case VIEW_HOLD:
        return next_by_command(NEXT_HOLDING, "stop");
    case VIEW_TARGET:
        return can_be_kept(session, view) ? next_by_command(NEXT_HOLDING_TARGET, "target keep")
                                          : next_by_form(NEXT_HOLDING_TARGET, VIEW_NEXT_WAIT, 0);
    case VIEW_PLATE:
        return next_by_command(NEXT_PLATE, "stop");
    case VIEW_CHECK: /* it asks for itself */
        return next_by_command(NEXT_STEPS, view->check.waits_for_go ? "check go" : "stop");
    case VIEW_LIVE:
        return next_at_rest(session, view, plan);
    case VIEW_ENDED:
        return next_by_form(NEXT_SESSION_ENDED, VIEW_NEXT_WAIT, 0);
    }
    return next_by_form(NEXT_SENSORS, VIEW_NEXT_WAIT, 0);
}

void next_step_fill(const struct session *session, struct view *view)
{
    struct plan_of_hour plan;
    plan_of_hour_make(&session->record, session->analysis, session->build, view->minutes_left,
                      &session->settings.hour, &plan);
    say_session_clock(view->clock_words, sizeof view->clock_words, view->minutes_left, &plan,
                      session->record.setup_count > 0 ? session->record.setup[0].number : 1);
    struct next next = next_of(session, view, &plan);
    view->next = next.form;
    view->alone = session->settings.practice.on;
    view->guess_due = next.step == NEXT_GUESS;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        view->place_carried[c] = place_was_carried(session, c);
    }
    text_copy(view->next_command, sizeof view->next_command, next.command);
    view->next_skip[0] = '\0';
    if (next.step == NEXT_STEPS) {
        text_copy(view->next_step, sizeof view->next_step, view->check.ask);
        return;
    }
    say_next_step(view->next_step, sizeof view->next_step, next.step, next.a, next.b,
                  next.hold_s > 0.0 ? next.hold_s : session->settings.hour.each.hold_s);
    view->sit_up = next.step == NEXT_SIT_UP;
    if ((next.step == NEXT_HOLD || next.step == NEXT_HOLD_AGAIN) && resit_is_due(session)) {
        say_sit_up(view->next_step, sizeof view->next_step);
    } else if (next.step == NEXT_HOLD && next.a == 1) {
        say_hour_why(view->next_step, sizeof view->next_step, &session->settings.hour);
    }
    enum next_step as = next_step_as(next.step);
    if (next_step_scope(as) != NEXT_NEVER_PASSED) {
        snprintf(view->next_skip, sizeof view->next_skip, "pass %s", word_of(&next_step_words, as));
    }
}
