/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "next_practice.h"

#include "analysis/hold_use.h"
#include "analysis/plate_ends.h"
#include "base/text.h"
#include "base/words.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>

/* Board, warm-up, test, guess, pieces, how it felt, board. */

static int holds_for(const struct session *session, enum hold_purpose purpose)
{
    int count = 0;
    for (int h = 0; h < session->record.hold_count; h++) {
        count += session->record.hold[h].purpose == purpose && !session->record.hold[h].rejected;
    }
    return count;
}

/* ---- the board on the pads ---- */

/* How far off the first day's it is now on this build, the worst channel; NAN: not read, -1: there
 * is nothing to hold it against. */
static double board_apart_mm(const struct session *session)
{
    const struct session_record *record = &session->record;
    const struct placing_record *placing = machine_placing(session);
    double apart_mm[CHANNELS_MAX], worst_mm = NAN;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        apart_mm[c] = NAN;
    }
    for (int i = 0; placing != NULL && i < record->tie_reading_count; i++) {
        const struct tie_reading_record *reading = &record->tie_reading[i];
        if (reading->rest == REST_PADS && reading->build == session->build) {
            const char *name = placing->channel[reading->channel].name;
            double first_mm = board_first_mm(&session->settings.practice.board_first, name);
            apart_mm[reading->channel] =
                isnan(first_mm) ? -1.0 : fabs(reading->value_mm - first_mm);
        }
    }
    for (int c = 0; c < CHANNELS_MAX; c++) {
        worst_mm = apart_mm[c] <= worst_mm || isnan(apart_mm[c]) ? worst_mm : apart_mm[c];
    }
    return worst_mm;
}

static struct next read_board(const struct practice_due *due, enum next_step step, double apart_mm)
{
    struct next next = next_by_command(step, "plate 5s rest=pads");
    next.a = (int)lround(apart_mm);
    if (isfinite(due->board_mm)) {
        snprintf(next.command, sizeof next.command, "plate 5s height=%.1f rest=pads",
                 due->board_mm);
    }
    return next;
}

/* False: it was read, and lies where it should. */
static bool board_is_due(const struct session *session, struct next *next)
{
    const struct practice_due *due = &session->settings.practice;
    double apart_mm = board_apart_mm(session);
    if (isnan(apart_mm)) {
        *next = read_board(due, NEXT_BOARD, 0.0);
        return !next_passed(session, NEXT_BOARD);
    }
    *next =
        read_board(due, apart_mm > BOARD_ANEW_MM ? NEXT_BOARD_ANEW : NEXT_BOARD_APART, apart_mm);
    return apart_mm > BOARD_APART_MM && !next_passed(session, NEXT_BOARD_APART);
}

/* A level stepped in a hold, on one part of the body alone: what is built since is read anew. */
static bool stepped_is_open(const struct session *session, struct next *next)
{
    for (int c = 0; c < session->analysis->channel_count; c++) {
        if (session->analysis->step_open[c] > 0 && !next_passed(session, NEXT_STEPPED)) {
            *next = next_by_command(NEXT_BOARD_AGAIN, "build moved=yes");
            next->a = session->analysis->step_open[c];
            return true;
        }
    }
    return false;
}

/* ---- pieces ---- */

/* The last hold of practice waits for a guess: it was not told while it was ridden. */
static bool guess_is_due(const struct session *session)
{
    int last = session->record.hold_count - 1;
    const struct hold_record *hold = last >= 0 ? &session->record.hold[last] : NULL;
    return hold != NULL && hold->told == TOLD_AFTER && isnan(hold->guessed_share) &&
           hold->status == HOLD_COMPLETE;
}

/* The worst of all regions that was told at any time: today, or of the morning after the last
 * time; NAN: not told. */
static double worst_discomfort(const struct session *session, bool morning)
{
    double worst = NAN;
    for (int r = 0; r < session->record.rating_count; r++) {
        const struct rating_record *rating = &session->record.rating[r];
        if (rating->morning == morning) {
            worst = fmax(worst, rating_worst_discomfort(rating));
        }
    }
    return worst;
}

static bool was_told(const struct session *session, bool morning)
{
    for (int r = 0; r < session->record.rating_count; r++) {
        if (session->record.rating[r].morning == morning) {
            return true;
        }
    }
    return false;
}

/* By how the pieces so far went, and how it feels: discomfort goes before length. */
static double piece_length_s(const struct session *session)
{
    const struct practice_due *due = &session->settings.practice;
    struct piece_length piece = {due->length_s, 0};
    bool sore = worst_discomfort(session, true) > DISCOMFORT_MORNING;
    bool held = due->held || sore || worst_discomfort(session, false) >= PIECE_DISCOMFORT;
    if (sore && !due->held) { /* else it is shorter already */
        piece_length_back(&piece);
    }
    for (int h = 0; h < session->record.hold_count; h++) {
        const struct hold_record *hold = &session->record.hold[h];
        bool lost;
        double worst = hold_worst_share(session->analysis, h, &lost);
        if (hold->purpose == PURPOSE_PIECE && !hold->rejected && !isnan(worst)) {
            piece_length_next(&piece,
                              hold->status == HOLD_COMPLETE && piece_kept(worst, lost, (double)NAN),
                              held);
        }
    }
    return round(piece.length_s);
}

