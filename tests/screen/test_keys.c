/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/random.h"
#include "screen/display.h"
#include "screen/keys.h"
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <stdio.h>
#include <string.h>

/* Keys: one table, one meaning each. What each does is in the scripts (tests/screen/keys). */

START_TEST(one_key_one_meaning)
{
    for (int i = 0; i < key_count; i++) {
        for (int j = i + 1; j < key_count; j++) {
            /* 'c': a mark in a hold, the comparison outside; 'y': yes to what is offered; never
             * both at one place */
            bool may = (key_table[i].key == 'c' || key_table[i].key == 'y') &&
                       (key_table[i].places & key_table[j].places) == 0;
            ck_assert_msg(key_table[i].key != key_table[j].key || may,
                          "'%s' stands twice in the table", key_table[i].name);
        }
        ck_assert_msg(key_table[i].places != 0, "'%s' works nowhere", key_table[i].name);
        /* no chord: a plain letter, a figure, a sign that needs no shift (the number pad has '/')
         * but for help, or a named key */
        uint32_t key = key_table[i].key;
        bool plain = (key >= 'a' && key <= 'z') || (key >= '0' && key <= '9') || key == ' ' ||
                     key == '?' || key == '.' || key == ',' || key == '/' || key == '-';
        bool named = key >= KEY_OTHER || key == KEY_ESCAPE || key == KEY_INTERRUPT ||
                     key == KEY_TAB || key == 12;
        ck_assert_msg(plain || named, "'%s' is a chord", key_table[i].name);
    }
}
END_TEST

START_TEST(a_foot_switch_never_ends_a_hold)
{
    static const enum made_view kinds[] = {MADE_HOLD_FREE, MADE_SETTLING, MADE_PLATE};
    for (int k = 0; k < 3; k++) {
        struct stage *stage = open_with_key(24, 80, kinds[k], " \r ");
        if (stage == NULL) {
            return;
        }
        ck_assert_int_eq(stage_requests(stage), 0);
        ck_assert(terminal_shows(stage_terminal(stage), "x stops it now"));
        stage_close(stage);
    }
}
END_TEST

