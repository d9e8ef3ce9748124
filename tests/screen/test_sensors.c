/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/sensors.h"
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The page of the sensors, as it stands on a terminal. */

#define DOWN "\033OB"
#define PAGE_UP "\033[5~"
#define ESCAPE "\033"

static struct stage *open_page(int rows, int columns, enum made_view kind)
{
    return open_with_key(rows, columns, kind, "i");
}

/* Steps down until it shows. */
static void assert_shows_further_down(struct stage *stage, const char *words)
{
    for (int i = 0; i < 100 && !terminal_shows(stage_terminal(stage), words); i++) {
        ck_assert(stage_keys(stage, DOWN));
    }
    assert_shows(stage, words);
    for (int i = 0; i < 20; i++) {
        ck_assert(stage_keys(stage, PAGE_UP));
    }
}

START_TEST(everything_of_a_sensor)
{
    struct stage *stage = open_page(30, 80, MADE_CHECKED);
    if (stage == NULL) {
        return;
    }
    assert_shows(stage, "SENSORS  bench-a \u00B7 bench lines \u00B7 serial:/dev/ttyACM0");
    /* made_view's numbers: range, as sent, height, share of good ones, noise, step */
    assert_shows(stage, "412.4    412.4     885  100%    1.4   1.0  ok");
    assert_shows(stage, "earlier: stuck for 12 s");
    assert_shows(stage, "chin strap \u00B7 base bar, 120 forward, 40 above, looks up \u00B7 moved "
                        "\u221219 \u00B11");
    assert_shows(stage, "1.0   sees two things");
    assert_shows(stage, "readings jump between two levels: the beam sees two things; aim it at");
    assert_shows(stage, "calibrated: 1.0040 \u00D7 range \u22121.2");
    assert_shows(stage, "power           203 W   averaged over each hold, never cued on");
    assert_shows(stage,
                 "wire   50.0/s of 50.0/s \u00B7 9 lost \u00B7 3 rejected \u00B7 longest gap "
                 "40 ms");
    assert_shows(stage,
                 "clock  right to 0.13 ms \u00B7 the rig's is 12 ppm slow \u00B7 jitter 1.2 ms");
    stage_close(stage);
}
END_TEST

/* What the lines were taken for, in full; and in a word where the fitter looks all the time. */
START_TEST(what_is_known_of_the_lines)
{
    struct stage *stage = open_screen(30, 100, MADE_CHECKED);
    int row, column;
    struct terminal_cell cell, plain;
    if (stage == NULL) {
        return;
    }
    struct view *view = stage_lock(stage);
    view->stream.note_count = 2;
    view->stream.note[0] = (struct wire_note){.kind = WIRE_COMMA};
    view->stream.note[1] = (struct wire_note){.kind = WIRE_UNIT_UNSAID};
    stage_unlock(stage);
    assert_shows(stage, "unit not said (i)");
    view = stage_lock(stage);
    view->stream.note[0] =
        (struct wire_note){.kind = WIRE_LEFT_OUT_EMPTY, .column = 3, .name = "hip"};
    stage_unlock(stage);
    assert_shows(stage, " a column left out (i) ");
    ck_assert(terminal_find(stage_terminal(stage), "a column left out", &row, &column));
    terminal_cell(stage_terminal(stage), row, column, &cell);
    terminal_cell(stage_terminal(stage), row, 1, &plain);
    ck_assert_int_ne(cell.background, plain.background);
    ck_assert(stage_keys(stage, "i"));
    assert_shows(stage,
                 "lines  'hip' is empty where the stream begins: left out (--columns, if it");
    assert_shows(stage, "lines  nothing says the unit: taken as mm (--unit)");
    stage_close(stage);
}
END_TEST

START_TEST(what_is_wrong_stands_on_a_warning)
{
    struct stage *stage = open_page(24, 100, MADE_CHECKED);
    int row, column;
    struct terminal_cell cell, plain;
    if (stage == NULL) {
        return;
    }
    ck_assert(terminal_find(stage_terminal(stage), "sees two things", &row, &column));
    terminal_cell(stage_terminal(stage), row, column, &cell);
    terminal_cell(stage_terminal(stage), row, 5, &plain);
    ck_assert_int_ne(cell.background, plain.background);
    stage_close(stage);
}
END_TEST

