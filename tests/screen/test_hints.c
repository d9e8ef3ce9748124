/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the screens say of their keys where a fitter would ask: in a form, and in a hold that is to
 * be marked. */
#include "base/text.h"
#include "screen/forms.h"
#include "support/test_main.h"

#include <string.h>

static void shows_the_keys_of_a_form(const char *key, const char *before)
{
    struct stage *stage = open_form(MADE_LIVE, key);
    if (stage == NULL) {
        return;
    }
    struct terminal *terminal = stage_terminal(stage);
    ck_assert(stage_keys(stage, before));
    assert_shows(stage, "Esc back, kept  ? keys");
    ck_assert(stage_keys(stage, "?"));
    assert_shows(stage, "KEYS IN A FORM");
    assert_shows(stage, "Ctrl-U");
    ck_assert(stage_keys(stage, ESC));
    assert_shows(stage, "Esc back, kept");
    ck_assert(!terminal_shows(terminal, "KEYS IN A FORM"));
    ck_assert(!terminal_shows(terminal, "a number, "));
    ck_assert(!terminal_shows(terminal, "none of them"));
    ck_assert_int_eq(stage_requests(stage), 0);
    stage_close(stage);
}

START_TEST(question_mark_in_a_form)
{
    shows_the_keys_of_a_form("n", DOWN DOWN); /* a part's measure */
    shows_the_keys_of_a_form("w", "");        /* a limit */
    shows_the_keys_of_a_form("r", "");        /* a number that is typed in part */
    shows_the_keys_of_a_form("r", "5");       /* before and after are kept */
    shows_the_keys_of_a_form("p", "");        /* a choice or a number */
    struct stage *stage = open_form(MADE_LIVE, "r");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, "5?" ESC ENTER));
    ck_assert_int_eq(stage_requests(stage), 1);
    ck_assert_ptr_nonnull(strstr(stage_request(stage, 0), "effort=5"));
    stage_close(stage);
}
END_TEST

/* A text may have one. */
START_TEST(question_mark_in_a_text)
{
    struct stage *stage = open_form(MADE_LIVE, "o");
    if (stage == NULL) {
        return;
    }
    ck_assert(terminal_shows(stage_terminal(stage), "? keys"));
    ck_assert(stage_keys(stage, "?")); /* a text does not begin with it */
    assert_shows(stage, "KEYS IN A FORM");
    ck_assert(stage_keys(stage, "\033"));
    ck_assert(stage_keys(stage, "saddle"));
    ck_assert(terminal_wait_gone(stage_terminal(stage), "? keys", 20.0));
    ck_assert(stage_keys(stage, "?" ENTER));
    ck_assert_int_eq(stage_requests(stage), 1);
    ck_assert_str_eq(stage_request(stage, 0), "command: note saddle?");
    stage_close(stage);
}
END_TEST

START_TEST(keys_of_a_form_can_all_be_read)
{
    struct stage *stage = open_with_key(12, 40, MADE_LIVE, "w");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, "?"));
    assert_shows(stage, "KEYS IN A FORM");
    ck_assert(!terminal_shows(stage_terminal(stage), "Ctrl-C"));
    ck_assert(stage_keys(stage, "   "));
    assert_shows(stage, "Ctrl-C");
    stage_close(stage);
}
END_TEST

/* At 80 columns the foot has what is to be done, its key and the others; the reason is below. */
START_TEST(a_long_step_keeps_its_key_and_the_others)
{
    struct stage *stage = open_with_key(24, 80, MADE_LIVE, "");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, ESC)); /* the message goes, its row is free */
    struct view *view = stage_lock(stage);
    text_copy(view->next_step, sizeof view->next_step,
              "free hold 1 of 6 on this build, 30 s: from hold to hold it varies by 6.1 mm");
    stage_unlock(stage);
    assert_shows(stage, "SPACE \u25B6 free hold 1 of 6 on this build, 30 s");
    assert_shows(stage, "f hold free");
    assert_shows(stage, "? keys");
    assert_shows(stage, "from hold to hold it varies by 6.1 mm");
    view = stage_lock(stage);
    text_copy(view->next_step, sizeof view->next_step, "the bike's measures, for heights over it");
    stage_unlock(stage);
    assert_shows(stage, "f hold free"); /* g does not come in its place */
    stage_close(stage);
}
END_TEST

