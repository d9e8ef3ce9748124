/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The rider's screen on a long ride: dark while nobody looks, and what it came to. */

static void set_ride(struct stage *stage, double session_s, bool rest)
{
    struct view *view = stage_lock(stage);
    view->session_s = session_s;
    view->elapsed_s = 754;
    view->planned_s = 28800;
    view->alone = view->ride.on = view->ride.open = true;
    view->ride.rest = rest;
    view->ride.count = 1;
    view->ride.minute[0] = (struct view_ride_minute){
        .minute = 12, .in_band_share = 0.93, .up_s = 20, .off_mm = {2, -3}};
    view->serial++;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
}

/* Two parts of the body, 1 h 58 min: the head's band lost after 72 minutes. */
static void ride_is_over(struct stage *stage)
{
    struct view *view = stage_lock(stage);
    struct snapshot *snapshot = (struct snapshot *)view->snapshot;
    struct hold_record *hold = &snapshot->record.hold[snapshot->record.hold_count - 1];
    struct hold_result *result = &snapshot->analysis.hold[snapshot->record.hold_count - 1];
    static const double shares[2][4] = {{0.93, 0.91, 0.84, 0.62}, {1, 0.99, 0.97, 0.96}};
    static const double mm[2][4] = {{886, 887, 890, 896}, {771, 771, 772, 773}};
    hold->purpose = PURPOSE_RIDE;
    hold->status = HOLD_STOPPED;
    memset(result, 0, sizeof *result);
    result->duration_s = 7080;
    result->sat_up_times = 11;
    result->sat_up_s = 300;
    result->posture_share = 0.95;
    snapshot->analysis.channel_count = 2;
    for (int c = 0; c < 2; c++) {
        snapshot->analysis.body[c] = result->has[c] = true;
        snprintf(snapshot->analysis.channel_name[c], CHANNEL_NAME_SIZE, c == 0 ? "head" : "chest");
        result->summary[c].status = MEASURE_OK;
        result->summary[c].has_target = result->summary[c].has_band = true;
        result->summary[c].mean_mm = 890;
        result->summary[c].offset_mm = c == 0 ? 6 : 119;
        result->summary[c].sustain_s = c == 0 ? 4320 : 7080;
        result->summary[c].sustain_reached = c == 0;
        result->course[c].after_mm = c == 0 ? 895 : (double)NAN;
        for (int q = 0; q < 4; q++) {
            result->course[c].quarter[q] = (struct minute_row){.from_s = q * 1770,
                                                               .to_s = (q + 1) * 1770,
                                                               .seen_s = 1700,
                                                               .mean_mm = mm[c][q],
                                                               .in_band_share = shares[c][q]};
        }
    }
    view->phase = VIEW_LIVE;
    view->alone = true;
    snprintf(view->next_step, sizeof view->next_step, "how it felt");
    view->serial++;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
}

START_TEST(a_ride_that_is_over_is_told_by_quarters)
{
    struct stage *stage = open_with_key(24, 80, MADE_HOLD_FREE, "v");
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    ride_is_over(stage);
    ck_assert(terminal_shows(
        terminal, "ridden 1 h 58 min, up 11 times for 5 min, 95 % of it in the posture"));
    ck_assert(terminal_shows(terminal, "93 % +2    91 % +3    84 % +6   62 % +12  kept 1 h 12 min, "
                                       "then +11"));
    ck_assert(terminal_shows(terminal, "100 % 0     99 % 0    97 % +1    96 % +2  kept \u2265 1 h "
                                       "58 min"));
    stage_close(stage);
}
END_TEST

/* A minute after the last key the screen of a ride is dark; the next key lights it and does no
 * more, and so does a rest, with its double tone. */
START_TEST(a_ride_is_dark_when_nobody_looks)
{
    struct stage *stage = open_with_key(24, 80, MADE_HOLD_FREE, "v");
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    double from_s = stage_lock(stage)->session_s;
    stage_unlock(stage);
    set_ride(stage, from_s + 59, false);
    ck_assert(terminal_shows(terminal, "min  12   93 % in"));
    ck_assert(terminal_shows(terminal, "up 20 s"));
    set_ride(stage, from_s + 61, false);
    ck_assert(!terminal_shows(terminal, "min  12"));
    int requests = stage_requests(stage), bells = terminal_bells(terminal);
    ck_assert(stage_keys(stage, "x"));
    ck_assert(terminal_shows(terminal, "min  12"));
    ck_assert_int_eq(stage_requests(stage), requests);
    set_ride(stage, from_s + 130, true);
    ck_assert(terminal_shows(terminal, "min  12"));
    ck_assert_int_eq(terminal_bells(terminal), bells + 1);
    set_ride(stage, from_s + 161, false);
    ck_assert(!terminal_shows(terminal, "min  12"));
    /* one key alone ends it: it lights the screen, is asked, and ends */
    ck_assert(stage_keys(stage, " "));
    ck_assert(stage_keys(stage, " "));
    ck_assert(terminal_shows(terminal, "the same key again ends the ride"));
    ck_assert_int_eq(stage_requests(stage), requests);
    set_ride(stage, from_s + 161 + 10.5, false); /* too late: it is asked anew */
    ck_assert(stage_keys(stage, " "));
    ck_assert_int_eq(stage_requests(stage), requests);
    set_ride(stage, from_s + 161 + 10.5 + 9.5, false);
    ck_assert(stage_keys(stage, " "));
    ck_assert_str_eq(stage_request(stage, requests), "command: stop");
    stage_close(stage);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rider's screen on a ride");
    TCase *tcase = tcase_create("ride");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, a_ride_is_dark_when_nobody_looks);
    tcase_add_test(tcase, a_ride_that_is_over_is_told_by_quarters);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
