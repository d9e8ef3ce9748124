/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "pictures.h"

#include "report/paper.h"
#include "support/markup.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

/* The page of sheet and report: complete, on its own, the same each time. */

START_TEST(practice_grows_from_what_was_kept)
{
    at_ease();
    of_its_own();
    char *text = page();
    /* 78 % in the band; the rules of practice at home, a row to fill in for each day */
    check_has(text, "for 78 % of the time, over 60 s: six pieces of 1 min");
    check_has(text, "there is no study behind them");
    check_has(text, "<td class=\"number\">60 s</td><td class=\"number\">60 s</td>");
    check_has(text, "Two pieces in a row kept (in the band for 9 tenths of the time");
    check_has(text, "from 4 on, or over 2 still there the next morning");
    check_has(text, "At 7, or at numbness");
    check_has(text, "To find it without a gauge");
    check_has(text, "<td>6</td>");
    free(text);
}
END_TEST

/* The share is of the one guided hold, 60 s; good is 0.9, fair 0.8. */
START_TEST(long_pieces_are_asked_for_where_the_share_rests_on_as_much)
{
    static const struct {
        double share, kept_s;
        const char *said;
    } cases[] = {
        {1.0, 22, "100 % of the time, over 22 s only: six pieces of 1 min; longer ones"},
        {0.9, 179, "over 2 min 59 s: four pieces of 2 min"},
        {0.9, 180, "over 3 min: three pieces of 3 min."},
        {0.8, 119, "only: six pieces of 1 min; longer ones"},
        {0.8, 120, "over 2 min: four pieces of 2 min"},
        {0.79, 300, "over 5 min: six pieces of 1 min, or agree on a higher target."},
    };
    at_ease();
    of_its_own();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        for (int channel = 0; channel < 2; channel++) {
            analysis->hold[5].summary[channel].in_band_share = cases[i].share;
            analysis->hold[5].summary[channel].kept_s = cases[i].kept_s;
        }
        char *text = page();
        check_has(text, cases[i].said);
        free(text);
    }
}
END_TEST

START_TEST(a_long_hold_says_how_long_to_practise)
{
    at_ease();
    of_its_own();
    struct hold_result *result = &analysis->hold[5]; /* guided, setup 2 */
    result->duration_s = 300;
    result->summary[0].sustain_reached = true;
    result->summary[0].sustain_s = 150;
    char *text = page();
    /* two thirds of 150 s are 100 s; 480 s / 100 s are four holds */
    check_has(text, "You kept it for 2 min 30 s before it began to go.");
    check_has(text, "<td class=\"number\">100 s</td><td class=\"number\">100 s</td>");
    check_has(text, "\u2610 \u2610 \u2610 \u2610</td>");
    check_has(text, "head: LOST the band after 2 min 30 s");
    free(text);
    result->summary[0].sustain_reached = false;
    result->summary[0].sustain_s = 240;
    result->summary[1].sustain_s = 200;
    text = page();
    check_has(text,
              "You kept it for 3 min 20 s at least, in a hold of 5 min. Practise in pieces of "
              "2 min 10 s.");
    free(text);
    result->summary[0].sustain_s = result->summary[1].sustain_s = 300;
    text = page();
    check_has(text, "You kept it through a hold of 5 min to its end. Practise in pieces of 3 min "
                    "20 s.");
    free(text);
}
END_TEST

/* Setup 2's fifth hold was a long one in another target's band: of its own band it tells nothing.
 */
START_TEST(a_long_hold_in_another_band_says_nothing_of_this_one)
{
    at_ease();
    of_its_own();
    struct hold_result *result = &analysis->hold[4];
    record->target[1] = record->target[0];
    record->target[1].build = 0;
    record->target_count = 2;
    record->hold[4] = record->hold[5];
    *result = analysis->hold[5];
    result->duration_s = 300;
    result->summary[0].sustain_reached = true;
    result->summary[0].sustain_s = 150;
    char *text = page();
    check_has(text, "You kept it for 2 min 30 s before it began to go.");
    free(text);
    record->hold[4].target = 1;
    text = page();
    check_has(text, "You were in the band for ");
    ck_assert_ptr_null(strstr(text, "You kept it for"));
    free(text);
}
END_TEST

