/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The tones of the rider's screen: three, two, one, and the end. */
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

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

/* The end is an estimate that moves: what was counted is not counted again. */
START_TEST(a_target_counts_down_once)
{
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    struct stage *stage = stage_open(&settings, MADE_TARGET);
    if (stage == NULL) {
        return;
    }
    static const double left_s[] = {5.5, 2.5, 6.5, 2.5, 3.5, 1.5, 2.5, 1.5, 0.5, 1.5, 0.5};
    struct terminal *terminal = stage_terminal(stage);
    ck_assert(stage_drawn(stage));
    int before = terminal_bells(terminal);
    for (size_t i = 0; i < sizeof left_s / sizeof left_s[0]; i++) {
        struct view *view = stage_lock(stage);
        view->length_proposed = true;
        view->elapsed_s += 0.1;
        view->planned_s = view->elapsed_s + left_s[i];
        stage_unlock(stage);
        ck_assert(stage_drawn(stage));
    }
    ck_assert(terminal_wait_quiet(terminal, 0.05, 2.0));
    ck_assert_int_eq(terminal_bells(terminal), before + 3); /* three, two, one */
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
    Suite *suite = suite_create("rider's tones");
    TCase *tests = tcase_create("rider's tones");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, three_two_one_start_and_end_ring);
    tcase_add_test(tests, a_target_rings_when_it_ends);
    tcase_add_test(tests, a_target_counts_down_once);
    tcase_add_test(tests, tones_can_be_switched_off);
    return test_main(suite);
}
