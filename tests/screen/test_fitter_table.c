/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <stdint.h>

/* The fitter's table of setups. */

START_TEST(table_grows_with_the_terminal)
{
    /* twelve setups: the baseline and the current one always, the rest as there is room */
    static const struct {
        int rows, columns;
        const char *words[4];
    } sizes[] = {
        {24, 80, {"3 spacers", "setups (", NULL, NULL}},
        {60, 120, {"1 as it came", "3 spacers out", "12 stem 12 mm", "\u25B2 higher"}},
        {60,
         200,
         {"1 as it came", "12 stem 12 mm", "against setup 1", "\u25B2 higher by 14 mm (9 to 19)"}},
    };
    for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
        struct stage *stage = open_screen(sizes[i].rows, sizes[i].columns, MADE_MANY);
        if (stage == NULL) {
            return;
        }
        for (int w = 0; w < 4 && sizes[i].words[w] != NULL; w++) {
            assert_shows(stage, sizes[i].words[w]);
        }
        stage_close(stage);
    }
}
END_TEST

START_TEST(a_setup_that_sees_nothing_is_marked)
{
    struct stage *stage = open_screen(60, 200, MADE_MANY);
    if (stage == NULL) {
        return;
    }
    int row, column;
    struct terminal_cell cell;
    ck_assert(terminal_find(stage_terminal(stage), "CAN'T SEE", &row, &column) ||
              terminal_find(stage_terminal(stage), "BLIND", &row, &column));
    terminal_cell(stage_terminal(stage), row, column, &cell);
    ck_assert_int_eq(cell.background, 227);
    stage_close(stage);
}
END_TEST

/* Nothing can be compared with a setup that was not held yet: the table says which that is. */
START_TEST(what_a_comparison_waits_for_is_named)
{
    struct stage *stage = open_screen(24, 80, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    assert_shows(stage, "baseline");
    struct snapshot *snapshot = (struct snapshot *)(uintptr_t)stage_lock(stage)->snapshot;
    for (int c = 0; c < 2; c++) {
        snapshot->analysis.free_heights[c].setup[0].holds = 0;
    }
    stage_unlock(stage);
    ck_assert(stage_drawn(stage));
    assert_shows(stage, "no free hold yet");
    assert_shows(stage, "1: no hold yet");
    stage_close(stage);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fitter table");
    TCase *tcase = tcase_create("fitter table");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, table_grows_with_the_terminal);
    tcase_add_test(tcase, a_setup_that_sees_nothing_is_marked);
    tcase_add_test(tcase, what_a_comparison_waits_for_is_named);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
