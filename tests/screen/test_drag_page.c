/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/drag_page.h"

#include "support/drag_day.h"
#include "support/showing.h"
#include "support/test_main.h"

#include <stdio.h>

/* The page of a day of runs: setups by their runs, each run, what was left out. The day is the
 * design's eight runs. */

static struct stage *open_day(int rows, int columns)
{
    struct terminal_settings settings = {.rows = rows, .columns = columns};
    struct stage *stage = stage_open(&settings, MADE_RUNS);
    if (stage == NULL) {
        return NULL;
    }
    struct snapshot *snapshot = made_snapshot(stage_lock(stage));
    struct session_record *record = &snapshot->record;
    drag_day_run(record, 1, .2449, "c.csv");
    record->leg[8].left_out = true;
    snprintf(record->leg[8].reason, sizeof record->leg[8].reason, "a car passed");
    drag_make(record, &snapshot->analysis.drag);
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    return stage;
}

START_TEST(setups_and_runs)
{
    struct stage *stage = open_day(50, 100);
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, "-"));
    assert_shows(stage, "DRAG  runs over one course");
    assert_shows(stage, "Rider and bike 85 kg; laps, indoors; rolling resistance 0.004 (usual)");
    assert_shows(stage, "Air: 20 \u00B0C, 1013.25 hPa, 50 % before the first run");
    assert_shows(stage, "setup 1, as it came: 4 runs");
    assert_shows(stage, "about 0.251 (0.2");
    assert_shows(stage, "lower by 0.0055 (0.0032 to 0.0078) m\u00B2");
    assert_shows(stage, "W (");
    assert_shows(stage, "less for the air at 40 km/h");
    assert_shows(stage, "run 8, setup 1, run-8.csv: 0.2516 m\u00B2, 1 lap, 39.6 km/h");
    assert_shows(stage, "run 9, setup 2, c.csv: 0 of 1 laps; no lap or pair of it can be used");
    assert_shows(stage, "    9.1: a car passed");
    assert_shows(stage, "SPACE \u25B6 a ride");
    ck_assert(stage_keys(stage, "c"));
    assert_shows(stage, "on the course (- shows all of it)");
    assert_shows(stage, "Drag on the course: setup 2 is lower by 0.0055");
    ck_assert_int_eq(stage_requests(stage), 0);
    stage_close(stage);
}
END_TEST

/* On the page u is about runs: one that is out is taken in again without a reason. */
START_TEST(leaves_a_run_out)
{
    struct stage *stage = open_day(24, 80);
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, "-u"));
    assert_shows(stage, "LEAVE A RUN OUT, OR A LAP OF ONE");
    ck_assert(stage_keys(stage, "\r"));
    assert_shows(stage, "! reason: say why, it stands in the record");
    ck_assert(stage_keys(stage, "gust\r"));
    ck_assert_int_eq(stage_requests(stage), 1);
    ck_assert_str_eq(stage_request(stage, 0), "command: reject run 9 gust");
    assert_shows(stage, "DRAG");
    ck_assert(stage_keys(stage, "u9.1\r"));
    ck_assert_int_eq(stage_requests(stage), 2);
    ck_assert_str_eq(stage_request(stage, 1), "command: restore run 9.1");
    ck_assert(stage_keys(stage, "u3.2\r"));
    assert_shows(stage, "there is no such run: type 3, or 3.2 for its second lap");
    /* a reason for what is out already does not quietly take it in */
    ck_assert(stage_keys(stage, "\0259.1\tgust\r"));
    assert_shows(stage, "it is left out already: empty the reason");
    ck_assert_int_eq(stage_requests(stage), 2);
    stage_close(stage);
}
END_TEST

/* What is read is told in the form that waits for it and on the page, and Esc stops it there. */
START_TEST(a_ride_that_is_read)
{
    struct stage *stage = open_day(24, 80);
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, "-"));
    struct view *view = stage_lock(stage);
    view->work.running = true;
    view->work.share = 0.25;
    snprintf(view->work.doing, sizeof view->work.doing, "reading a ride");
    stage_unlock(stage);
    assert_shows(stage, "reading a ride ... 25 %, Esc stops it");
    ck_assert(stage_keys(stage, "\033"));
    assert_shows(stage, "DRAG");
    ck_assert_int_eq(stage_requests(stage), 1);
    ck_assert_str_eq(stage_request(stage, 0), "stop work");
    stage_close(stage);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("page of runs");
    TCase *tcase = tcase_create("page of runs");
    tcase_set_timeout(tcase, 120);
    tcase_add_test(tcase, setups_and_runs);
    tcase_add_test(tcase, leaves_a_run_out);
    tcase_add_test(tcase, a_ride_that_is_read);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
