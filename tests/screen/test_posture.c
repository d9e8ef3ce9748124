/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Where the posture stands on the fitter's screen: marks, history and gauge on one axis, the cue's
 * colour and shape, the digits. */

static int row_with(struct terminal *terminal, const char *text, int from)
{
    char line[4096];
    for (int row = from; row < 200; row++) {
        terminal_row(terminal, row, line, sizeof line);
        if (strstr(line, text) != NULL) {
            return row;
        }
    }
    return -1;
}

/* Rows between which a height must stand when two numbers of the axis are known. */
static double row_of_height(int row_a, double a_mm, int row_b, double b_mm, double mm)
{
    return row_a + (a_mm - mm) * (row_b - row_a) / (a_mm - b_mm);
}

START_TEST(marks_history_and_gauge_share_the_axis)
{
    static const struct {
        int rows, columns;
    } sizes[] = {{24, 80}, {40, 120}, {60, 200}};
    for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
        struct terminal_settings settings = {.rows = sizes[i].rows, .columns = sizes[i].columns};
        struct stage *stage = stage_open(&settings, MADE_LIVE);
        if (stage == NULL) {
            return;
        }
        struct terminal *terminal = stage_terminal(stage);
        /* the posture stands at +6 over the target for the whole history */
        struct view *view = stage_lock(stage);
        struct view_channel *head = &view->channel[0];
        for (int p = 0; p < VIEW_HISTORY; p++) {
            made_of(view)->history.point[0][p].slow_mm = 890.0F;
        }
        head->slow_mm = head->quick_mm = head->shown_mm = 890.0;
        stage_unlock(stage);
        ck_assert(stage_drawn(stage));
        int title = row_with(terminal, "HEAD", 0);
        int high = row_with(terminal, "  +10 ", title + 1),
            low = row_with(terminal, "  \u221220 ", title + 1);
        ck_assert_int_gt(high, title);
        ck_assert_int_gt(low, high);
        /* marks 1 at 898, 2 at 886, 3 at 875 against the target of 884 */
        static const struct {
            const char *text;
            double mm;
        } marks[] = {{"\u25C21 +14", 14.0}, {"\u25C22 +2", 2.0}, {"\u25C23 \u22129", -9.0}};
        for (int m = 0; m < 3; m++) {
            int row = row_with(terminal, marks[m].text, title + 1);
            ck_assert_msg(fabs(row - row_of_height(high, 10.0, low, -20.0, marks[m].mm)) <= 1.0,
                          "mark '%s' in row %d at %dx%d", marks[m].text, row, sizes[i].columns,
                          sizes[i].rows);
        }
        /* the curve of the last minute and the gauge's end stand in the row of +6 */
        double wanted = row_of_height(high, 10.0, low, -20.0, 6.0);
        int row, column;
        ck_assert(terminal_find(terminal, "\u25C21 +14", &row, &column));
        int end = -1, curve = -1;
        for (int r = title + 1; r < low + 3; r++) {
            struct terminal_cell cell;
            terminal_cell(terminal, r, column - 2, &cell); /* in the posture's bar */
            if (end < 0 && cell.foreground == 36 && cell.text[0] != '\0' && cell.text[0] != ' ') {
                end = r;
            }
            terminal_cell(terminal, r, column - 8,
                          &cell); /* in the history, just before the gauge */
            if (curve < 0 && cell.foreground == 36 && cell.text[0] != '\0') {
                curve = r;
            }
        }
        ck_assert_msg(fabs(end - wanted) <= 1.0, "gauge ends in row %d, wanted %.1f", end, wanted);
        ck_assert_msg(curve == end || abs(curve - end) == 1, "curve in row %d, gauge in row %d",
                      curve, end);
        stage_close(stage);
    }
}
END_TEST

/* The rider is told later than it is seen. */
static void set_posture(struct stage *stage, double above_mm, enum cue_state seen)
{
    struct view *view = stage_lock(stage);
    struct view_channel *head = &view->channel[0];
    head->slow_mm = head->quick_mm = head->shown_mm = 884.0 + above_mm;
    head->seen = seen;
    head->cue = CUE_IN;
    view->asked_channel = 0;
    view->asked_cue = CUE_IN;
    stage_unlock(stage);
}

START_TEST(cue_has_colour_shape_and_word)
{
    static const struct {
        const char *term;
        int in, high, low, none, letter;
    } kinds[] = {{"xterm-256color", 36, 214, 175, 247, 16},
                 {"xterm", 2, 3, 5, 7, 0},
                 {"linux", 2, 3, 5, 7, 0}};
    for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
        struct terminal_settings settings = {.rows = 24, .columns = 80, .term = kinds[k].term};
        struct stage *stage = stage_open(&settings, MADE_LIVE);
        if (stage == NULL) {
            return;
        }
        struct terminal *terminal = stage_terminal(stage);
        struct {
            double above_mm;
            enum cue_state cue;
            const char *words;
            int ground;
        } cues[] = {{2.0, CUE_IN, "\u25C6 IN", kinds[k].in},
                    {14.0, CUE_HIGH, "\u25B2 HIGH", kinds[k].high},
                    {-25.0, CUE_LOW, "\u25BC LOW", kinds[k].low},
                    {(double)NAN, CUE_NO_READING, "NO READING", kinds[k].none}};
        for (int c = 0; c < 4; c++) {
            set_posture(stage, cues[c].above_mm, cues[c].cue);
            ck_assert(stage_drawn(stage));
            char line[4096];
            terminal_row(terminal, 2, line, sizeof line);
            ck_assert_msg(strstr(line, cues[c].words) != NULL, "'%s' not in '%s'", cues[c].words,
                          line);
            int row, column;
            struct terminal_cell cell;
            ck_assert(terminal_find(terminal, cues[c].words, &row, &column));
            terminal_cell(terminal, row, column, &cell);
            ck_assert_int_eq(cell.background, cues[c].ground);
            ck_assert_int_eq(cell.foreground, kinds[k].letter);
        }
        stage_close(stage);
    }
}
END_TEST

START_TEST(digits_are_above_or_below_target)
{
    /* without blocks the digits are plain, and can be read */
    struct terminal_settings settings = {.rows = 24, .columns = 80, .locale = "C"};
    struct stage *stage = stage_open(&settings, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    set_posture(stage, 13.6, CUE_HIGH);
    ck_assert(stage_drawn(stage));
    assert_terminal_shows(terminal, "+14 mm");
    assert_terminal_shows(terminal, "^ HIGH");
    set_posture(stage, -7.4, CUE_IN);
    ck_assert(stage_drawn(stage));
    assert_terminal_shows(terminal, "-7 mm");
    assert_terminal_shows(terminal, "* IN");
    set_posture(stage, 0.3, CUE_IN);
    ck_assert(stage_drawn(stage));
    assert_terminal_shows(terminal, " 0 mm");
    stage_close(stage);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("posture on the fitter's screen");
    TCase *tcase = tcase_create("posture");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, marks_history_and_gauge_share_the_axis);
    tcase_add_test(tcase, cue_has_colour_shape_and_word);
    tcase_add_test(tcase, digits_are_above_or_below_target);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
