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

static void set_asked(struct stage *stage, int channel, double above_mm, enum cue_state cue)
{
    struct view *view = stage_lock(stage);
    for (int c = 0; c < 2; c++) {
        double mm = c == channel ? above_mm : 0.0;
        view->channel[c].slow_mm = view->channel[c].quick_mm = view->channel[c].target_mm + mm;
        view->channel[c].cue = c == channel ? cue : CUE_IN;
    }
    view->asked_channel = channel;
    view->asked_cue = cue;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
}

static bool is_block(struct terminal *terminal, int row, int column)
{
    struct terminal_cell cell;
    terminal_cell(terminal, row, column, &cell);
    return strcmp(cell.text, "\u2588") == 0 || strcmp(cell.text, "\u2580") == 0 ||
           strcmp(cell.text, "\u2584") == 0;
}

/* The shape at 80x24: rows 1 to 6, from column 20 on, 13 columns. Columns from the first block to
 * the last of a row. */
static int shape_span(struct terminal *terminal, int row)
{
    int first = -1, last = -1;
    for (int column = 20; column < 33; column++) {
        if (is_block(terminal, row, column)) {
            first = first < 0 ? column : first;
            last = column;
        }
    }
    return first < 0 ? 0 : last - first + 1;
}

START_TEST(shape_points_where_to_go)
{
    struct stage *stage = open_rider(MADE_HOLD_GUIDED, 24, 80, NULL);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    set_asked(stage, 0, 15.0, CUE_HIGH);
    ck_assert_int_gt(shape_span(terminal, 1), 10); /* its point is below */
    ck_assert_int_lt(shape_span(terminal, 6), 5);
    ck_assert_int_gt(shape_span(terminal, 6), 0);
    set_asked(stage, 0, -25.0, CUE_LOW);
    ck_assert_int_lt(shape_span(terminal, 1), 5);
    ck_assert_int_gt(shape_span(terminal, 1), 0);
    ck_assert_int_gt(shape_span(terminal, 6), 10);
    set_asked(stage, 0, 1.0, CUE_IN);
    ck_assert_int_lt(shape_span(terminal, 1), 5); /* a lozenge */
    ck_assert_int_gt(shape_span(terminal, 3), 10);
    ck_assert_int_lt(shape_span(terminal, 6), 5);
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
        set_asked(stage, 0, cues[c].above_mm, cues[c].cue);
        struct terminal_cell cell;
        terminal_cell(stage_terminal(stage), 2, 78, &cell);
        ck_assert_int_eq(cell.background, cues[c].ground);
    }
    stage_close(stage);
}
END_TEST

/* The middle of the slab on a scale at 80x24, in half-rows from the top; two of them thick. The
 * head's scale is in columns 1 to 7, the chest's in 10 to 16. The slab goes all across; the wedge
 * does not. */
static double slab_at(struct terminal *terminal, int column)
{
    double sum = 0.0;
    int count = 0;
    for (int row = 0; row < 18; row++) {
        struct terminal_cell cell;
        terminal_cell(terminal, row, column, &cell);
        bool upper = strcmp(cell.text, "\u2580") == 0, lower = strcmp(cell.text, "\u2584") == 0,
             both = strcmp(cell.text, "\u2588") == 0;
        sum += (upper || both ? 2 * row + 0.5 : 0.0) + (lower || both ? 2 * row + 1.5 : 0.0);
        count += (upper || both) + (lower || both);
    }
    return count > 0 ? sum / count : -1.0;
}

START_TEST(body_is_at_its_height_on_an_upright_scale)
{
    struct stage *stage = open_rider(MADE_HOLD_GUIDED, 24, 80, NULL);
    if (stage == NULL) {
        return;
    }
    /* 18 rows: the head's from +40 (twice the wider limit) down to -40, the chest's +30 to -30 */
    static const struct {
        int channel, column;
        double above_mm, reach_mm;
        enum cue_state cue;
    } rows[] = {{0, 1, 0.0, 40.0, CUE_IN},     {0, 1, 25.0, 40.0, CUE_HIGH},
                {0, 1, -30.0, 40.0, CUE_LOW},  {0, 1, 8.0, 40.0, CUE_IN},
                {1, 10, 20.0, 30.0, CUE_HIGH}, {1, 10, -20.0, 30.0, CUE_IN}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        set_asked(stage, rows[i].channel, rows[i].above_mm, rows[i].cue);
        double wanted = (rows[i].reach_mm - rows[i].above_mm) / (2.0 * rows[i].reach_mm) * 36.0;
        double at = slab_at(stage_terminal(stage), rows[i].column);
        ck_assert_msg(fabs(at - wanted) <= 1.0, "%.0f mm at %.1f, wanted %.1f", rows[i].above_mm,
                      at, wanted);
    }
    set_asked(stage, 0, 300.0, CUE_HIGH); /* further out than the scale: at its end */
    ck_assert_double_lt(slab_at(stage_terminal(stage), 1), 2.1);
    stage_close(stage);
}
END_TEST

