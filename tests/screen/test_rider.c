/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The rider's screen: one thing, large; the time only in free holds; tones. */

static char text[256 * 1024];

static struct stage *open_rider(enum made_view kind, int rows, int columns, const char *locale)
{
    struct terminal_settings settings = {.rows = rows, .columns = columns, .locale = locale};
    return open_on_terminal(&settings, kind, "v");
}

static void set_worst(struct stage *stage, double above_mm, enum cue_state cue)
{
    struct view *view = stage_lock(stage);
    view->channel[0].slow_mm = view->channel[0].quick_mm = 884.0 + above_mm;
    view->channel[0].cue = cue;
    view->worst_channel = 0;
    view->worst_cue = cue;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
}

/* Rows of the screen that hold the shape: runs of blocks in the left third, top to bottom. */
static int shape_widths(struct terminal *terminal, int rows, int columns, int widths[200])
{
    int count = 0;
    for (int row = 0; row < rows; row++) {
        int width = 0;
        for (int column = 0; column < columns / 4; column++) {
            struct terminal_cell cell;
            terminal_cell(terminal, row, column, &cell);
            width += strcmp(cell.text, "\u2588") == 0 && cell.foreground == 16;
        }
        if (width > 0) {
            widths[count++] = width;
        }
    }
    return count;
}

START_TEST(shape_points_as_the_body_is)
{
    struct stage *stage = open_rider(MADE_HOLD_GUIDED, 24, 80, NULL);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    int widths[200];
    set_worst(stage, 15.0, CUE_HIGH);
    int count = shape_widths(terminal, 24, 80, widths);
    ck_assert_int_ge(count, 5);
    ck_assert_int_lt(widths[0], widths[count - 1]); /* narrow above: it points up */
    set_worst(stage, -25.0, CUE_LOW);
    count = shape_widths(terminal, 24, 80, widths);
    ck_assert_int_ge(count, 5);
    ck_assert_int_gt(widths[0], widths[count - 1]);
    set_worst(stage, 1.0, CUE_IN);
    count = shape_widths(terminal, 24, 80, widths);
    ck_assert_int_ge(count, 5);
    ck_assert_int_lt(widths[0], widths[count / 2]); /* a lozenge */
    ck_assert_int_lt(widths[count - 1], widths[count / 2]);
    stage_close(stage);
}
END_TEST

START_TEST(field_has_the_cues_colour)
{
    static const struct {
        double above_mm;
        enum cue_state cue;
        int ground;
    } cues[] = {{1.0, CUE_IN, 36}, {15.0, CUE_HIGH, 214}, {-25.0, CUE_LOW, 175}};
    struct stage *stage = open_rider(MADE_HOLD_GUIDED, 24, 80, NULL);
    if (stage == NULL) {
        return;
    }
    for (int c = 0; c < 3; c++) {
        set_worst(stage, cues[c].above_mm, cues[c].cue);
        struct terminal_cell cell;
        terminal_cell(stage_terminal(stage), 2, 78, &cell);
        ck_assert_int_eq(cell.background, cues[c].ground);
    }
    stage_close(stage);
}
END_TEST

/* Column of the needle in the lying gauge: the field's colour in the row above 'low ... high'. */
static int needle_column(struct terminal *terminal, int columns, int ground)
{
    int row;
    ck_assert(terminal_find(terminal, "high \u25B2", &row, NULL));
    for (int column = 0; column < columns; column++) {
        struct terminal_cell cell;
        terminal_cell(terminal, row - 1, column, &cell);
        if (cell.background == ground) {
            return column;
        }
    }
    return -1;
}

START_TEST(needle_is_where_the_body_is)
{
    struct stage *stage = open_rider(MADE_HOLD_GUIDED, 24, 80, NULL);
    if (stage == NULL) {
        return;
    }
    /* the bar reaches from -40 to +40 (twice the wider limit) in 78 columns from column 1 */
    static const double heights[] = {-30.0, -10.0, 0.0, 8.0, 25.0};
    for (int i = 0; i < 5; i++) {
        set_worst(stage, heights[i], CUE_IN);
        int column = needle_column(stage_terminal(stage), 80, 36);
        double wanted = 1.0 + (heights[i] + 40.0) * 78.0 / 80.0;
        ck_assert_msg(fabs(column - wanted) <= 1.0, "%.0f mm in column %d, wanted %.1f", heights[i],
                      column, wanted);
    }
    /* further out than the bar: at its end */
    set_worst(stage, 300.0, CUE_IN);
    ck_assert_int_ge(needle_column(stage_terminal(stage), 80, 36), 77);
    stage_close(stage);
}
END_TEST

START_TEST(free_holds_show_the_time_only)
{
    static const enum made_view kinds[] = {MADE_HOLD_FREE, MADE_SETTLING};
    for (int k = 0; k < 2; k++) {
        struct stage *stage = open_rider(kinds[k], 24, 80, "C");
        if (stage == NULL) {
            return;
        }
        struct terminal *terminal = stage_terminal(stage);
        terminal_text(terminal, text, sizeof text);
        /* no word, no gauge: blocks only */
        for (const char *next = text; *next != '\0'; next++) {
            ck_assert_msg(strchr("#\".\n ", *next) != NULL, "more than the time:\n%s", text);
        }
        ck_assert_ptr_nonnull(strchr(text, '#'));
        stage_close(stage);
    }
}
END_TEST

