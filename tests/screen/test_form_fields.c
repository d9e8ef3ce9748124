/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/forms.h"
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

/* What a form tells at a field: slips, limits, what would move, why a value is refused. */

START_TEST(a_wrong_value_is_told_at_once)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    ck_assert(stage_keys(stage, DOWN "1600"));
    assert_shows(stage, "spacers: 0 to 150 mm"); /* the whole sentence in the hint's line */
    int row, column;
    struct terminal_cell cell;
    ck_assert(terminal_find(terminal, "1600", &row, &column));
    terminal_cell(terminal, row, column, &cell);
    ck_assert_int_eq(cell.background, 227); /* a warning at the field itself */
    /* Enter does not take it, and nothing is lost */
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_int_eq(stage_requests(stage), 0);
    assert_shows(stage, "1600");
    assert_shows(stage, "! spacers: 0 to 150 mm");
    /* mended: it is taken */
    ck_assert(stage_keys(stage, "15" ENTER));
    ck_assert_str_eq(stage_request(stage, 0), "command: setup 4 spacers=15");
    stage_close(stage);
}
END_TEST

START_TEST(likely_slips_are_asked_about_at_the_field)
{
    static const struct {
        const char *tabs, *typed, *asked;
    } slips[] = {
        {DOWN, "-10", "spacers: 0 to 150 mm: it can't be negative"},
        {DOWN DOWN, "4", "stem length: 20 to 200 mm: in mm, not inches?"},
        {DOWN DOWN, "9,5", "stem length: 20 to 200 mm: in mm, not cm?"},
        {DOWN DOWN, "900", "stem length: 20 to 200 mm"},
        {DOWN DOWN DOWN, "95", "stem angle: -45 to 45 deg: a stem printed 73 or 107 is -17 or 17"},
    };
    for (size_t i = 0; i < sizeof slips / sizeof slips[0]; i++) {
        struct stage *stage = open_form(MADE_LIVE, "n");
        if (stage == NULL) {
            return;
        }
        ck_assert(stage_keys(stage, slips[i].tabs));
        ck_assert(stage_keys(stage, slips[i].typed));
        assert_shows(stage, slips[i].asked);
        ck_assert(stage_keys(stage, ENTER));
        ck_assert_int_eq(stage_requests(stage), 0);
        stage_close(stage);
    }
}
END_TEST

START_TEST(not_a_number_is_told)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, DOWN "12mm5" DOWN));
    ck_assert(stage_keys(stage, ENTER));
    assert_shows(stage, "! spacers: a number, 0 to 150 mm");
    ck_assert_int_eq(stage_requests(stage), 0);
    stage_close(stage);
}
END_TEST

START_TEST(letters_that_mean_no_choice_are_told)
{
    struct stage *stage = open_form(MADE_LIVE, "3");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, DOWN "b"));
    assert_shows(stage, "'b' begins several: type on");
    assert_shows(stage, "base bar");
    ck_assert(stage_keys(stage, "z"));
    assert_shows(stage, "'bz' is none of them");
    assert_shows(stage, "\u2190 bz \u2192");
    assert_shows(stage, "\u2190 bz \u2192         !");
    ck_assert(stage_keys(stage, DOWN "\r")); /* neither left nor taken so */
    assert_shows(stage, "'bz' is none of them: type one");
    ck_assert_int_eq(stage_requests(stage), 0);
    ck_assert(stage_keys(stage, "b")); /* what fits no more begins anew */
    assert_shows(stage, "'b' begins several: type on");
    ck_assert(stage_keys(stage, "base"));
    assert_shows(stage, "\u2190 base bar");
    stage_close(stage);
}
END_TEST

START_TEST(a_long_problem_is_not_cut)
{
    struct stage *stage = open_form(MADE_LIVE, "9");
    if (stage == NULL) {
        return;
    }
    assert_shows(stage, ".txt");
    assert_shows(stage, ".csv");
    assert_shows(stage, ".json");
    assert_shows(stage, ".html");
    assert_shows(stage, ".pdf");
    assert_shows(stage, ".svg");
    stage_answer(stage, false,
                 "the file can't be written: there is no folder of that name here; make it first, "
                 "or type a name without a folder and it is put where the program was started");
    ck_assert(stage_keys(stage, ENTER));
    assert_shows(stage, "! the file can't be written");
    assert_shows(stage,
                 "first, or type a name without a folder and it is put where the program was");
    assert_shows(stage, "started");
    stage_close(stage);
}
END_TEST

