/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "support/showing.h"
#include "support/test_main.h"

#include <stdio.h>

/* The question whether to end, whole in whatever room there is; and keys that would stop a program.
 */

/* Words for every state, at each width that the questions change at: one too few for the longest
 * (80), too few for any but the shortest. */
START_TEST(the_question_is_whole_in_its_row)
{
    static const struct {
        enum made_view kind;
        int columns;
        const char *question;
    } cases[] = {
        {MADE_LIVE, 80, "End the session and leave?  y: end it   any other key: go on"},
        {MADE_LIVE, 40, "End the session?  y: end  else: go on"},
        {MADE_HOLD_FREE, 80,
         "A hold is running: end it and the session?  y: end   any other key: go on"},
        {MADE_HOLD_FREE, 60, "End it all?  y: end  else: go on"},
        {MADE_TARGET, 80, "A target is being taken: end it and the session?  y: end  else: go on"},
        {MADE_TARGET, 81,
         "A target is being taken: end it and the session?  y: end   any other key: go on"},
        {MADE_PLATE, 80,
         "Sensors are being read: end it and the session?  y: end   any other key: go on"},
        {MADE_ENDED, 80, "The session has ended. Leave?  y: leave   any other key: stay"},
        {MADE_ENDED, 55, "The session has ended. Leave?  y: leave  else: stay"},
        {MADE_ENDED, 40, "Ended. Leave?  y: leave  else: stay"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct stage *stage = open_with_key(24, cases[i].columns, cases[i].kind, "q");
        if (stage == NULL) {
            return;
        }
        assert_shows(stage, cases[i].question);
        ck_assert(stage_keys(stage, "n"));
        ck_assert(!terminal_shows(stage_terminal(stage), cases[i].question));
        stage_close(stage);
    }
}
END_TEST

/* Samples that no disk has taken, beside what is running; over it where there is no room. */
START_TEST(what_is_not_stored_is_said)
{
    static const struct {
        enum made_view kind;
        int columns;
        const char *waiting, *over, *question;
    } cases[] = {
        {MADE_LIVE, 89, "276", "",
         "Not stored: 276 samples wait in memory. End the session?  y: end   any other key: go on"},
        {MADE_LIVE, 80, "276", "",
         "Not stored: 276 samples wait in memory. End the session?  y: end  else: go on"},
        {MADE_LIVE, 80, "180000", "Not stored: 180000 samples wait in memory",
         "End it all?  y: end  else: go on"},
        {MADE_HOLD_FREE, 80, "276", "A hold is running, and not stored: 276 samples wait in memory",
         "End it all?  y: end  else: go on"},
        {MADE_ENDED, 80, "276", "",
         "Not stored: 276 samples wait in memory. Leave?  y: leave   any other key: stay"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct terminal_settings settings = {.rows = 24, .columns = cases[i].columns};
        struct stage *stage = stage_open(&settings, cases[i].kind);
        if (stage == NULL) {
            return;
        }
        struct view *view = stage_lock(stage);
        snprintf(view->store_text, sizeof view->store_text, "not stored: %s samples wait in memory",
                 cases[i].waiting);
        text_copy(view->store_trouble, sizeof view->store_trouble,
                  "s.db: there is no space left on its disk: make some");
        stage_unlock(stage);
        ck_assert(stage_drawn(stage));
        ck_assert(stage_keys(stage, "q"));
        assert_shows(stage, cases[i].question);
        assert_shows(stage, cases[i].over);
        stage_close(stage);
    }
}
END_TEST

/* Ctrl-Z and Ctrl-\, at rest, in a hold and in a form. */
START_TEST(why_nothing_stops_here_is_said)
{
    static const struct {
        enum made_view kind;
        const char *keys;
    } cases[] = {{MADE_LIVE, "\032"}, {MADE_HOLD_FREE, "\034"}, {MADE_LIVE, "o\032"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct stage *stage = open_with_key(24, 80, cases[i].kind, cases[i].keys);
        if (stage == NULL) {
            return;
        }
        assert_shows(stage, "no stopping from here: a program that is stopped reads no sensors");
        ck_assert_int_eq(stage_requests(stage), 0);
        stage_close(stage);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("end question");
    TCase *tests = tcase_create("end question");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, the_question_is_whole_in_its_row);
    tcase_add_test(tests, what_is_not_stored_is_said);
    tcase_add_test(tests, why_nothing_stops_here_is_said);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