START_TEST(the_latest_check_comes_first_with_what_to_do)
{
    struct stage *stage = open_page(40, 90, MADE_CHECKED);
    int latest, list, row;
    if (stage == NULL) {
        return;
    }
    ck_assert(terminal_find(stage_terminal(stage), "step of head", &latest, NULL));
    ck_assert_int_eq(latest, 1);
    assert_shows(stage, "step of head         failed  0:03:10");
    assert_shows(stage, "head: the block of 25 mm reads 27.1 \u00B10.2 mm (limit \u00B11.5); a");
    assert_shows(stage, "next: calibrate it, then the step again");
    ck_assert(terminal_find(stage_terminal(stage), "CHECKS since", &list, NULL));
    ck_assert(terminal_find(stage_terminal(stage), "rider test ", &row, NULL));
    ck_assert_int_gt(row, list);
    assert_shows(stage, "rider test           passed  0:01:35");
    assert_shows(stage, "beam of head         passed  0:02:20");
    assert_shows(stage, "not made yet: beam of chest, step of chest, still test");
    assert_shows(stage, "plate of this build: head 412.4 mm");
    assert_shows(stage, "SPACE \u25B6 calibration of head");
    stage_close(stage);
}
END_TEST

START_TEST(a_check_goes_on_with_space_and_stops_with_x)
{
    struct stage *stage = open_page(24, 80, MADE_CHECK);
    if (stage == NULL) {
        return;
    }
    assert_shows(stage, "step of head, 2 of 2");
    assert_shows(stage, "Space when it is done");
    assert_shows(stage, "lay the block of 25 mm on the plate, in the beam of head");
    assert_shows(stage, "\u221225.3 mm since the step before");
    assert_shows(stage, "SPACE \u25B6 it is done, go on");
    ck_assert(stage_keys(stage, " "));
    ck_assert_str_eq(stage_request(stage, 0), "command: check go");
    struct view *view = stage_lock(stage);
    view->check.waits_for_go = false;
    view->check.recording = true;
    view->check.left_s = 4.0;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "reading, 0:04 left");
    assert_shows(stage, "it ends by itself");
    ck_assert(stage_keys(stage, " ")); /* a foot switch does not end it */
    ck_assert_int_eq(stage_requests(stage), 1);
    ck_assert(stage_keys(stage, "x"));
    ck_assert_str_eq(stage_request(stage, 1), "command: stop");
    assert_shows(stage, "SENSORS"); /* the page stays */
    ck_assert(stage_keys(stage, ESCAPE));
    assert_shows(stage, "HOLDLINE");
    /* and on the fitter's screen Space does it just as well */
    view = stage_lock(stage);
    view->check.waits_for_go = true;
    view->check.recording = false;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    ck_assert(stage_keys(stage, " "));
    ck_assert_str_eq(stage_request(stage, 2), "command: check go");
    stage_close(stage);
}
END_TEST

START_TEST(space_leads_through_the_checks)
{
    struct stage *stage = open_page(24, 80, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    assert_shows(stage, "SPACE \u25B6 rider test");
    ck_assert(stage_keys(stage, " ")); /* it asks nothing */
    ck_assert_str_eq(stage_request(stage, 0), "command: check rider 20s");
    assert_shows(stage, "SENSORS");
    struct view *view = stage_lock(stage);
    made_checked(view, CHECK_RIDER, -1, CHECK_PASSED, 1.0, "");
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "SPACE \u25B6 beam of head");
    ck_assert(stage_keys(stage, " ")); /* with a block, or without */
    assert_shows(stage, "A CHECK OF THE SENSORS");
    ck_assert(stage_keys(stage, ESCAPE));
    assert_shows(stage, "SENSORS"); /* back where it was opened */
    /* a check that is asked for elsewhere opens the page */
    ck_assert(stage_keys(stage, ESCAPE));
    assert_shows(stage, "HOLDLINE");
    ck_assert(stage_keys(stage, "7"));
    ck_assert(stage_keys(stage, "\r"));
    assert_shows(stage, "SENSORS");
    ck_assert_int_eq(stage_requests(stage), 2);
    stage_close(stage);
}
END_TEST