START_TEST(what_was_is_shown_beside)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, DOWN "15"));
    assert_shows(stage, "was 10");
    ck_assert(!terminal_shows(stage_terminal(stage), "new"));
    ck_assert(stage_keys(stage, DOWN DOWN DOWN "45")); /* the stem clamp's height was not known */
    assert_shows(stage, "45       mm new");
    stage_close(stage);
}
END_TEST

START_TEST(going_back_shows_that_setup)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, "\033[Z\033[Z1")); /* 'number': from setup 3 back to setup 1 */
    assert_shows(stage, "as it came");
    assert_shows(stage, "bars, head, chest up 19");
    assert_shows(stage, "(from setup 3)");
    ck_assert(stage_keys(stage, "4")); /* 14: a new one, from setup 3 */
    ck_assert(terminal_wait_gone(stage_terminal(stage), "as it came", 20.0));
    stage_close(stage);
}
END_TEST

START_TEST(what_moves_is_said_while_it_is_typed)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    ck_assert(!terminal_shows(stage_terminal(stage), "moves:"));
    /* spacers 10 to 0 along a steerer of 73 degrees: 10 sin 73 = 9.6 down, 10 cos 73 = 2.9 forward;
     * spacers are good for 0.5 mm (bike/shift.h), better than a plate; what is said is twice that
     */
    ck_assert(stage_keys(stage, DOWN "0"));
    assert_shows(stage, "moves, mm: bars, pads, head, chest down 10, forward 3 (from setup 3).");
    assert_shows(stage, "head \u00B11, chest \u00B11");
    assert_shows(stage, "Good without");
    /* pads by 5 as well, chest on them: 9.6 + 5 down; 0.5 mm each, in quadrature 0.7 */
    struct view *view = stage_lock(stage);
    made_sensor(view, 1)->mount.carrier = CARRIER_PAD_BRACKET;
    stage_unlock(stage);
    ck_assert(stage_keys(stage, DOWN DOWN DOWN DOWN DOWN "35"));
    assert_shows(stage, "bars, head down 10, forward 3; pads, chest down 15, forward 3 (from");
    assert_shows(stage, "chest \u00B11");
    /* another stem's label: a degree of each of 100 mm, 2.5, with the spacers' 0.5 (and the
     * riser's)
     */
    ck_assert(stage_keys(stage, "\033[Z\033[Z\033[Z-17"));
    assert_shows(stage, "head \u00B15, chest \u00B15");
    assert_shows(stage, "Read the plate before a");
    assert_shows(stage, "bolt is touched, and after: head, chest");
    view = stage_lock(stage);
    made_plate(view, 0, 412.0);
    made_plate(view, 1, 412.0);
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "Read the plate after");
    /* nothing follows from a value that is refused */
    ck_assert(stage_keys(stage, "999"));
    ck_assert(!terminal_shows(stage_terminal(stage), "moves,"));
    ck_assert(stage_keys(stage, "\025-6"));
    /* a sensor on a stand stays where it is */
    view = stage_lock(stage);
    made_sensor(view, 0)->mount.carrier = CARRIER_STAND;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "moves, mm: bars down 10, forward 3; pads, chest down 15, forward 3 (from");
    /* a bar that rolls turns the beam with it: -2 degrees. Where the pads then are needs what was
     * not said of them */
    view = stage_lock(stage);
    made_sensor(view, 0)->mount.carrier = CARRIER_BASE_BAR;
    made_snapshot(view)->record.setup[2].bike.value[BIKE_PAD_FORE_AFT] = NAN;
    stage_unlock(stage);
    ck_assert(stage_keys(stage, DOWN DOWN "-2"));
    assert_shows(stage, "Not known: how far the pad bracket moved needs");
    assert_shows(stage, "Beam turns, aim again: head, chest");
    stage_close(stage);
}
END_TEST

START_TEST(going_back_moves_too)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    /* from setup 3, spacers 10 and pads 40, to setup 1, 30 and 60: 20 sin 73 = 19.1 and 20 more */
    ck_assert(stage_keys(stage, "\033OA"
                                "1"));
    assert_shows(stage,
                 "moves, mm: bars, head, chest up 19, back 6; pads up 39, back 6 (from setup 3).");
    stage_close(stage);
}
END_TEST