/* The wedge's widths row by row in the head's scale, from row `from` on to the band's edge. */
START_TEST(a_wedge_leads_into_the_band)
{
    struct stage *stage = open_rider(MADE_HOLD_GUIDED, 24, 80, NULL);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    set_asked(stage, 0, 35.0, CUE_HIGH); /* the slab is in rows 0 and 1, the band from row 7 on */
    int before = 8;
    for (int row = 2; row < 6; row++) {
        int width = 0;
        for (int column = 1; column <= 7; column++) {
            width += is_block(terminal, row, column);
        }
        ck_assert_int_ge(width, 1);
        ck_assert_int_le(width, before);
        ck_assert(is_block(terminal, row, 4)); /* in the middle */
        before = width;
    }
    ck_assert_int_le(before, 3);
    ck_assert(!is_block(terminal, 8, 4)); /* not into the band */
    stage_close(stage);
}
END_TEST

START_TEST(channels_that_are_in_take_no_turns)
{
    static char before[256 * 1024];
    struct stage *stage = open_rider(MADE_HOLD_GUIDED, 24, 80, NULL);
    if (stage == NULL) {
        return;
    }
    set_asked(stage, 0, 0.0, CUE_IN);
    terminal_text(stage_terminal(stage), before, sizeof before);
    set_asked(stage, 1, 0.0, CUE_IN);
    terminal_text(stage_terminal(stage), text, sizeof text);
    ck_assert_str_eq(text, before);
    stage_close(stage);
}
END_TEST

/* ---- letters that are read from two metres ----------------------------------------------------
 */

/* ISO 9241-303:2011, 5.5.4: characters of 20 to 22 minutes of arc are preferred. A screen of 13
 * inches across, 16:9, filled by a terminal of 24 rows. */
#define MINUTES_WANTED 20.0
#define DISTANCE_MM 2000.0
static double minutes_of_arc(double half_rows)
{
    double screen_mm = 13.0 * 25.4 * 9.0 / sqrt(16.0 * 16.0 + 9.0 * 9.0);
    double high_mm = half_rows * screen_mm / 24.0 / 2.0;
    return 2.0 * atan(high_mm / 2.0 / DISTANCE_MM) * 180.0 / 3.14159265358979 * 60.0;
}

/* Rows from the first to the last with a block, of the columns of a letter. */
static int block_rows(struct terminal *terminal, int first_row, int end_row, int column, int end)
{
    int first = -1, last = -1;
    for (int row = first_row; row < end_row; row++) {
        for (int c = column; c < end; c++) {
            if (is_block(terminal, row, c)) {
                first = first < 0 ? row : first;
                last = row;
            }
        }
    }
    return first < 0 ? 0 : last - first + 1;
}

static void assert_no_plain_letters(struct terminal *terminal)
{
    terminal_text(terminal, text, sizeof text);
    for (const char *next = text; *next != '\0'; next++) {
        bool plain = (*next >= 'a' && *next <= 'z') || (*next >= 'A' && *next <= 'Z') ||
                     (*next >= '0' && *next <= '9');
        ck_assert_msg(!plain, "a letter of the terminal's own size:\n%s", text);
    }
}

/* The smallest letters of blocks are five half-rows. */
START_TEST(all_that_the_rider_reads_is_large_enough)
{
    ck_assert_double_ge(minutes_of_arc(5.0), MINUTES_WANTED);
    ck_assert_double_lt(minutes_of_arc(2.0), MINUTES_WANTED); /* the terminal's own are not */
    static const enum made_view kinds[] = {MADE_EMPTY,    MADE_FIRST,     MADE_LIVE,
                                           MADE_SETTLING, MADE_HOLD_FREE, MADE_HOLD_GUIDED,
                                           MADE_TARGET,   MADE_PLATE,     MADE_CHECK};
    for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
        struct stage *stage = open_rider(kinds[k], 24, 80, NULL);
        if (stage == NULL) {
            return;
        }
        assert_no_plain_letters(stage_terminal(stage));
        stage_close(stage);
    }
}
END_TEST

