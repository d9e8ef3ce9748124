/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The rules of practice at home, by the numbers that were decided. */
#include "support/test_main.h"

#include "measure/practice.h"
#include "measure/rules.h"

#include "base/random.h"

#include <math.h>
#include <string.h>

/* By hand: ln(10.9 / 10.1), ln(4.5 / .5), and of a whole hour's 36.5 blocks ln(.5 / 37). */
START_TEST(a_share_on_the_logit_s_scale)
{
    ck_assert_double_eq_tol(share_logit(0.52, 20), log(10.9 / 10.1), 1e-12);
    ck_assert_double_eq_tol(share_logit(1.0, 3), log(4.5 / 0.5), 1e-12);
    ck_assert_double_eq_tol(share_logit(0.0, 36.5), log(0.5 / 37.0), 1e-12);
    ck_assert_double_eq_tol(share_of_logit(log(3.0)), 0.75, 1e-12);
}
END_TEST

START_TEST(every_row_of_feedback)
{
    static const char *const rows[] = {"SSASHA", "SAHSAH", "HAHAHA", "HAAHAN", "ANANAN"};
    static const char letters[] = "?SHAN";
    for (int row = 0; row < FEEDBACK_ROWS; row++) {
        for (int piece = 0; piece < 2 * FEEDBACK_ORDER; piece++) {
            ck_assert_int_eq(letters[feedback_of(row, piece)], rows[row][piece % FEEDBACK_ORDER]);
        }
    }
    ck_assert_int_eq(feedback_of(-1, 0), TOLD_SEEN);
    ck_assert_int_eq(feedback_of(9, 1), TOLD_NONE);
    ck_assert(told_during(TOLD_SEEN) && told_during(TOLD_HEARD));
    ck_assert(!told_during(TOLD_AFTER) && !told_during(TOLD_NONE));
}
END_TEST

START_TEST(which_row_a_share_belongs_to)
{
    ck_assert_int_eq(feedback_row(0.0), 0);
    ck_assert_int_eq(feedback_row(0.499), 0);
    ck_assert_int_eq(feedback_row(0.5), 1);
    ck_assert_int_eq(feedback_row(0.699), 1);
    ck_assert_int_eq(feedback_row(0.7), 2);
    ck_assert_int_eq(feedback_row(0.849), 2);
    ck_assert_int_eq(feedback_row(0.85), 3);
    ck_assert_int_eq(feedback_row(0.95), 3);
    ck_assert_int_eq(feedback_row(0.951), 4);
}
END_TEST

START_TEST(one_test_is_noise)
{
    const double up[] = {.55, .60, .72, .58, .71, .74, .75}, down[] = {.72, .74, .6, .75, .6, .6};
    const double both[] = {.96, .94}, learnt[] = {.96, .97}, leap[] = {.4, .4, .9, .9, .9, .9};
    const double one[] = {.99, .93}, other[] = {.93, .99}; /* .96 together */
    ck_assert_int_eq(feedback_row_after(up, 0), 0);
    ck_assert_int_eq(feedback_row_after(learnt, 1), 3);
    ck_assert_int_eq(feedback_row_after(up, 1), 1);
    ck_assert_int_eq(feedback_row_after(up, 3), 1); /* one over it */
    ck_assert_int_eq(feedback_row_after(up, 5), 1); /* one, one back, one */
    ck_assert_int_eq(feedback_row_after(up, 6), 2);
    ck_assert_int_eq(feedback_row_after(up, 7), 2);
    ck_assert_int_eq(feedback_row_after(down, 3), 2);
    ck_assert_int_eq(feedback_row_after(down, 5), 2);
    ck_assert_int_eq(feedback_row_after(down, 6), 1);
    ck_assert_int_eq(feedback_row_after(both, 2), 3); /* over .95 twice, or not there */
    ck_assert_int_eq(feedback_row_after(one, 2), 3);
    ck_assert_int_eq(feedback_row_after(other, 2), 3);
    ck_assert_int_eq(feedback_row_after(learnt, 2), 4);
    ck_assert_int_eq(feedback_row_after(leap, 4), 1); /* one row at a time */
    ck_assert_int_eq(feedback_row_after(leap, 6), 2);
}
END_TEST

START_TEST(a_piece_grows_after_two_and_shrinks_after_one)
{
    struct piece_length piece = piece_length_first(90);
    ck_assert_double_eq_tol(piece.length_s, 60, 1e-12);
    piece_length_next(&piece, true, false);
    ck_assert_double_eq_tol(piece.length_s, 60, 1e-12);
    piece_length_next(&piece, true, false);
    ck_assert_double_eq_tol(piece.length_s, 75, 1e-12);
    piece_length_next(&piece, true, false);
    piece_length_next(&piece, false, false);
    ck_assert_double_eq_tol(piece.length_s, 60, 1e-12);
    piece_length_next(&piece, true, false); /* the one before it doesn't count any more */
    ck_assert_double_eq_tol(piece.length_s, 60, 1e-12);
    piece_length_next(&piece, true, true); /* held for discomfort */
    ck_assert_double_eq_tol(piece.length_s, 60, 1e-12);
    piece_length_back(&piece);
    ck_assert_double_eq_tol(piece.length_s, 48, 1e-12);
}
END_TEST