START_TEST(limits_are_entered_and_taken_back)
{
    struct stage *stage = open_form(MADE_LIVE, "8");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, ESC));
    struct view *view = stage_lock(stage);
    made_snapshot(view)->record.limits.most[BIKE_SPACERS] = 30.0;
    made_snapshot(view)->record.limits.least[BIKE_PAD_RISE] = 15.0;
    made_snapshot(view)->record.limits.most[BIKE_PAD_RISE] = 65.0;
    stage_unlock(stage);
    ck_assert(stage_keys(stage, "8"));
    assert_shows(stage, "LIMITS AND TORQUES FROM THE MAKERS' PAPERS");
    assert_shows(stage, "pad rise 15..65");
    ck_assert(stage_keys(stage, ENTER));
    assert_shows(stage, "! nothing was changed");
    /* slips: a limit in inches, the wrong way round, words */
    static const char *const slips[] = {"400", "30..5", "..", "thirty", "-5", "30in"};
    ck_assert(stage_keys(stage, DOWN));
    for (size_t i = 0; i < sizeof slips / sizeof slips[0]; i++) {
        ck_assert(stage_keys(stage, "\025"));
        ck_assert(stage_keys(stage, slips[i]));
        assert_shows(stage, "spacers: at most 30, between 5..30, at least 5..; all 0 to 150 mm");
        ck_assert(stage_keys(stage, ENTER));
        ck_assert_int_eq(stage_requests(stage), 0);
    }
    ck_assert(stage_keys(stage, "\025" ENTER)); /* emptied */
    ck_assert_str_eq(stage_request(stage, 0), "command: limits spacers=none");
    stage_close(stage);
}
END_TEST

START_TEST(a_limit_passed_is_told_at_the_field)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    struct view *view = stage_lock(stage);
    made_snapshot(view)->record.limits.most[BIKE_SPACERS] = 30.0;
    made_snapshot(view)->record.limits.least[BIKE_PAD_RISE] = 15.0;
    made_snapshot(view)->record.limits.most[BIKE_LIMIT_COLUMN] = 65.0;
    stage_unlock(stage);
    ck_assert(stage_keys(stage, DOWN "20"));
    ck_assert(!terminal_shows(stage_terminal(stage), "limit"));
    ck_assert(stage_keys(stage, "\02530.5"));
    assert_shows(stage, "30.5     ! max 30");
    assert_shows(stage, "! spacers 30.5 mm: over the limit entered, 30 mm; cap, spacers and stem");
    assert_shows(stage, "together 70.5 mm: over the limit entered, 65 mm");
    assert_shows(stage, "moves, mm: bars, pads, head, chest up 20, back 6 (from setup 3).");
    /* told, not refused: the bike may be like that */
    ck_assert(stage_keys(stage, "\02510" DOWN DOWN DOWN DOWN DOWN "10"));
    assert_shows(stage, "10       ! min 15");
    ck_assert(!terminal_shows(stage_terminal(stage), "over"));
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_str_eq(stage_request(stage, 0), "command: setup 4 pad_rise=10");
    stage_close(stage);
}
END_TEST

START_TEST(a_problem_of_the_session_is_shown_in_the_form)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    stage_answer(stage, false, "a hold is in progress: stop it before the bike is changed");
    ck_assert(stage_keys(stage, "bars down" DOWN "5" ENTER));
    ck_assert_int_eq(stage_requests(stage), 1);
    assert_shows(stage, "! a hold is in progress");
    assert_shows(stage, "NEXT SETUP"); /* open, with what was typed */
    assert_shows(stage, "bars down");
    stage_answer(stage, true, "setup 4, build 1");
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_str_eq(stage_request(stage, 1), "command: setup 4 \"bars down\" spacers=5");
    ck_assert(terminal_wait_text(stage_terminal(stage), "setup 4, build 1", 20.0));
    assert_shows(stage, "HOLDLINE");
    stage_close(stage);
}
END_TEST

static int rows_with(struct stage *stage, const char *words)
{
    char row[400];
    int rows = 0;
    for (int r = 0; r < 24; r++) {
        terminal_row(stage_terminal(stage), r, row, sizeof row);
        rows += strstr(row, words) != NULL;
    }
    return rows;
}