START_TEST(the_page_has_sheet_and_report)
{
    static const char *const parts[] = {
        "<h1>Your posture session</h1>",
        "Setup 2, spacers out, pads down: not before the numbness is gone.</p>",
        "<li>head: 872 ±5 mm high; against setup 1: lower by 12 mm (6 to 18)</li>",
        "<li>head: by yourself you kept it",
        "It made you numb",
        "<h1>The fitter&#39;s report</h1>",
        "<strong>FAILED</strong>: the rider cannot see ahead",
        "<strong>REJECTED</strong>: slid back on the saddle",
        "no medical advice",
    };
    char *text = page();
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        check_has(text, parts[i]);
    }
    /* side view, heights of the head, trade-off; heights of both, cloud, bars, bands of both, holds
     * of both */
    ck_assert_int_eq(markup_count(text, "<figure"), 11);
    free(text);
}
END_TEST

/* What readers aloud find their way by, and what a printer makes of long tables. */
START_TEST(the_page_has_landmarks_and_prints_its_tables)
{
    for (int setup = 3; setup < 12; setup++) {
        record->setup[setup] = record->setup[1];
        record->setup[setup].number = setup + 1;
    }
    record->setup_count = 12;
    char *text = page();
    ck_assert_int_eq(markup_count(text, "<main>"), 1);
    ck_assert_int_eq(markup_count(text, "<svg"), markup_count(text, "role=\"img\""));
    ck_assert_int_eq(markup_count(text, "<svg"), markup_count(text, "<title>") - 1);
    ck_assert_int_ge(markup_count(text, "<div class=\"wide long\""), 1);
    ck_assert_int_ge(markup_count(text, "<div class=\"wide\""), 1); /* short ones */
    free(text);
}
END_TEST

static char *page_of_table(int letters, int rows)
{
    static const struct table_column columns[] = {{"left", TABLE_LEFT, false},
                                                  {"right", TABLE_RIGHT, false}};
    struct table *table = table_create(columns, 2);
    struct caught caught;
    struct paper paper;
    for (int row = 0; row < rows; row++) {
        table_cell_format(table, "%0*d", letters - 5, row);
        table_cell(table, "1");
    }
    paper_begin(&paper, &paper_html, catch_begin(&caught), 0);
    ck_assert(paper_table(&paper, table, NULL));
    paper_end(&paper);
    table_destroy(table);
    return catch_end(&caught);
}

