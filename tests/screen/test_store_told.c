/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/stage.h"
#include "support/test_main.h"

#include "base/text.h"
#include "screen/page.h"

#include <string.h>

/* Why nothing can be stored stands where messages do, until all is stored. */

static const char reason[] = "! group.db: there is no space left on its disk: make some";

START_TEST(why_it_is_not_stored_stays_on_the_screen)
{
    static const char *const pages[] = {"", "i"}; /* the fitter's, the sensors' */
    for (size_t i = 0; i < sizeof pages / sizeof pages[0]; i++) {
        struct terminal_settings settings = {.rows = 24, .columns = 80};
        struct stage *stage = stage_open(&settings, MADE_LIVE);
        if (stage == NULL) {
            return;
        }
        struct view *view = stage_lock(stage);
        text_copy(view->store_text, sizeof view->store_text,
                  "not stored: 300 samples wait in memory");
        text_copy(view->store_trouble, sizeof view->store_trouble, reason + 2);
        view->message[0] = '\0';
        stage_unlock(stage);
        ck_assert(stage_keys(stage, pages[i]));
        ck_assert(stage_step(stage, 30)); /* no message stays as long */
        int row, column;
        struct terminal *terminal = stage_terminal(stage);
        ck_assert_msg(terminal_find(terminal, reason, &row, &column), "page '%s'", pages[i]);
        ck_assert_int_eq(row, 23);
        if (i == 0) {
            ck_assert(terminal_find(terminal, "not stored: 300 samples", &row, &column));
            ck_assert(terminal_find(terminal, "kept in memory until it can", &row, &column));
        }
        view = stage_lock(stage);
        view->store_trouble[0] = '\0';
        stage_unlock(stage);
        ck_assert(stage_drawn(stage));
        ck_assert(!terminal_find(terminal, "no space left", &row, &column));
        stage_close(stage);
    }
}
END_TEST

/* A message goes when ten seconds of the session are over; where it stands still, since nothing is
 * heard, ten by the computer's clock: what lasts stood behind it for ever. */
START_TEST(a_message_goes_though_the_session_stands_still)
{
    static struct page_state state;
    static struct view view;
    view.session_s = 4.0;
    page_say(&state, false, "taken");
    ck_assert(!page_let_message_go(&state, &view));
    state.said_us -= 9000000;
    ck_assert(!page_let_message_go(&state, &view));
    ck_assert_str_eq(state.message, "taken");
    state.said_us -= 1000000;
    ck_assert(page_let_message_go(&state, &view));
    ck_assert_str_eq(state.message, "");
    page_say(&state, true, "not taken"); /* what went wrong stays until a key */
    ck_assert(!page_let_message_go(&state, &view));
    state.said_us -= 60000000;
    ck_assert(!page_let_message_go(&state, &view));
    page_say(&state, false, "taken"); /* while it moves, by its own time: a rig may go slower */
    ck_assert(!page_let_message_go(&state, &view));
    state.said_us -= 60000000;
    view.session_s = 13.9;
    ck_assert(!page_let_message_go(&state, &view));
    view.session_s = 14.0;
    ck_assert(page_let_message_go(&state, &view));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("store told");
    TCase *tcase = tcase_create("store told");
    tcase_set_timeout(tcase, 120);
    tcase_add_test(tcase, why_it_is_not_stored_stays_on_the_screen);
    tcase_add_test(tcase, a_message_goes_though_the_session_stands_still);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