/* As it is typed, and where Enter did not take it; of a field further down likewise. */
START_TEST(what_is_wrong_with_a_field_is_said_once)
{
    static const struct {
        const char *form, *keys, *words;
    } wrongs[] = {
        {"r", "11", "effort: 0 to 10"},
        {"2", DOWN "100", "stack: 300 to 800 mm"},
        {"7", "zz", "'zz'"},
    };
    for (size_t w = 0; w < sizeof wrongs / sizeof wrongs[0]; w++) {
        struct stage *stage = open_form(MADE_LIVE, wrongs[w].form);
        if (stage == NULL) {
            return;
        }
        ck_assert(stage_keys(stage, wrongs[w].keys));
        ck_assert_msg(rows_with(stage, wrongs[w].words) == 1, "typed: %s", wrongs[w].words);
        ck_assert(stage_keys(stage, ENTER));
        ck_assert_msg(rows_with(stage, wrongs[w].words) == 1, "not taken: %s", wrongs[w].words);
        stage_close(stage);
    }
}
END_TEST

START_TEST(refusals_of_the_forms)
{
    static const struct {
        const char *form, *keys, *words;
    } refusals[] = {
        {"n",
         "\033OA"
         "2" DOWN DOWN "new" ENTER,
         "setup 2 is there already"},
        {"n", "\033OA" DOWN "7" ENTER, "there is no setup of that number"},
        {"n", DOWN ERASE ERASE ENTER, "spacers was 10: type what it is now"},
        {"1", ERASE ERASE ERASE ERASE ENTER, "code: must be filled in"},
        {"o", ENTER, "note: must be filled in"},
        {"u", ENTER, "reason: say why"},
        {"r", ENTER, "nothing was asked yet"},
        {"r", "11" ENTER, "effort: 0 to 10"},
        {"r", "4.5" ENTER, "effort: a whole number, 0 to 10"},
        {"5", ENTER, "nothing was changed"},
        {"m", ENTER, "type the height of at least one sensor"},
        {"w", "1" ENTER, "2 to 300 mm, or none"},
        {"n", DOWN "5cm" ENTER, "spacers: type it in mm, 0 to 150 mm"},
        {"2", DOWN "100" DOWN, "! 300-800"}, /* beside the field, not cut */
        {"2", DOWN "1in" DOWN, "! in mm"},
        {"2", DOWN "x" DOWN, "! number"},
        {"r", "11" DOWN, "! 0"},
        {"6", ENTER, "nothing was changed"},
        {"7", "\033OC\033OC" ENTER, "block's thickness: measure it"}, /* a step */
        {"7", DOWN DOWN "25" ENTER, "block's thickness: for a step or a beam"},
        {"7", "cal" DOWN DOWN DOWN "200" ENTER, "two or more from the sensor to the plate"},
        {"7", "cal" DOWN DOWN DOWN "near far" ENTER, "known distances: in mm"},
        {"7", "beam" DOWN "\033OD" ENTER, "sensor: say which"},
        {"7", DOWN DOWN DOWN DOWN "0" ENTER, "1 to 36000 s"},
    };
    for (size_t r = 0; r < sizeof refusals / sizeof refusals[0]; r++) {
        struct stage *stage = open_form(MADE_LIVE, refusals[r].form);
        if (stage == NULL) {
            return;
        }
        ck_assert(stage_keys(stage, refusals[r].keys));
        ck_assert_msg(stage_requests(stage) == 0, "%s", stage_request(stage, 0));
        assert_shows(stage, refusals[r].words);
        stage_close(stage);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("forms' fields");
    TCase *tcase = tcase_create("fields");
    tcase_set_timeout(tcase, 120);
    tcase_add_test(tcase, a_wrong_value_is_told_at_once);
    tcase_add_test(tcase, likely_slips_are_asked_about_at_the_field);
    tcase_add_test(tcase, not_a_number_is_told);
    tcase_add_test(tcase, letters_that_mean_no_choice_are_told);
    tcase_add_test(tcase, a_long_problem_is_not_cut);
    tcase_add_test(tcase, what_was_is_shown_beside);
    tcase_add_test(tcase, going_back_shows_that_setup);
    tcase_add_test(tcase, what_moves_is_said_while_it_is_typed);
    tcase_add_test(tcase, going_back_moves_too);
    tcase_add_test(tcase, limits_are_entered_and_taken_back);
    tcase_add_test(tcase, a_limit_passed_is_told_at_the_field);
    tcase_add_test(tcase, a_problem_of_the_session_is_shown_in_the_form);
    tcase_add_test(tcase, what_is_wrong_with_a_field_is_said_once);
    tcase_add_test(tcase, refusals_of_the_forms);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