static struct next next_piece(const struct session *session, int ridden)
{
    double length_s = piece_length_s(session);
    enum told_way told = feedback_of(session->settings.practice.row, ridden);
    struct next next = {.step = NEXT_PIECE,
                        .a = ridden + 1,
                        .b = session->settings.practice.pieces,
                        .form = VIEW_NEXT_COMMAND,
                        .hold_s = length_s};
    snprintf(next.command, sizeof next.command, "hold %gs piece told=%s settle=%gs", length_s,
             word_of(&told_words, told), ridden > 0 ? piece_rest_s(length_s) : SETTLE_S);
    return next;
}

/* A sign to stop that was told today. */
static bool must_stop(const struct session *session)
{
    for (int r = 0; r < session->record.rating_count; r++) {
        if (rating_ends_practice(&session->record.rating[r])) {
            return true;
        }
    }
    return false;
}

/* An earlier session's is carried over: one that is taken each day follows the rider upwards. */
static struct next take_target(const struct session *session)
{
    struct next next = next_by_command(NEXT_TARGET, "target");
    char code[40];
    const struct practice_due *due = &session->settings.practice;
    if (due->target[0] != '\0') {
        next.step = NEXT_TARGET_PLANNED;
        snprintf(next.command, sizeof next.command, "target %s", due->target);
    } else if (due->carried) {
        next.step = NEXT_TARGET_CARRIED;
        words_quote(code, sizeof code, session->record.rider.code);
        if (due->carried_from > 0) {
            snprintf(code, sizeof code, "%lld", (long long)due->carried_from);
        }
        snprintf(next.command, sizeof next.command, "carry %s target", code);
    }
    return next;
}

/* How far the board lies elsewhere since the holds on this build began, the worst part of the body,
 * where that is no chance; 0: it does not, or was not read again. */
static double slipped_mm(const struct session *session)
{
    double worst_mm = 0.0;
    for (int c = 0; session->build >= 0 && c < session->analysis->channel_count; c++) {
        const struct tie *tie = &session->analysis->tie[session->build][c];
        if (session->analysis->body[c] && tie->found.kind == TIE_FOUND_ENDS) {
            worst_mm = fmax(worst_mm, tie->found.apart_mm);
        }
    }
    return worst_mm;
}

/* How it felt, where the sensors are now, and the end. */
static struct next after_all(const struct session *session)
{
    if (session->record.rider.health == ANSWER_YES && !was_told(session, false) &&
        !next_passed(session, NEXT_FELT)) {
        return next_by_form(NEXT_FELT, VIEW_NEXT_FELT, 0);
    }
    int before = plate_ends_open(&session->record, session->build);
    if (before >= 0 && !next_passed(session, NEXT_PLATE_AGAIN)) {
        return next_same_plate(NEXT_BOARD_AFTER, &session->record.tie_reading[before]);
    }
    double moved_mm = slipped_mm(session);
    return next_by_form(moved_mm > 0.0 ? NEXT_DONE_SLIPPED : NEXT_DONE, VIEW_NEXT_END,
                        (int)lround(moved_mm));
}

struct next next_in_practice(const struct session *session)
{
    const struct practice_due *due = &session->settings.practice;
    int pieces = holds_for(session, PURPOSE_PIECE);
    if (must_stop(session)) {
        return next_by_form(NEXT_STOP, VIEW_NEXT_END, 0);
    }
    struct next next;
    if (due->morning && !was_told(session, true) && !next_passed(session, NEXT_MORNING)) {
        return next_by_form(NEXT_MORNING, VIEW_NEXT_MORNING, 0);
    }
    if (stepped_is_open(session, &next) || board_is_due(session, &next)) {
        return next;
    }
    if (session->target < 0 && !next_passed(session, NEXT_TARGET)) {
        return take_target(session);
    }
    if (session->band < 0 && due->band[0] != '\0' && !next_passed(session, NEXT_BAND)) {
        next = next_by_command(NEXT_BAND_PLANNED, "");
        snprintf(next.command, sizeof next.command, "band %s", due->band);
        return next;
    }
    if (session->band < 0 && next_has_band_suggested(session) && !next_passed(session, NEXT_BAND)) {
        return next_by_command(NEXT_BAND, "band suggested");
    }
    if (due->ride) {
        return holds_for(session, PURPOSE_RIDE) == 0 && !next_passed(session, NEXT_RIDE)
                   ? next_by_command(NEXT_RIDE, "ride")
                   : after_all(session);
    }
    if (holds_for(session, PURPOSE_TEST) == 0 && !next_passed(session, NEXT_EASY)) {
        return next_by_command(NEXT_EASY, "pass easy");
    }
    if (holds_for(session, PURPOSE_TEST) == 0 && !next_passed(session, NEXT_TEST)) {
        next = next_by_command(isnan(due->power_w) ? NEXT_TEST : NEXT_TEST_AT, "hold test");
        next.a = isnan(due->power_w) ? 0 : (int)lround(due->power_w);
        return next;
    }
    if (guess_is_due(session) && !next_passed(session, NEXT_GUESS)) {
        return next_by_form(NEXT_GUESS, VIEW_NEXT_WAIT, 0);
    }
    if (!due->base && pieces < due->pieces && !next_passed(session, NEXT_PIECE)) {
        return next_piece(session, pieces);
    }
    return after_all(session);
}