START_TEST(so_are_all_states_of_a_guided_hold)
{
    static const enum cue_state cues[] = {CUE_NO_READING, CUE_IN, CUE_HIGH, CUE_LOW};
    static const struct screen_size sizes[] = {{24, 80}, {20, 40}, {12, 40}, {40, 120}, {60, 200}};
    for (size_t s = 0; s < sizeof sizes / sizeof sizes[0]; s++) {
        struct stage *stage = open_rider(MADE_HOLD_GUIDED, sizes[s].rows, sizes[s].columns, NULL);
        if (stage == NULL) {
            return;
        }
        for (int channel = 0; channel < 2; channel++) {
            for (int c = 0; c < 4; c++) {
                set_asked(stage, channel, c == 2 ? 25.0 : c == 3 ? -35.0 : 0.0, cues[c]);
                assert_no_plain_letters(stage_terminal(stage));
            }
        }
        /* the time, at the right below: as high a share of any terminal */
        int rows = sizes[s].rows, columns = sizes[s].columns;
        int high = block_rows(stage_terminal(stage), rows - rows / 5, rows, columns / 3, columns);
        ck_assert_double_ge(minutes_of_arc(2.0 * (high - 0.5) * 24.0 / rows), MINUTES_WANTED);
        stage_close(stage);
    }
}
END_TEST

START_TEST(a_check_of_the_rider_is_told_in_large_letters)
{
    static const char *const asks[] = {
        "pedal evenly in the posture", "nod slowly, deep, and go on pedalling",
        "keep the body still; wave the hands, move the thumbs, touch the straw",
        "come up with the whole body, and down"};
    struct stage *stage = open_rider(MADE_CHECK, 24, 80, NULL);
    if (stage == NULL) {
        return;
    }
    for (int a = 0; a < 4; a++) {
        struct view *view = stage_lock(stage);
        view->check.kind = CHECK_RIDER;
        view->check.waits_for_go = false;
        view->check.left_s = 12.0;
        snprintf(view->check.ask, sizeof view->check.ask, "%s", asks[a]);
        stage_unlock(stage);
        ck_assert(stage_drawn(stage));
        assert_no_plain_letters(stage_terminal(stage));
    }
    stage_close(stage);
}
END_TEST

START_TEST(free_holds_show_the_time_only)
{
    struct stage *stage = open_rider(MADE_HOLD_FREE, 24, 80, "C");
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
    set_asked(stage, 0, 15.0, CUE_HIGH);
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

/* The page with large words opens by itself, shows what is next and no gauge, and takes the guess
 * by one key. What the hold came to is not told before. */
START_TEST(a_rider_alone_is_led)
{
    struct stage *stage = open_with_key(24, 80, MADE_LIVE, "z");
    if (stage == NULL) {
        return;
    }
    ck_assert(terminal_shows(stage_terminal(stage), "HOLDLINE"));
    struct view *view = stage_lock(stage);
    view->phase = VIEW_LIVE;
    view->alone = view->guess_due = true;
    snprintf(view->next_step, sizeof view->next_step, "guess");
    snprintf(view->message, sizeof view->message, "hold 3: head 91 %% in band");
    view->message_serial++;
    view->serial++;
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    ck_assert(!terminal_shows(stage_terminal(stage), "HOLDLINE"));
    ck_assert(!terminal_shows(stage_terminal(stage), "91 %"));
    int before = stage_requests(stage);
    ck_assert(stage_keys(stage, "7"));
    ck_assert(stage_keys(stage, "+"));
    ck_assert_int_eq(stage_requests(stage), before + 2);
    ck_assert_str_eq(stage_request(stage, before), "command: guess 7");
    ck_assert_str_eq(stage_request(stage, before + 1), "command: guess 10");
    /* a guess that comes late opens none of the fitter's forms */
    view = stage_lock(stage);
    view->guess_due = false;
    view->serial++;
    stage_unlock(stage);
    ck_assert(stage_keys(stage, "8"));
    ck_assert(terminal_shows(stage_terminal(stage), "nothing is to be guessed now"));
    ck_assert_int_eq(stage_requests(stage), before + 2);
    ck_assert(stage_keys(stage, "v"));
    ck_assert(terminal_shows(stage_terminal(stage), "HOLDLINE"));
    stage_close(stage);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rider's screen");
    TCase *tcase = tcase_create("rider");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, shape_points_where_to_go);
    tcase_add_test(tcase, field_has_the_cues_colour);
    tcase_add_test(tcase, body_is_at_its_height_on_an_upright_scale);
    tcase_add_test(tcase, a_wedge_leads_into_the_band);
    tcase_add_test(tcase, channels_that_are_in_take_no_turns);
    tcase_add_test(tcase, all_that_the_rider_reads_is_large_enough);
    tcase_add_test(tcase, so_are_all_states_of_a_guided_hold);
    tcase_add_test(tcase, a_check_of_the_rider_is_told_in_large_letters);
    tcase_add_test(tcase, free_holds_show_the_time_only);
    tcase_add_test(tcase, time_is_as_tall_as_the_room);
    tcase_add_test(tcase, words_are_large);
    tcase_add_test(tcase, trouble_is_told_to_the_rider_screen_too);
    tcase_add_test(tcase, a_rider_alone_is_led);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
