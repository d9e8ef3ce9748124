/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "pictures.h"

#include "base/random.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "report/svg.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <math.h>
#include <string.h>

/* Axes: round values inside, none over another, scales that a stray value leaves alone. */

START_TEST(ticks_are_round_and_inside)
{
    struct svg_scale scale = svg_scale_make(860, 910, 0, 500, 60);
    /* 50 and 3 of room on both sides are 56 over 500: 60 apart is 6.7, the next round step 10 */
    ck_assert_double_eq_tol(scale.step, 10, 1e-12);
    ck_assert_double_eq_tol(svg_scale_tick(&scale, 0), 860, 1e-9);
    ck_assert_int_eq(svg_scale_ticks(&scale), 6);
    ck_assert_double_eq_tol(svg_scale_at(&scale, 857), 0, 1e-9);
    ck_assert_double_eq_tol(svg_scale_at(&scale, 913), 500, 1e-9);
    ck_assert_double_eq_tol(svg_scale_at(&scale, 885), 250, 1e-9);
    scale = svg_scale_make(5, 5, 0, 100, 50);
    ck_assert(scale.high > scale.low);
}
END_TEST

/* 11 on a picture 720 wide are 7.7 points on A4; half of it a letter, 64 of them are 352 wide. */
START_TEST(captions_are_smaller_only_where_they_are_long)
{
    static const struct {
        int letters;
        const char *size;
    } cases[] = {
        {64, "font-size=\"11.0\""}, {126, "font-size=\"11.0\""}, {127, "font-size=\"10.5\""}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char words[128];
        struct caught caught;
        memset(words, 'n', sizeof words);
        words[cases[i].letters] = '\0';
        plot_caption(catch_begin(&caught), 12, 39, words);
        char *text = catch_end(&caught);
        check_has(text, cases[i].size);
        free(text);
    }
}
END_TEST

/* DejaVu Sans: a digit takes 0.636 of its size, a point 0.318, '-' and '+' less than 0.84. */
static double printed_width(const char *text)
{
    double width = 0;
    for (; *text != '\0'; text++) {
        width += *text == '.' ? 0.318 : strchr("+-", *text) != NULL ? 0.838 : 0.636;
    }
    return width;
}

/* Whatever the range, from a thousandth to a million, on pictures of all breadths. */
START_TEST(values_at_an_axis_never_touch)
{
    struct random_source random;
    random_seed(&random, test_seed(17));
    int seen = 0;
    for (int i = 0; i < 10000; i++) {
        double middle = (random_uniform(&random) - 0.5) * pow(10, 7 * random_uniform(&random));
        double half = pow(10, 9 * random_uniform(&random) - 3);
        double from = 100 * random_uniform(&random), wide = 60 + 600 * random_uniform(&random);
        struct svg_scale scale =
            plot_scale_across(middle - half, middle + half, from, from + wide, 34);
        double last = -INFINITY;
        for (int tick = 0; tick < svg_scale_ticks(&scale); tick++, seen++) {
            char text[64];
            double at = svg_scale_tick(&scale, tick);
            plot_tick_text(text + 1, sizeof text - 1, &scale, tick);
            text[0] = '+';
            double x = svg_scale_at(&scale, at), reach = printed_width(text) * plot_tick.size / 2;
            ck_assert_msg(x - reach >= last + 2, "%d: '%s' begins at %.1f, before %.1f", i, text,
                          x - reach, last);
            last = x + reach;
        }
        /* two of twelve signs, each 8.1 wide, fit on any axis that is twice as long */
        ck_assert_msg(wide < 220 || svg_scale_ticks(&scale) >= 2, "%d: one value on %.0f", i, wide);
        double high = 40 + 300 * random_uniform(&random);
        struct svg_scale up = plot_scale_up(middle - half, middle + half, high, 0, 20);
        ck_assert_msg(svg_scale_ticks(&up) >= 2, "%d: one value on a height of %.0f", i, high);
        ck_assert_double_ge(high * up.step / (up.high - up.low), 12); /* letters are 12 high */
    }
    ck_assert_int_gt(seen, 20000); /* two of each, and more */
}
END_TEST

/* The middle nine tenths of 0 to 198 and a stray one are 10 to 189: three quarters of 179 are
 * 134.25.
 */
START_TEST(a_stray_value_stretches_no_scale)
{
    double values[200] = {5000}, low, high;
    for (int i = 1; i < 200; i++) {
        values[i] = 199 - i;
    }
    plot_span(values, 200, &low, &high);
    ck_assert_double_eq_tol(low, 0, 1e-9);
    ck_assert_double_eq_tol(high, 189 + 134.25, 1e-9);
    double one = 7;
    plot_span(&one, 1, &low, &high);
    ck_assert_double_eq(low, 7);
    ck_assert_double_eq(high, 7);
}
END_TEST

/* All values of an axis have as many decimals as its step. */
START_TEST(values_at_an_axis_have_the_same_decimals)
{
    static const struct {
        double low, high, step;
        const char *text[2];
    } axes[] = {{.2391, .2439, .002, {"0.240", "0.242"}},
                {-.61, .11, .5, {"-0.5", "0.0"}},
                {-21, 41, 20, {"-20", "0"}}};
    for (size_t i = 0; i < sizeof axes / sizeof axes[0]; i++) {
        struct svg_scale scale = {axes[i].low, axes[i].high, 0, 100, axes[i].step};
        for (int tick = 0; tick < 2; tick++) {
            char text[64];
            plot_tick_text(text, sizeof text, &scale, tick);
            ck_assert_str_eq(text, axes[i].text[tick]);
        }
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("axes");
    TCase *tests = tcase_create("axes");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, begin_chosen, end);
    tcase_add_test(tests, ticks_are_round_and_inside);
    tcase_add_test(tests, captions_are_smaller_only_where_they_are_long);
    tcase_add_test(tests, values_at_an_axis_never_touch);
    tcase_add_test(tests, a_stray_value_stretches_no_scale);
    tcase_add_test(tests, values_at_an_axis_have_the_same_decimals);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