START_TEST(pieces_have_limits)
{
    struct piece_length piece = piece_length_first((double)NAN);
    ck_assert_double_eq(piece.length_s, 30);
    ck_assert_double_eq(piece_length_first(0).length_s, 30);
    ck_assert_double_eq(piece_length_first(15).length_s, 20);
    ck_assert_double_eq(piece_length_first(7200).length_s, 1200);
    for (int i = 0; i < 60; i++) {
        piece_length_next(&piece, true, false);
    }
    ck_assert_double_eq(piece.length_s, 1200);
    for (int i = 0; i < 60; i++) {
        piece_length_next(&piece, false, false);
    }
    ck_assert_double_eq(piece.length_s, 20);
    ck_assert_double_eq(piece_rest_s(50), 50);
    ck_assert_double_eq(piece_rest_s(900), 180);
    ck_assert(piece_kept(0.9, false, 3.9) && piece_kept(1, false, (double)NAN));
    ck_assert(!piece_kept(0.89, false, 0) && !piece_kept(1, true, 0) && !piece_kept(1, false, 4));
}
END_TEST

START_TEST(a_session_is_no_more_than_a_third_longer)
{
    const double totals_s[] = {900, 300, 360, 240};
    ck_assert(isinf(pieces_total_most_s(totals_s, 0)));
    ck_assert_double_eq_tol(pieces_total_most_s(totals_s, 2), 1170, 1e-9);
    ck_assert_double_eq_tol(pieces_total_most_s(totals_s, 3), 1170, 1e-9);
    ck_assert_double_eq_tol(pieces_total_most_s(totals_s, 4), 468, 1e-9);
}
END_TEST

/* P(kept) a logistic function of ln length, middle 180 s, slope .35: it settles where P is the root
 * of one half, 180 exp(-.35 ln(.7071 / .2929)) = 132.2 s (Levitt 1971). 400 runs of 400 pieces, the
 * first four reversals dropped: the mean of reversals was 131.1 s in Python. */
START_TEST(where_the_length_settles)
{
    struct random_source random;
    double sum = 0.0, exact_s = 180.0 * exp(-0.35 * log(sqrt(0.5) / (1.0 - sqrt(0.5))));
    int reversals = 0;
    random_seed(&random, 20250101);
    for (int run = 0; run < 400; run++) {
        struct piece_length piece = {60.0, 0};
        int direction = 0, seen = 0;
        for (int i = 0; i < 400; i++) {
            double before_s = piece.length_s;
            double p = 1.0 / (1.0 + exp((log(before_s) - log(180.0)) / 0.35));
            piece_length_next(&piece, random_uniform(&random) < p, false);
            int now = (piece.length_s > before_s) - (piece.length_s < before_s);
            if (now != 0 && direction != 0 && now != direction && ++seen > 4) {
                sum += log(before_s);
                reversals++;
            }
            direction = now != 0 ? now : direction;
        }
    }
    ck_assert_double_eq_tol(exact_s, 132.2, 0.05);
    ck_assert_double_eq_tol(exp(sum / reversals), 131.1, 1.5);
}
END_TEST

START_TEST(discomfort_rules_over_length)
{
    ck_assert_int_eq(discomfort_asks_of(3, 3, 2, false), DISCOMFORT_NOTHING);
    ck_assert_int_eq(discomfort_asks_of((double)NAN, (double)NAN, (double)NAN, false),
                     DISCOMFORT_NOTHING);
    ck_assert_int_eq(discomfort_asks_of(4, 3, 0, false), DISCOMFORT_SHORTER);
    ck_assert_int_eq(discomfort_asks_of(6, (double)NAN, 0, false), DISCOMFORT_SHORTER);
    ck_assert_int_eq(discomfort_asks_of(0, 0, 2.1, false), DISCOMFORT_SHORTER);
    ck_assert_int_eq(discomfort_asks_of(4, 4, 0, false), DISCOMFORT_STUDIO);
    ck_assert_int_eq(discomfort_asks_of(7, 0, 0, false), DISCOMFORT_STUDIO);
    ck_assert_int_eq(discomfort_asks_of(0, 0, 0, true), DISCOMFORT_ENDS);
}
END_TEST

START_TEST(kept_only_while_told)
{
    const double told[] = {.9, .95, .95}, test[] = {.8, .7, .74}, last[] = {.6, .7, .76};
    const double gap[] = {.6, (double)NAN, .7};
    ck_assert(!depends_on_feedback(told, test, 2));
    ck_assert(depends_on_feedback(told, test, 3));
    ck_assert(!depends_on_feedback(told, last, 3));
    ck_assert(depends_on_feedback(told, gap, 3));
    ck_assert(!depends_on_feedback(told + 2, test + 2, 1));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("practice");
    TCase *tests = tcase_create("practice");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_share_on_the_logit_s_scale);
    tcase_add_test(tests, every_row_of_feedback);
    tcase_add_test(tests, which_row_a_share_belongs_to);
    tcase_add_test(tests, one_test_is_noise);
    tcase_add_test(tests, a_piece_grows_after_two_and_shrinks_after_one);
    tcase_add_test(tests, pieces_have_limits);
    tcase_add_test(tests, a_session_is_no_more_than_a_third_longer);
    tcase_add_test(tests, where_the_length_settles);
    tcase_add_test(tests, discomfort_rules_over_length);
    tcase_add_test(tests, kept_only_while_told);
    return test_main(suite);
}
