/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/forms.h"
#include "support/showing.h"
#include "support/stage.h"
#include "support/test_main.h"

#include <string.h>

/* What is pasted is text and never acts as keys. The marks are those of a terminal's bracketed
 * paste (ECMA-48 function keys 200 and 201, as XTerm Control Sequences has them). */
#define PASTED(text) "\033[200~" text "\033[201~"
/* Each would end something, open a form, take an act back or make a line. */
#define LINES "quiet\rnew saddle\r\tb y\rx q\r"

START_TEST(lines_are_one_text_in_a_field)
{
    struct stage *stage = open_form(MADE_LIVE, "o");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, PASTED("?") ERASE PASTED(LINES)));
    assert_shows(stage, "note quiet new saddle b y x q");
    ck_assert_int_eq(stage_requests(stage), 0);
    ck_assert(stage_keys(stage, " typed" ENTER)); /* keys are keys again */
    ck_assert_str_eq(stage_request(stage, 0), "command: note \"quiet new saddle b y x q typed\"");
    stage_close(stage);
}
END_TEST

START_TEST(what_is_pasted_elsewhere_does_nothing)
{
    static const struct {
        enum made_view kind;
        const char *keys, *stays;
    } places[] = {
        {MADE_LIVE, "", "HOLDLINE"},    /* no form */
        {MADE_HOLD_FREE, "", "HOLD"},   /* s l d c t would mark it */
        {MADE_LIVE, "c", "COMPARISON"}, /* a page */
        {MADE_LIVE, "q", "end"},        /* a question, to which y is the answer */
        {MADE_LIVE, "b", "parts taken off"},
    };
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        struct stage *stage = open_screen(24, 80, places[i].kind);
        if (stage == NULL) {
            return;
        }
        ck_assert(stage_keys(stage, places[i].keys));
        ck_assert(stage_keys(stage, PASTED("y" LINES "sldct"
                                           "\177")));
        assert_shows(stage, places[i].stays);
        ck_assert_msg(stage_requests(stage) == 0, "place %zu: %s", i, stage_request(stage, 0));
        stage_close(stage);
    }
}
END_TEST

START_TEST(it_is_said_that_nothing_was_taken)
{
    struct stage *stage = open_screen(24, 80, MADE_LIVE);
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, PASTED(LINES)));
    assert_shows(stage, "what was pasted is not taken");
    ck_assert(stage_keys(stage, "r"));
    assert_shows(stage, "RATING");
    stage_close(stage);
}
END_TEST

/* The end came in parts, as over a slow line; and one that never comes. */
START_TEST(keys_are_keys_again)
{
    struct stage *stage = open_form(MADE_LIVE, "o");
    if (stage == NULL) {
        return;
    }
    ck_assert(stage_keys(stage, "\033[200~ab\033"));
    stage_step(stage, 0.2);
    ck_assert(stage_keys(stage, "[201~"));
    ck_assert(stage_keys(stage, ENTER));
    ck_assert_str_eq(stage_request(stage, 0), "command: note ab");
    ck_assert(stage_keys(stage, "o\033[200~cd"));
    for (int i = 0; i < 60; i++) {
        stage_step(stage, 0.1);
    }
    ck_assert(stage_keys(stage, "e" ENTER));
    ck_assert_str_eq(stage_request(stage, 1), "command: note cde");
    stage_close(stage);
}
END_TEST

START_TEST(more_than_a_field_takes_is_told)
{
    static char text[1200] = "\033[200~";
    struct stage *stage = open_form(MADE_LIVE, "o");
    if (stage == NULL) {
        return;
    }
    memset(text + strlen(text), 'x', 1000);
    strcat(text, "\033[201~");
    ck_assert(stage_keys(stage, text));
    assert_shows(stage, "its end is missing");
    stage_close(stage);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("paste");
    TCase *tests = tcase_create("paste");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, lines_are_one_text_in_a_field);
    tcase_add_test(tests, what_is_pasted_elsewhere_does_nothing);
    tcase_add_test(tests, it_is_said_that_nothing_was_taken);
    tcase_add_test(tests, keys_are_keys_again);
    tcase_add_test(tests, more_than_a_field_takes_is_told);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
