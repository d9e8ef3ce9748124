/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

/* The fitter's screen: what it says in which state and at which size. */

/* Of each third of the columns the longest run of rows in which nothing stands. */
START_TEST(no_third_of_a_large_screen_is_empty)
{
    static const struct screen_size sizes[] = {{40, 120}, {60, 200}, {24, 80}};
    for (size_t s = 0; s < sizeof sizes / sizeof sizes[0]; s++) {
        int rows = sizes[s].rows, columns = sizes[s].columns;
        struct stage *stage = open_screen(rows, columns, MADE_LIVE);
        if (stage == NULL) {
            return;
        }
        for (int third = 0; third < 3; third++) {
            int run = 0, longest = 0;
            for (int row = 0; row < rows; row++) {
                bool blank = true;
                for (int c = third * columns / 3; c < (third + 1) * columns / 3; c++) {
                    struct terminal_cell cell;
                    terminal_cell(stage_terminal(stage), row, c, &cell);
                    blank = blank && (cell.text[0] == '\0' || cell.text[0] == ' ') &&
                            cell.background < 0;
                }
                run = blank ? run + 1 : 0;
                longest = run > longest ? run : longest;
            }
            ck_assert_msg(longest < rows / 3, "%d of %d rows of third %d are empty", longest, rows,
                          third + 1);
        }
        stage_close(stage);
    }
}
END_TEST

START_TEST(figures_grow_with_the_screen)
{
    /* blocks of the height beside the head's gauge: a dot is one cell, two, three wide */
    static const struct {
        int rows, columns;
        const char *dot;
    } sizes[] = {{40, 120, "\u2588\u2588\u2588\u2588\u2588\u2588"},
                 {60, 200, "\u2588\u2588\u2588\u2588\u2588\u2588\u2588\u2588\u2588"}};
    for (size_t s = 0; s < 2; s++) {
        struct stage *stage = open_screen(sizes[s].rows, sizes[s].columns, MADE_LIVE);
        if (stage == NULL) {
            return;
        }
        assert_shows(stage, sizes[s].dot);
        stage_close(stage);
    }
}
END_TEST