START_TEST(messages_go_after_a_while)
{
    struct stage *stage = open_screen(24, 80, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    ck_assert(terminal_shows(terminal, "hold 5 kept"));
    ck_assert(stage_step(stage, 9.0));
    ck_assert(terminal_shows(terminal, "hold 5 kept"));
    ck_assert(stage_step(stage, 1.5));
    ck_assert(!terminal_shows(terminal, "hold 5 kept"));
    stage_close(stage);
}
END_TEST

START_TEST(signs_of_the_keyboard_do_not_kill)
{
    /* Ctrl-Z and Ctrl-\ : a program that stands still reads no sensors */
    struct stage *stage = open_with_key(24, 80, MADE_HOLD_FREE, "\032\034");
    if (stage == NULL) {
        return;
    }
    ck_assert(!terminal_wait_end(stage_terminal(stage), NULL, 0.1));
    ck_assert(stage_step(stage, 1.0));
    ck_assert(terminal_shows(stage_terminal(stage), "0:42 of 1:00"));
    stage_close(stage);
}
END_TEST

START_TEST(help_is_the_table)
{
    struct stage *stage = open_screen(60, 120, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    ck_assert(stage_keys(stage, "?"));
    for (int i = 0; i < key_count; i++) {
        if (key_table[i].words != NULL) {
            ck_assert_msg(terminal_shows(terminal, key_table[i].words), "help lacks '%s'",
                          key_table[i].words);
        }
    }
    /* what works here stands above what does not */
    int here, there;
    ck_assert(terminal_find(terminal, "a free hold, as long as the last", &here, NULL));
    ck_assert(terminal_find(terminal, "mark: coughed", &there, NULL));
    ck_assert_int_lt(here, there);
    ck_assert(stage_keys(stage, "\033"));
    ck_assert(terminal_wait_text(terminal, "HOLDLINE", 20.0));
    ck_assert_int_eq(stage_requests(stage), 0);
    stage_close(stage);
}
END_TEST

START_TEST(help_scrolls)
{
    struct stage *stage = open_screen(12, 40, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    ck_assert(stage_keys(stage, "?"));
    ck_assert(!terminal_shows(terminal, "mark: coughed"));
    for (int i = 0; i < 150 && !terminal_shows(terminal, "mark: coughed"); i++) {
        ck_assert(stage_keys(stage, "\033OB"));
    }
    ck_assert(terminal_shows(terminal, "mark: coughed"));
    stage_close(stage);
}
END_TEST

START_TEST(answers_stand_on_the_message_line)
{
    struct stage *stage = open_screen(24, 80, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    stage_answer(stage, false, "keep: there are only 12 s of readings so far");
    ck_assert(stage_keys(stage, "k"));
    int row, column;
    struct terminal_cell cell;
    ck_assert(terminal_find(terminal, "! keep: there are only 12 s", &row, &column));
    ck_assert_int_eq(row, 23);
    terminal_cell(terminal, row, column, &cell);
    ck_assert_int_eq(cell.background, 227);
    ck_assert(stage_keys(stage, "\033")); /* Esc takes it away */
    ck_assert(terminal_wait_gone(terminal, "! keep", 2.0));
    stage_close(stage);
}
END_TEST

START_TEST(any_keys_break_nothing)
{
    /* a cat on the keyboard, in every state, while the rider moves and the terminal is resized */
    static const char *const strokes[] = {
        "\r",      "\t",      "\033",    "\177",     "\033OA", "\033OB", "\033OC", "\033OD",
        "\033[3~", "\033[5~", "\033[6~", "\014",     " ",      "?",      "v",      "n",
        "\u65E5",  "e\u0301", "\xC3",    "\x1b[99~", "9",      "-",      ".",      "1",
        "2",       "3",       "w",       "r",        "p",      "m",      "o",      "u"};
    struct random_source random;
    random_seed(&random, test_seed(7u + (unsigned)_i));
    struct terminal_settings settings = {
        .rows = 24, .columns = 80, .locale = _i % 2 ? "C" : "C.UTF-8"};
    struct stage *stage = stage_open(&settings, (enum made_view)(_i % MADE_VIEWS));
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    ck_assert(stage_drawn(stage));
    for (int i = 0; i < 800; i++) {
        terminal_send(terminal,
                      strokes[random_u64(&random) % (sizeof strokes / sizeof strokes[0])]);
        stage_answer(stage, random_u64(&random) % 2, "an answer");
        if (i % 20 == 0) {
            stage_step(stage, 0.1);
        }
        if (i % 50 == 0) {
            terminal_resize(terminal, 1 + (int)(random_u64(&random) % 60),
                            1 + (int)(random_u64(&random) % 160));
        }
    }
    terminal_resize(terminal, 24, 80);
    ck_assert(stage_step(stage, 0.1));
    /* it is there and answers: back to the fitter's screen, and out */
    for (int i = 0; i < 5 && !terminal_shows(terminal, "HOLDLINE"); i++) {
        stage_keys(stage, "\033");
        terminal_wait_text(terminal, "HOLDLINE", 0.2);
    }
    ck_assert(terminal_shows(terminal, "HOLDLINE"));
    ck_assert(stage_keys(stage, "q"));
    stage_keys(stage, "y");
    int status;
    ck_assert(terminal_wait_end(terminal, &status, 3.0));
    ck_assert_int_eq(status, 0);
    stage_close(stage);
}
END_TEST

START_TEST(escape_takes_no_second)
{
    struct stage *stage = open_with_key(24, 80, MADE_LIVE, "v");
    if (stage == NULL) {
        return;
    }
    terminal_send(stage_terminal(stage), "\033");
    ck_assert(terminal_wait_text(stage_terminal(stage), "HOLDLINE", 0.25));
    stage_close(stage);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("keys");
    TCase *tcase = tcase_create("keys");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, one_key_one_meaning);
    tcase_add_test(tcase, a_foot_switch_never_ends_a_hold);
    tcase_add_test(tcase, messages_go_after_a_while);
    tcase_add_test(tcase, signs_of_the_keyboard_do_not_kill);
    tcase_add_test(tcase, help_is_the_table);
    tcase_add_test(tcase, help_scrolls);
    tcase_add_test(tcase, answers_stand_on_the_message_line);
    tcase_add_loop_test(tcase, any_keys_break_nothing, 0, 2 * MADE_VIEWS);
    tcase_add_test(tcase, escape_takes_no_second);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