START_TEST(time_is_as_tall_as_the_room)
{
    static const struct {
        int rows, columns, least;
    } sizes[] = {{12, 40, 6}, {24, 80, 13}, {40, 120, 20}, {60, 200, 35}};
    for (int i = 0; i < 4; i++) {
        struct stage *stage = open_rider(MADE_HOLD_FREE, sizes[i].rows, sizes[i].columns, NULL);
        if (stage == NULL) {
            return;
        }
        int used = 0;
        char line[4096];
        for (int row = 0; row < sizes[i].rows; row++) {
            terminal_row(stage_terminal(stage), row, line, sizeof line);
            used += line[0] != '\0';
        }
        ck_assert_msg(used >= sizes[i].least, "%d rows of %dx%d", used, sizes[i].columns,
                      sizes[i].rows);
        stage_close(stage);
    }
}
END_TEST

START_TEST(words_are_large)
{
    struct stage *stage = open_rider(MADE_HOLD_GUIDED, 40, 120, NULL);
    if (stage == NULL) {
        return;
    }
    set_worst(stage, 15.0, CUE_HIGH);
    terminal_text(stage_terminal(stage), text, sizeof text);
    ck_assert(strstr(text, "HIGH") == NULL); /* it is made of blocks, not letters */
    ck_assert(strstr(text, "HEAD") == NULL);
    ck_assert(strstr(text, "\u2588\u2588\u2588\u2588") != NULL);
    stage_close(stage);
}
END_TEST

START_TEST(trouble_is_told_to_the_rider_screen_too)
{
    struct stage *stage = open_rider(MADE_TROUBLE, 24, 80, NULL);
    if (stage == NULL) {
        return;
    }
    ck_assert(terminal_shows(stage_terminal(stage), "the link to the sensors is down"));
    ck_assert(stage_keys(stage, "v"));
    ck_assert(terminal_shows(stage_terminal(stage), "HOLDLINE"));
    stage_close(stage);
}
END_TEST

START_TEST(three_two_one_start_and_end_ring)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *stage = stage_open(&settings, MADE_SETTLING); /* 4.6 s to go, then 60 s */
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    ck_assert(stage_drawn(stage));
    ck_assert_int_eq(terminal_bells(terminal), 0);
    for (int i = 0; i < 46; i++) {
        stage_step(stage, 0.1);
    }
    stage_step(stage, 0.1);
    ck_assert_int_eq(terminal_bells(terminal), 4); /* three, two, one, start */
    struct view *view = stage_lock(stage);
    view->elapsed_s = 55.0;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    ck_assert_int_eq(terminal_bells(terminal), 4);
    for (int i = 0; i < 55; i++) {
        stage_step(stage, 0.1);
    }
    ck_assert_int_eq(terminal_bells(terminal), 8); /* three, two, one, end */
    stage_close(stage);
}
END_TEST

/* Until a target's length is proposed nothing ends: no three, two, one. */
START_TEST(a_target_rings_when_it_ends)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *stage = stage_open(&settings, MADE_TARGET);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    struct view *view = stage_lock(stage);
    view->length_proposed = false;
    view->elapsed_s = 15.0;
    view->planned_s = 20.0;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    int before = terminal_bells(terminal);
    for (int i = 0; i < 49; i++) {
        stage_step(stage, 0.1);
    }
    ck_assert(terminal_shows(terminal, "it is seen how long it takes"));
    ck_assert_int_eq(terminal_bells(terminal), before);
    view = stage_lock(stage);
    view->length_proposed = true;
    view->planned_s = 25.0;
    stage_unlock(stage);
    for (int i = 0; i < 52; i++) {
        stage_step(stage, 0.1);
    }
    ck_assert_int_eq(terminal_bells(terminal), before + 4); /* three, two, one, end */
    stage_close(stage);
}
END_TEST

START_TEST(tones_can_be_switched_off)
{
    struct stage *stage = open_with_key(24, 80, MADE_SETTLING, "z");
    if (stage == NULL) {
        return;
    }
    ck_assert(terminal_shows(stage_terminal(stage), "tones off"));
    for (int i = 0; i < 60; i++) {
        stage_step(stage, 0.1);
    }
    ck_assert_int_eq(terminal_bells(stage_terminal(stage)), 0);
    ck_assert(stage_keys(stage, "z"));
    ck_assert(terminal_shows(stage_terminal(stage), "tones on"));
    stage_close(stage);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rider's screen");
    TCase *tcase = tcase_create("rider");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, shape_points_as_the_body_is);
    tcase_add_test(tcase, field_has_the_cues_colour);
    tcase_add_test(tcase, needle_is_where_the_body_is);
    tcase_add_test(tcase, free_holds_show_the_time_only);
    tcase_add_test(tcase, time_is_as_tall_as_the_room);
    tcase_add_test(tcase, words_are_large);
    tcase_add_test(tcase, trouble_is_told_to_the_rider_screen_too);
    tcase_add_test(tcase, three_two_one_start_and_end_ring);
    tcase_add_test(tcase, a_target_rings_when_it_ends);
    tcase_add_test(tcase, tones_can_be_switched_off);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