START_TEST(what_has_happened_stands_on_a_wide_screen)
{
    struct stage *stage = open_screen(60, 200, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    assert_shows(stage, "what has happened");
    assert_shows(stage, "0:15:40  setup 3    spacers out, pads down");
    assert_shows(stage, "setup 1: effort 4, neck 2, sees ahead yes");
    stage_close(stage);
}
END_TEST

START_TEST(a_long_message_has_two_rows_and_the_next_step_stays)
{
    struct stage *stage = open_screen(24, 80, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct view *view = stage_lock(stage);
    text_copy(view->message, sizeof view->message,
              "hold 7 kept, but the head came up after 20 s and stayed there: it counts as two "
              "levels, so look at the sensor first");
    view->message_serial++;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    int row = 0;
    assert_shows(stage, "hold 7 kept");
    ck_assert(terminal_find(stage_terminal(stage), "look at the sensor first", &row, NULL));
    ck_assert_int_eq(row, 23);
    ck_assert(terminal_find(stage_terminal(stage), "SPACE \u25B6", &row, NULL));
    ck_assert_int_eq(row, 21);
    ck_assert(stage_keys(stage, "\033")); /* it goes, and the sensors are back */
    assert_shows(stage, "head ok");
    stage_close(stage);
}
END_TEST

/* Too long for two rows of 80: what happened and what to do are there, the middle is not. */
START_TEST(a_message_that_is_too_long_keeps_its_end)
{
    struct stage *stage = open_screen(24, 80, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct view *view = stage_lock(stage);
    text_copy(
        view->message, sizeof view->message,
        "setup 7, build 2; chest not tied: the parts don't say how far the pads' bracket went up, "
        "because the rise of the pads before this setup is not known, and the reading of the "
        "plate is of another build: give pad_rise, or read the plate here and on setup 1");
    view->message_serial++;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    int row = 0;
    ck_assert(terminal_find(stage_terminal(stage), "setup 7, build 2; chest not tied", &row, NULL));
    ck_assert_int_eq(row, 22);
    ck_assert(
        terminal_find(stage_terminal(stage), "read the plate here and on setup 1", &row, NULL));
    ck_assert_int_eq(row, 23);
    ck_assert(!terminal_find(stage_terminal(stage), "is not known", &row, NULL));
    stage_close(stage);
}
END_TEST

START_TEST(words_of_a_running_hold)
{
    struct stage *stage = open_screen(24, 80, MADE_HOLD_FREE);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    static const char *const words[] = {
        "HOLDLINE",
        "R-07 winter group",
        "training bike",
        "0:38:11",
        "21 min left",
        "SETUP 3",
        "spacers out, pads down",
        "bars \u221219 mm",
        "sensors \u221219 \u00B11 (plate)",
        "HEAD",
        "chin strap",
        "target 884 \u00B12 mm",
        "band +10 \u221220",
        "CHEST",
        "none below",
        "\u25C6 IN",
        "HOLD 6, free",
        "0:41 of 1:00",
        "steady",
        "mean +3 \u00B12",
        "in 87%",
        "\u25B21 \u25BC0",
        "creep +0.4/min",
        "creep \u22120.6/min",
        "setup",
        "holds",
        "as it came",
        "898 \u00B14",
        "baseline",
        "\u25BC lower 12",
        "? 2 more holds",
        "head ok",
        "50.0/s",
        "0 lost",
        "all stored",
        "x stop",
        "s slid",
        "t talked",
        "? keys",
        "q end",
        "hold 5 kept",
    };
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        assert_terminal_shows(terminal, words[i]);
    }
    /* the keys that start a hold do not work now and are not offered */
    ck_assert(!terminal_shows(terminal, "f hold free"));
    stage_close(stage);
}
END_TEST

START_TEST(next_step_is_one_field)
{
    struct stage *stage = open_screen(24, 80, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    int row, column;
    struct terminal_cell cell;
    ck_assert(terminal_find(terminal, "SPACE \u25B6 free hold 2 of 4 on this build, 30 s", &row,
                            &column));
    ck_assert_int_eq(row, 22);
    terminal_cell(terminal, row, column, &cell);
    ck_assert_int_eq(cell.foreground, 16);
    ck_assert_int_eq(cell.background, 74); /* sky blue */
    stage_close(stage);
}
END_TEST

START_TEST(states_say_what_they_are)
{
    static const struct {
        enum made_view kind;
        const char *words[5];
    } states[] = {
        {MADE_EMPTY,
         {"no rider entered yet", "no setup entered yet", "No sensor is heard yet", "waiting",
          "no sensors yet"}},
        {MADE_FIRST,
         {"range only", "no target yet", "setups: none yet", "SPACE",
          "live: everything is recorded"}},
        {MADE_SETTLING, {"HOLD 6, free", "starts in 5 s", "x stop", NULL, NULL}},
        {MADE_HOLD_GUIDED, {"HOLD 6, guided", "0:41 of 1:00", NULL, NULL, NULL}},
        {MADE_TARGET,
         {"TARGET", "known to \u00B12, wanted \u00B13 mm", "SPACE \u25B6 keep the target",
          "y keep it", NULL}},
        {MADE_PLATE, {"PLATE", "0:02 of 0:05", "x stop", NULL, NULL}},
        {MADE_TROUBLE,
         {"LINK DOWN", "store is full: 1,204", "! the link to the sensors is down", NULL, NULL}},
    };
    for (size_t i = 0; i < sizeof states / sizeof states[0]; i++) {
        struct stage *stage = open_screen(24, 80, states[i].kind);
        if (stage == NULL) {
            return;
        }
        for (int w = 0; w < 5 && states[i].words[w] != NULL; w++) {
            assert_shows(stage, states[i].words[w]);
        }
        stage_close(stage);
    }
}
END_TEST

static void let_link_fall(struct view *view, bool down)
{
    view->health.link_down = down;
    view->health.silent = !down;
    view_forget_live(view);
}

/* Large digits, a cue and a bar at the edge are of what is: none of them is left, nor an 'ok'. */
START_TEST(what_was_heard_last_is_not_shown_as_what_is)
{
    for (int kind = MADE_LIVE; kind <= MADE_HOLD_GUIDED; kind++) {
        for (int down = 0; down < 2; down++) {
            static char text[65536];
            struct stage *stage = open_screen(24, 80, (enum made_view)kind);
            if (stage == NULL) {
                return;
            }
            assert_shows(stage, "\u25C6 IN");
            assert_shows(stage, "head ok");
            let_link_fall(stage_lock(stage), down != 0);
            stage_unlock(stage);
            ck_assert(stage_drawn(stage));
            terminal_text(stage_terminal(stage), text, sizeof text);
            ck_assert_msg(strstr(text, "\u25C6 IN") == NULL && strstr(text, " ok ") == NULL &&
                              strstr(text, "\u2580\u2580\u2588") == NULL &&
                              strstr(text, "\u2588\u2580\u2588") == NULL,
                          "%s", text);
            assert_shows(stage, "NO READING");
            assert_shows(stage, down != 0 ? "LINK DOWN: is the cable in?"
                                          : "NOTHING HEARD: is the board running?");
            stage_close(stage);
        }
    }
}
END_TEST

START_TEST(digits_stand_whole_beside_the_gauge)
{
    static char text[65536];
    for (int i = 1; i < SCREEN_SIZES; i++) {
        struct stage *stage = open_screen(screen_sizes[i].rows, screen_sizes[i].columns, MADE_LIVE);
        if (stage == NULL) {
            return;
        }
        for (int mm = -40; mm <= 40; mm += 3) {
            struct view *view = stage_lock(stage);
            view->channel[0].shown_mm = view->channel[0].target_mm + mm;
            stage_unlock(stage);
            ck_assert(stage_drawn(stage));
            terminal_text(stage_terminal(stage), text, sizeof text);
            ck_assert_msg(strstr(text, "\u2588 \u2026") == NULL &&
                              strstr(text, "\u2580 \u2026") == NULL,
                          "%+d mm:\n%s", mm, text);
        }
        stage_close(stage);
    }
}
END_TEST

START_TEST(a_title_without_a_mark_on_the_body)
{
    struct stage *stage = open_screen(24, 80, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    made_sensor(stage_lock(stage), 0)->mark[0] = '\0';
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "HEAD  target 884 \u00B12 mm, band +10 \u221220");
    stage_close(stage);
}
END_TEST

START_TEST(sensors_trouble_is_named)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *stage = stage_open(&settings, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    struct view *view = stage_lock(stage);
    view->health.channel[0].stuck = true;
    view->health.channel[1].blocked = true;
    view->health.rate_differs = true;
    view->health.rate_hz = 30.2; /* what arrives; what is sent is told */
    view->health.sent_rate_hz = 41.3;
    view->health.lost = 17;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_terminal_shows(terminal, "head stuck");
    assert_terminal_shows(terminal, "chest blocked");
    assert_terminal_shows(terminal, "41.3/s, not 50.0");
    assert_terminal_shows(terminal, "17 lost");
    int row, column;
    struct terminal_cell cell;
    ck_assert(terminal_find(terminal, "head stuck", &row, &column));
    terminal_cell(terminal, row, column, &cell);
    ck_assert_int_eq(cell.background, 227);
    stage_close(stage);
}
END_TEST

START_TEST(a_wide_screen_says_how_well_the_time_is_known)
{
    static const int columns[] = {120, 80};
    for (int i = 0; i < 2; i++) {
        struct terminal_settings settings = {.rows = 40, .columns = columns[i]};
        struct stage *stage = stage_open(&settings, MADE_LIVE);
        if (stage == NULL) {
            return;
        }
        struct view *view = stage_lock(stage);
        view->health.clock_known = true;
        view->health.clock_error_ms = 0.24;
        stage_unlock(stage);
        ck_assert(stage_drawn(stage));
        int row, column;
        ck_assert(terminal_find(stage_terminal(stage), "clock to 0.2 ms", &row, &column) ==
                  (columns[i] == 120));
        stage_close(stage);
    }
}
END_TEST

START_TEST(clock_says_what_still_fits)
{
    static const struct {
        int rows, columns;
        const char *words;
    } sizes[] = {{12, 40, "21 min left"},
                 {24, 80, "0:38:11 \u00B7 21 min left"},
                 {40, 120, "0:38:11 \u00B7 21 min left: 1 more setup, then back to setup 1"}};
    for (int i = 0; i < 3; i++) {
        struct stage *stage = open_screen(sizes[i].rows, sizes[i].columns, MADE_LIVE);
        if (stage == NULL) {
            return;
        }
        assert_shows(stage, sizes[i].words);
        stage_close(stage);
    }
}
END_TEST

START_TEST(power_and_cadence_stand_beside_the_sensors)
{
    struct terminal_settings settings = {.rows = 40, .columns = 120};
    struct stage *stage = stage_open(&settings, MADE_MANY);
    if (stage == NULL) {
        return;
    }
    struct view *view = stage_lock(stage);
    text_copy(made_sensor(view, 2)->name, sizeof made_sensor(view, 2)->name, "power");
    made_sensor(view, 2)->role = ROLE_AUXILIARY;
    view->health.channel[2].last_mm = 214.0;
    text_copy(made_sensor(view, 3)->name, sizeof made_sensor(view, 3)->name, "cadence");
    view->health.channel[3].last_mm = 88.4;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "power 214 W  cadence 88 rpm");
    ck_assert(!terminal_shows(stage_terminal(stage), "POWER")); /* no panel, no cue */
    ck_assert(!terminal_shows(stage_terminal(stage), "CADENCE"));
    stage_close(stage);
}
END_TEST

START_TEST(names_of_any_script_keep_the_layout)
{
    static const char *const names[] = {
        "e\u0301a\u0308o\u0302 combining",                              /* combining marks */
        "\u65E5\u672C\u8A9E\u306E\u30E9\u30A4\u30C0\u30FC\u65E5\u672C", /* wide */
        "\u05E8\u05D5\u05DB\u05D1 \u0631\u0627\u0643\u0628",            /* right to left */
        ("a\033[2Jb\007c\ttab\xC2\x9B"
         "x\u202Ereversed"),       /* control characters */
        "\xC3(\xFF\xFE bad bytes", /* no sound UTF-8 */
    };
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        struct stage *stage = open_screen(24, 80, MADE_HOLD_FREE);
        if (stage == NULL) {
            return;
        }
        struct terminal *terminal = stage_terminal(stage);
        static char before[64 * 1024], after[64 * 1024];
        terminal_text(terminal, before, sizeof before);
        struct view *view = stage_lock(stage);
        struct session_record *record = &made_snapshot(view)->record;
        text_copy(record->rider.name, sizeof record->rider.name, names[i]);
        text_copy(record->setup[2].intent, sizeof record->setup[2].intent, names[i]);
        text_copy(view->message, sizeof view->message, names[i]);
        view->message_serial++;
        stage_unlock(stage);
        ck_assert(stage_drawn(stage));
        terminal_text(terminal, after, sizeof after);
        /* the rows without a name are as before, and what ends a row with one stands where it stood
         */
        char line[4096], other[4096];
        const char *a = before, *b = after;
        for (int row = 0; row < 24; row++) {
            size_t la = strcspn(a, "\n"), lb = strcspn(b, "\n");
            snprintf(line, sizeof line, "%.*s", (int)la, a);
            snprintf(other, sizeof other, "%.*s", (int)lb, b);
            bool named = row == 0 || row == 1 || row == 20 || row == 23;
            if (!named) {
                ck_assert_str_eq(line, other);
            }
            a += la + 1;
            b += lb + 1;
        }
        int row, column;
        ck_assert(terminal_find(terminal, "0:38:11 \u00B7 21 min left", &row, &column));
        ck_assert_int_eq(row, 0);
        ck_assert_int_eq(column, 58);
        ck_assert(terminal_find(terminal, "875 \u00B16*", &row, &column));
        ck_assert_int_eq(row, 20);
        ck_assert_int_eq(column, 27);
        stage_close(stage);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fitter's screen");
    TCase *tcase = tcase_create("fitter");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, no_third_of_a_large_screen_is_empty);
    tcase_add_test(tcase, figures_grow_with_the_screen);
    tcase_add_test(tcase, what_has_happened_stands_on_a_wide_screen);
    tcase_add_test(tcase, a_long_message_has_two_rows_and_the_next_step_stays);
    tcase_add_test(tcase, a_message_that_is_too_long_keeps_its_end);
    tcase_add_test(tcase, words_of_a_running_hold);
    tcase_add_test(tcase, next_step_is_one_field);
    tcase_add_test(tcase, states_say_what_they_are);
    tcase_add_test(tcase, what_was_heard_last_is_not_shown_as_what_is);
    tcase_add_test(tcase, digits_stand_whole_beside_the_gauge);
    tcase_add_test(tcase, a_title_without_a_mark_on_the_body);
    tcase_add_test(tcase, sensors_trouble_is_named);
    tcase_add_test(tcase, a_wide_screen_says_how_well_the_time_is_known);
    tcase_add_test(tcase, clock_says_what_still_fits);
    tcase_add_test(tcase, power_and_cadence_stand_beside_the_sensors);
    tcase_add_test(tcase, names_of_any_script_keep_the_layout);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