START_TEST(when_all_is_made_space_goes_back)
{
    struct stage *stage = open_page(24, 80, MADE_LIVE);
    static const struct {
        enum check_kind kind;
        int channel;
    } all[] = {{CHECK_RIDER, -1}, {CHECK_BEAM, 0}, {CHECK_BEAM, 1},
               {CHECK_STEP, 0},   {CHECK_STEP, 1}, {CHECK_STILL, -1}};
    if (stage == NULL) {
        return;
    }
    struct view *view = stage_lock(stage);
    for (int i = 0; i < 6; i++) {
        made_checked(view, all[i].kind, all[i].channel, CHECK_PASSED, i, "");
    }
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "SPACE \u25B6 back");
    ck_assert(stage_keys(stage, " "));
    assert_shows(stage, "HOLDLINE");
    ck_assert_int_eq(stage_requests(stage), 0);
    stage_close(stage);
}
END_TEST

START_TEST(other_keys_do_what_they_do_elsewhere)
{
    struct stage *stage = open_page(24, 80, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, "p")); /* the plate is of the sensors: the page stays below */
    assert_shows(stage, "A PLATE OVER THE SENSORS");
    ck_assert(stage_keys(stage, ESCAPE));
    assert_shows(stage, "SENSORS");
    ck_assert(stage_keys(stage, "?"));
    assert_shows(stage, "KEYS THAT WORK HERE");
    ck_assert(stage_keys(stage, ESCAPE));
    assert_shows(stage, "SENSORS");
    ck_assert(stage_keys(stage, "q"));
    assert_shows(stage, "End the session");
    ck_assert(stage_keys(stage, "n"));
    assert_shows(stage, "SENSORS");
    ck_assert(stage_keys(stage, "i"));
    assert_shows(stage, "HOLDLINE");
    ck_assert(stage_keys(stage, "i"));
    ck_assert(stage_keys(stage, "c"));
    assert_shows(stage, "COMPARISON");
    ck_assert(stage_keys(stage, ESCAPE));
    assert_shows(stage, "HOLDLINE");
    ck_assert(stage_keys(stage, "i"));
    ck_assert(stage_keys(stage, "f\r"));
    assert_shows(stage, "HOLDLINE");
    ck_assert_str_eq(stage_request(stage, 0), "command: hold 60s free");
    stage_close(stage);
}
END_TEST

START_TEST(it_fits_everywhere)
{
    for (size_t s = 0; s < SCREEN_SIZES; s++) {
        struct stage *stage =
            open_page(screen_sizes[s].rows, screen_sizes[s].columns, MADE_CHECKED);
        if (stage == NULL) {
            return;
        }
        assert_shows(stage, "SENSORS  bench-a");
        assert_shows(stage, "SPACE");
        assert_shows_further_down(stage, "head");
        assert_shows_further_down(stage, "412.4");
        assert_shows_further_down(stage, "sees two things");
        assert_shows_further_down(stage, "203 W");
        assert_shows_further_down(stage, "right to 0.13 ms");
        assert_shows_further_down(stage, "plate of this build");
        assert_shows_further_down(stage, "rider test");
        /* the traces are drawn where the words leave rows for them */
        ck_assert_int_eq(terminal_shows(stage_terminal(stage), "\u22120:"),
                         screen_sizes[s].rows >= 40);
        stage_close(stage);
        stage = open_page(screen_sizes[s].rows, screen_sizes[s].columns, MADE_CHECK);
        assert_shows(stage, "step of head");
        assert_shows(stage, "lay the block of 25 mm");
        assert_shows(stage, "SPACE \u25B6 it is done");
        stage_close(stage);
    }
}
END_TEST

