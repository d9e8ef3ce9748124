/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/forms.h"
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <string.h>

/* Typing into a form: the cursor, long text, leaving it and coming back. */

START_TEST(the_cursor_is_where_it_was_left)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    int row, column, row_now, column_now;
    bool visible;
    ck_assert(stage_keys(stage, DOWN DOWN "40\033OD\033OD"));
    terminal_cursor(stage_terminal(stage), &row, &column, &visible);
    ck_assert(stage_keys(stage, ESC));
    ck_assert(terminal_wait_text(stage_terminal(stage), "HOLDLINE", 20.0));
    ck_assert(stage_keys(stage, "n"));
    terminal_cursor(stage_terminal(stage), &row_now, &column_now, &visible);
    ck_assert(visible);
    ck_assert_int_eq(row_now, row);
    ck_assert_int_eq(column_now, column);
    ck_assert(stage_keys(stage, "1" ENTER)); /* goes on where it was */
    ck_assert_str_eq(stage_request(stage, 0), "command: setup 4 stem_length=140");
    stage_close(stage);
}
END_TEST

START_TEST(escape_keeps_what_was_typed)
{
    struct stage *stage = open_form(MADE_LIVE, "n");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, "stem 20 lower" DOWN "5"));
    ck_assert(stage_keys(stage, ESC));
    ck_assert(terminal_wait_text(stage_terminal(stage), "HOLDLINE", 20.0));
    ck_assert_int_eq(stage_requests(stage), 0);
    ck_assert(stage_keys(stage, "n"));
    assert_shows(stage, "stem 20 lower");
    assert_shows(stage, "was 10");
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_str_eq(stage_request(stage, 0), "command: setup 4 \"stem 20 lower\" spacers=5");
    /* taken: the next time it begins anew */
    ck_assert(stage_keys(stage, "n"));
    ck_assert(!terminal_shows(stage_terminal(stage), "stem 20 lower"));
    stage_close(stage);
}
END_TEST

/* What was typed of one setup is not offered of another, and is there again with its setup. */
START_TEST(what_was_typed_stays_with_its_setup)
{
    static const struct {
        const char *open, *typed, *shown;
    } forms[] = {
        {"5", DOWN DOWN DOWN "lower", "lower"},
        {"r", "7", "effort 7"},
        {"p", DOWN DOWN "412", "412"},
        {"m", "631", "631"},
    };
    for (size_t f = 0; f < sizeof forms / sizeof forms[0]; f++) {
        struct stage *stage = open_form(MADE_LIVE, forms[f].open);
        if (stage == NULL) {
            return;
        }
        ck_assert(stage_keys(stage, forms[f].typed));
        assert_shows(stage, forms[f].shown);
        ck_assert(stage_keys(stage, ESC));
        for (int build = 1; build <= 2; build++) { /* the earlier setup, and this one again */
            made_snapshot(stage_lock(stage))->build = build;
            stage_unlock(stage);
            ck_assert(stage_drawn(stage));
            ck_assert(stage_keys(stage, forms[f].open));
            ck_assert_msg(terminal_shows(stage_terminal(stage), forms[f].shown) == (build == 2),
                          "%s on build %d", forms[f].open, build);
            ck_assert(stage_keys(stage, ESC));
        }
        stage_close(stage);
    }
}
END_TEST

START_TEST(a_crash_of_the_view_under_a_form_is_none)
{
    /* the view goes on while a form is open, a channel goes away: nothing breaks */
    struct stage *stage = open_form(MADE_LIVE, "w");
    if (stage == NULL) {
        return;
    }
    for (int i = 0; i < 20; i++) {
        stage_step(stage, 0.1);
    }
    assert_shows(stage, "THE BAND");
    ck_assert(stage_keys(stage, "15"));
    for (int i = 0; i < 20; i++) {
        stage_step(stage, 0.1);
    }
    assert_shows(stage, "head, above 15");
    stage_close(stage);
}
END_TEST

START_TEST(editing)
{
    struct stage *stage = open_form(MADE_LIVE, "o");
    if (stage == NULL) {
        return;
    }
    /* left, insert, erase before and under, home, end; characters of several bytes as one */
    ck_assert(stage_keys(stage, "abd"));
    ck_assert(stage_keys(stage, "\033OD"
                                "c")); /* abcd */
    ck_assert(stage_keys(stage, "\033OH"
                                "\u00E9")); /* éabcd */
    ck_assert(stage_keys(stage, "\033OF"
                                "\u65E5" ERASE)); /* the wide one goes whole */
    ck_assert(stage_keys(stage, "\033OH"
                                "\033[3~")); /* abcd */
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_str_eq(stage_request(stage, 0), "command: note abcd");
    stage_close(stage);
}
END_TEST

START_TEST(long_text_scrolls_and_is_refused_past_what_is_kept)
{
    struct stage *stage = open_form(MADE_LIVE, "o");
    if (stage == NULL) {
        return;
    }
    char typed[400];
    memset(typed, 'x', sizeof typed);
    typed[sizeof typed - 1] = '\0';
    ck_assert(stage_keys(stage, typed));
    int row, column;
    bool visible;
    terminal_cursor(stage_terminal(stage), &row, &column, &visible);
    ck_assert(visible);
    ck_assert_int_lt(column, 80);
    assert_shows(stage, "note: 383 characters, at most 255");
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_int_eq(stage_requests(stage), 0);
    for (int i = 383; i > 255; i--) {
        typed[383 - i] = ERASE[0];
    }
    typed[383 - 255] = '\0';
    ck_assert(stage_keys(stage, typed));
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_uint_eq(strlen(stage_request(stage, 0)), strlen("command: note ") + 255);
    stage_close(stage);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("editing in forms");
    TCase *tcase = tcase_create("editing");
    tcase_set_timeout(tcase, 120);
    tcase_add_test(tcase, the_cursor_is_where_it_was_left);
    tcase_add_test(tcase, escape_keeps_what_was_typed);
    tcase_add_test(tcase, what_was_typed_stays_with_its_setup);
    tcase_add_test(tcase, a_crash_of_the_view_under_a_form_is_none);
    tcase_add_test(tcase, editing);
    tcase_add_test(tcase, long_text_scrolls_and_is_refused_past_what_is_kept);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