/* 56 letters, with two behind each column, are half a page; over 70 may have to be scrolled. */
START_TEST(narrow_long_tables_print_in_two_halves)
{
    static const struct {
        int letters, rows;
        const char *begins;
    } cases[] = {{56, 10, "<div class=\"wide long halves\"><table>"},
                 {57, 10, "<div class=\"wide long\"><table>"},
                 {56, 9, "<div class=\"wide\"><table>"},
                 {70, 10, "<div class=\"wide long\"><table>"},
                 {71, 10, "<div class=\"wide long\" tabindex=\"0\"><table>"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char *text = page_of_table(cases[i].letters, cases[i].rows);
        check_has(text, cases[i].begins);
        free(text);
    }
}
END_TEST

START_TEST(numbers_below_nought_have_a_minus_sign)
{
    static const struct table_column columns[] = {{"mm", TABLE_RIGHT, false}};
    struct table *table = table_create(columns, 1);
    struct caught caught;
    struct paper paper;
    table_cell(table, "-35");
    paper_begin(&paper, &paper_html, catch_begin(&caught), 0);
    paper_paragraph(&paper, "stem angle -6, from 2026-01-10");
    ck_assert(paper_table(&paper, table, NULL));
    paper_end(&paper);
    table_destroy(table);
    char *text = catch_end(&caught);
    check_has(text, "<p>stem angle \u22126, from 2026-01-10</p>");
    check_has(text, ">\u221235</td>");
    free(text);
}
END_TEST

START_TEST(the_page_needs_nothing_from_outside)
{
    static const char *const forbidden[] = {"<script", "<link",  "<img", "<iframe",
                                            " src=",   " href=", "url(", "@import"};
    char *text = page();
    for (size_t i = 0; i < sizeof forbidden / sizeof forbidden[0]; i++) {
        ck_assert_msg(strstr(text, forbidden[i]) == NULL, "'%s' is in the page", forbidden[i]);
    }
    /* the only address is the name of SVG itself */
    ck_assert_int_eq(markup_count(text, "http"), markup_count(text, "http://www.w3.org/2000/svg"));
    free(text);
}
END_TEST

START_TEST(no_practice_where_the_rider_cannot_see)
{
    input.chosen_setup = 3;
    char *text = page();
    check_has(text, "Do not ride setup 3: it <strong>FAILED</strong>");
    ck_assert_ptr_null(strstr(text, "How to practise"));
    ck_assert_ptr_null(strstr(text, "What to turn"));
    free(text);
}
END_TEST

START_TEST(the_sessions_choice_is_taken_where_none_is_asked_for)
{
    input.chosen_setup = 0;
    record->settings.chosen_setup = 2;
    char *text = page();
    check_has(text, "<p class=\"decision\">Setup 2, spacers out, pads down: ");
    free(text);
    input.chosen_setup = 3;
    text = page();
    check_has(text, "<p class=\"decision\">Do not ride setup 3");
    ck_assert(strstr(text, "NOT TO BE RIDDEN") == NULL);
    free(text);
    record->limits.least[BIKE_SPACERS] = 5; /* setup 3 has none */
    text = page();
    check_has(text, "<p class=\"lead\">NOT TO BE RIDDEN LIKE THIS: it passes a limit ");
    check_has(text, " papers. spacers 0 mm: under the limit entered, 5 mm.</p>");
    free(text);
}
END_TEST

START_TEST(a_page_without_a_choice_says_so)
{
    input.chosen_setup = 0;
    char *text = page();
    check_has(text, "No setup has been chosen yet.");
    ck_assert(strstr(text, "How to practise") == NULL);
    free(text);
}
END_TEST

START_TEST(the_same_records_give_the_same_bytes)
{
    char *first = page(), *second = page();
    ck_assert_str_eq(first, second);
    free(first);
    free(second);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("page");
    TCase *tests = tcase_create("page");
    tcase_add_checked_fixture(tests, begin_chosen, end);
    tcase_add_test(tests, practice_grows_from_what_was_kept);
    tcase_add_test(tests, long_pieces_are_asked_for_where_the_share_rests_on_as_much);
    tcase_add_test(tests, a_long_hold_says_how_long_to_practise);
    tcase_add_test(tests, a_long_hold_in_another_band_says_nothing_of_this_one);
    tcase_add_test(tests, the_page_has_sheet_and_report);
    tcase_add_test(tests, the_page_has_landmarks_and_prints_its_tables);
    tcase_add_test(tests, narrow_long_tables_print_in_two_halves);
    tcase_add_test(tests, numbers_below_nought_have_a_minus_sign);
    tcase_add_test(tests, the_page_needs_nothing_from_outside);
    tcase_add_test(tests, no_practice_where_the_rider_cannot_see);
    tcase_add_test(tests, the_sessions_choice_is_taken_where_none_is_asked_for);
    tcase_add_test(tests, a_page_without_a_choice_says_so);
    tcase_add_test(tests, the_same_records_give_the_same_bytes);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
