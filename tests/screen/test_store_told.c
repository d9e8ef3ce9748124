/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/stage.h"
#include "support/test_main.h"

#include "base/text.h"

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

int main(void)
{
    Suite *suite = suite_create("store told");
    TCase *tcase = tcase_create("store told");
    tcase_set_timeout(tcase, 120);
    tcase_add_test(tcase, why_it_is_not_stored_stays_on_the_screen);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