START_TEST(without_sensors_it_says_so)
{
    struct stage *stage = open_page(12, 40, MADE_EMPTY);
    if (stage == NULL) {
        return;
    }
    assert_shows(stage, "no sensor is heard yet: is the rig's");
    stage_close(stage);
    stage = open_page(24, 80, MADE_TROUBLE);
    assert_shows(stage, "LINK DOWN: is the cable in?");
    assert_shows(stage, "link down");
    stage_close(stage);
}
END_TEST

START_TEST(plain_letters_and_no_colours)
{
    struct terminal_settings settings = {
        .rows = 40, .columns = 100, .term = "vt100", .locale = "C", .no_color = true};
    struct stage *stage = stage_open(&settings, MADE_CHECKED);
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_drawn(stage));
    ck_assert(stage_keys(stage, "i"));
    assert_shows(stage, "SENSORS  bench-a");
    assert_shows(stage, "sees two things");
    assert_shows(stage, "412.4");
    stage_close(stage);
}
END_TEST

/* ---- what is due ---- */

static struct check_record *add(struct view *view, enum check_kind kind, int channel,
                                enum check_verdict verdict)
{
    return made_checked(view, kind, channel, verdict, 1.0, "");
}

static void assert_due(const struct view *view, enum check_kind kind, int channel)
{
    struct sensors_due due;
    ck_assert(sensors_check_due(view, &due));
    ck_assert_int_eq(due.kind, kind);
    ck_assert_int_eq(due.channel, channel);
}

START_TEST(the_check_that_is_due)
{
    struct made_up *made = calloc(1, sizeof *made);
    struct view *view = &made->view;
    struct sensors_due due;
    made_view(made, MADE_EMPTY);
    ck_assert(!sensors_check_due(view, &due));
    made_view(made, MADE_LIVE);
    assert_due(view, CHECK_RIDER, -1);
    add(view, CHECK_RIDER, -1, CHECK_FAILED);
    assert_due(view, CHECK_RIDER, -1); /* put right, and again */
    add(view, CHECK_RIDER, -1, CHECK_PASSED);
    assert_due(view, CHECK_BEAM, 0);
    add(view, CHECK_BEAM, 0, CHECK_PASSED);
    assert_due(view, CHECK_BEAM, 1);
    add(view, CHECK_BEAM, 1, CHECK_PASSED);
    struct check_record *step = add(view, CHECK_STEP, 0, CHECK_UNCERTAIN);
    assert_due(view, CHECK_STEP, 0);
    made_off_scale(step);
    assert_due(view, CHECK_CALIBRATION, 0);
    add(view, CHECK_CALIBRATION, 0, CHECK_PASSED);
    assert_due(view, CHECK_STEP, 0); /* the one before says nothing of readings since */
    add(view, CHECK_STEP, 0, CHECK_PASSED);
    assert_due(view, CHECK_STEP, 1);
    add(view, CHECK_STEP, 1, CHECK_PASSED);
    assert_due(view, CHECK_STILL, -1);
    add(view, CHECK_STILL, 0, CHECK_PASSED);
    assert_due(view, CHECK_STILL, -1); /* of one only */
    add(view, CHECK_STILL, 1, CHECK_PASSED);
    ck_assert(!sensors_check_due(view, &due));
    free(made);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sensors' page");
    TCase *tcase = tcase_create("sensors");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, everything_of_a_sensor);
    tcase_add_test(tcase, what_is_known_of_the_lines);
    tcase_add_test(tcase, what_is_wrong_stands_on_a_warning);
    tcase_add_test(tcase, the_latest_check_comes_first_with_what_to_do);
    tcase_add_test(tcase, a_check_goes_on_with_space_and_stops_with_x);
    tcase_add_test(tcase, space_leads_through_the_checks);
    tcase_add_test(tcase, when_all_is_made_space_goes_back);
    tcase_add_test(tcase, other_keys_do_what_they_do_elsewhere);
    tcase_add_test(tcase, it_fits_everywhere);
    tcase_add_test(tcase, without_sensors_it_says_so);
    tcase_add_test(tcase, plain_letters_and_no_colours);
    tcase_add_test(tcase, the_check_that_is_due);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