START_TEST(the_keys_are_told_in_full)
{
    struct stage *stage = open_with_key(24, 80, MADE_LIVE, "?");
    if (stage == NULL) {
        return;
    }
    assert_shows(stage, "a free hold, as long as the last (Enter) or as typed: the rider");
    assert_shows(stage, "            sees the time only");
    assert_shows(stage, "Backspace");
    stage_close(stage);
}
END_TEST

/* A key that does nothing now says what goes on instead, and no more than is so. */
START_TEST(why_a_key_does_nothing_now)
{
    static const struct {
        enum view_phase phase;
        const char *key, *words;
    } cases[] = {
        {VIEW_SETTLING, "y", "y: not in the countdown (x stops it)"},
        {VIEW_TARGET, "s", "s: it marks what happens in a hold; now a target is being taken"},
        {VIEW_HOLD, "y", "y: not now (no target is being taken"},
        {VIEW_LIVE, "s", "s: no hold is running to be marked"},
    };
    struct stage *stage = open_with_key(24, 80, MADE_LIVE, "");
    for (size_t i = 0; stage != NULL && i < sizeof cases / sizeof cases[0]; i++) {
        stage_lock(stage)->phase = cases[i].phase;
        stage_unlock(stage);
        ck_assert(stage_keys(stage, cases[i].key));
        assert_shows(stage, cases[i].words);
    }
    ck_assert(stage == NULL || stage_requests(stage) == 0);
    stage_close(stage);
}
END_TEST

/* Ctrl-C asks on every page; 'y' would end the session unseen otherwise. */
START_TEST(ending_is_asked_over_every_page)
{
    static const char *const pages[] = {"n", "w", "?", "c", "i", "j", "v", ""};
    for (size_t i = 0; i < sizeof pages / sizeof pages[0]; i++) {
        for (int size = 0; size < 2; size++) {
            struct stage *stage = open_with_key(screen_sizes[size].rows, screen_sizes[size].columns,
                                                MADE_LIVE, pages[i]);
            if (stage == NULL) {
                return;
            }
            ck_assert(stage_keys(stage, "\003"));
            assert_shows(stage, "y: end");
            ck_assert(stage_keys(stage, "k"));
            ck_assert(terminal_wait_gone(stage_terminal(stage), "y: end", 20.0));
            ck_assert_int_eq(stage_requests(stage), 0);
            stage_close(stage);
        }
    }
}
END_TEST

/* MARK_CUT_BEFORE_S and MARK_CUT_AFTER_S of measure/rules.h, in words. */
START_TEST(a_hold_says_what_a_mark_leaves_out)
{
    for (int i = 0; i < SCREEN_SIZES; i++) {
        struct stage *stage =
            open_screen(screen_sizes[i].rows, screen_sizes[i].columns, MADE_HOLD_FREE);
        if (stage == NULL) {
            return;
        }
        struct view *view = stage_lock(stage);
        view->message[0] = '\0';
        view->message_serial++;
        stage_unlock(stage);
        ck_assert(stage_drawn(stage));
        assert_shows(stage, "1 s before to 3 s after");
        view = stage_lock(stage);
        view->phase = VIEW_LIVE;
        stage_unlock(stage);
        ck_assert(stage_drawn(stage));
        ck_assert(terminal_wait_gone(stage_terminal(stage), "1 s before to 3 s after", 20.0));
        ck_assert(stage_keys(stage, "?"));
        if (screen_sizes[i].rows >= 60) {
            assert_shows(stage, "slid on the saddle; 1 s before to 3 s after now is left out");
        }
        stage_close(stage);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hints");
    TCase *tests = tcase_create("hints");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, a_long_step_keeps_its_key_and_the_others);
    tcase_add_test(tests, the_keys_are_told_in_full);
    tcase_add_test(tests, why_a_key_does_nothing_now);
    tcase_add_test(tests, question_mark_in_a_form);
    tcase_add_test(tests, question_mark_in_a_text);
    tcase_add_test(tests, keys_of_a_form_can_all_be_read);
    tcase_add_test(tests, ending_is_asked_over_every_page);
    tcase_add_test(tests, a_hold_says_what_a_mark_leaves_out);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
