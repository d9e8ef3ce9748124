/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "pictures.h"

#include "base/random.h"
#include "base/text.h"
#include "report/languages.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "report/svg.h"
#include "support/markup.h"
#include "support/report_text.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Pictures: well-formed, complete, everything in the right place. */

static char *heights(void)
{
    struct caught caught;
    ck_assert(report_heights_svg(catch_begin(&caught), &input, NULL));
    return checked(catch_end(&caught));
}

static char *cloud(void)
{
    struct caught caught;
    ck_assert(report_cloud_svg(catch_begin(&caught), &input, made_samples, NULL, NULL));
    return checked(catch_end(&caught));
}

static char *holds(void)
{
    struct caught caught;
    ck_assert(report_holds_svg(catch_begin(&caught), &input, made_samples, NULL, NULL));
    return checked(catch_end(&caught));
}

START_TEST(the_checker_refuses_what_is_not_well_formed)
{
    static const char *const wrong[] = {"<a><b></a></b>", "<a>",        "a & b", "<a x=1/>",
                                        "1 < 2",          "<a x=\"1/>", "\x01"};
    char error[160];
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        ck_assert_msg(!markup_check(wrong[i], error), "taken: %s", wrong[i]);
    }
    ck_assert(markup_check("<?xml version=\"1.0\"?><a x=\"1\">&amp;<b/></a>", error));
}
END_TEST

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

/* Which numbers follow text in attributes called so. */
static double least_of(const char *text, const char *attribute)
{
    double least = INFINITY, value = 0;
    for (const char *at = text; (at = strstr(at, attribute)) != NULL; at++) {
        if (sscanf(at + strlen(attribute), "%lf", &value) == 1) {
            least = fmin(least, value);
        }
    }
    return least;
}

static char *differences(int most, int part, enum picture_breadth breadth)
{
    static const int both[] = {0, 1};
    struct caught caught;
    plot_differences(catch_begin(&caught), &input, both, 2, most, part, breadth, false);
    char *text = catch_end(&caught);
    return text[0] != '\0' ? checked(text) : text;
}

/* What matters is 10 mm on both: as wide in both, though the chest differs by more. */
START_TEST(a_millimetre_is_as_long_for_head_and_chest)
{
    double width[2] = {0, 1};
    int count = 0;
    analysis->free_heights[1].difference[1].difference = -70;
    analysis->free_heights[1].difference[1].low = -90;
    analysis->free_heights[1].difference[1].high = -50;
    analysis->free_heights[1].matters = analysis->free_heights[0].matters;
    char *text = differences(20, -1, PICTURE_BROAD);
    for (const char *at = text; (at = strstr(at, "<rect ")) != NULL; at++) {
        const char *grey = strstr(at, "#e9e9e9"), *end = strchr(at, '>');
        if (grey != NULL && grey < end && count < 2) {
            width[count++] = strtod(strstr(at, "width=\"") + strlen("width=\""), NULL);
        }
    }
    ck_assert_int_eq(count, 2);
    ck_assert_double_eq_tol(width[0], width[1], 0.11); /* both are rounded to 0.1 */
    free(text);
}
END_TEST

/* The axis says it as the verdicts do: nobody said where a sensor is fixed. */
START_TEST(ranges_are_lower_as_their_verdicts_are)
{
    char *text = differences(20, -1, PICTURE_BROAD);
    check_has(text, ">lower<");
    check_has(text, "of a line that reaches into it, that is not ruled out.");
    ck_assert_ptr_null(strstr(text, "nearer to the sensor"));
    free(text);
    record->placing[0].channel[0].mounted = record->placing[0].channel[1].mounted = false;
    text = differences(20, -1, PICTURE_BROAD);
    check_has(text, ">lower<");
    check_has(text, "95 times in 100. Lower: nearer to the sensor, which looks up.</text>");
    ck_assert_ptr_null(strstr(text, "shorter"));
    free(text);
}
END_TEST

START_TEST(differences_show_what_was_tested)
{
    input.chosen_setup = 2;
    char *text = differences(20, -1, PICTURE_BROAD);
    check_has(text, ">Against setup 1: what each setup changed</text>");
    check_has(text, ">head: lower on setup 2</text>");
    check_has(text, "lower 12 (6\u201318)</text>");
    check_has(text, ">FAILED: can&#39;t see</text>");
    analysis->free_heights[0].difference[2].verdict = VERDICT_LOWER;
    free(text);
    text = differences(20, -1, PICTURE_BROAD);
    check_has(text, ">head: lower on setup 2</text>"); /* not on 3, which failed */
    /* head: three free holds of setup 1 that count, two of setup 2, setup 3's; chest without it,
     * which is not tied; and a dot at each difference */
    ck_assert_int_ge(markup_count(text, "<circle"), 9);
    /* the chosen one is framed */
    ck_assert_int_eq(markup_count(text, "fill=\"none\" stroke=\"#0072b2\""), 1);
    free(text);
    for (int setup = 1; setup < record->setup_count; setup++) {
        for (int channel = 0; channel < 2; channel++) {
            analysis->free_heights[channel].setup[setup].holds = 0;
        }
    }
    text = differences(20, -1, PICTURE_BROAD);
    ck_assert_str_eq(text, ""); /* one setup alone differs from nothing */
    free(text);
}
END_TEST

/* A rider is told what is known; to the fitter it is said what would tell more. */
START_TEST(what_cannot_be_told_is_said_to_each_in_his_words)
{
    struct setup_difference *head = &analysis->free_heights[0].difference[1];
    head->verdict = VERDICT_CANNOT_TELL;
    head->advice = ADVICE_MORE_HOLDS;
    head->advice_holds = 4;
    char *text = differences(20, -1, PICTURE_BROAD);
    check_has(text, ">? cannot tell yet</text>");
    ck_assert_ptr_null(strstr(text, "4 more holds"));
    free(text);
    text = differences(20, 0, PICTURE_BROAD);
    check_has(text, ">? 4 more holds</text>");
    free(text);
}
END_TEST

/* The name gets what the words beside it leave, on the narrow picture; else two lines. */
START_TEST(names_of_setups_are_read_to_their_end)
{
    input.chosen_setup = 2;
    char *text = differences(20, -1, PICTURE_NARROW);
    check_has(text, ">2  spacers out, pads down</text>");
    free(text);
    text = differences(20, -1, PICTURE_BROAD);
    check_has(text, ">2  spacers out, pads</text>");
    check_has(text, ">down</text>");
    free(text);
}
END_TEST

/* A title that would be cut says on how many. */
START_TEST(a_title_of_many_setups_counts_them)
{
    for (int setup = record->setup_count; setup < 16; setup++) {
        record->setup[setup] = record->setup[1];
        record->setup[setup].number = setup + 1;
        analysis->free_heights[0].difference[setup] = analysis->free_heights[0].difference[1];
        analysis->free_heights[0].setup[setup] = analysis->free_heights[0].setup[1];
        analysis->free_heights[0].setup_count = setup + 1;
        analysis->free_heights[0].difference[setup].verdict =
            setup % 2 == 0 ? VERDICT_LOWER : VERDICT_HIGHER;
    }
    record->setup_count = 16;
    char *text = differences(20, -1, PICTURE_BROAD);
    /* 2, 5, 7, ... 15; 4, 6, ... 16; 3 failed */
    check_has(text, ">head: of 14, 7 lower, 7 higher</text>");
    free(text);
}
END_TEST

/* 505 points of A4 lie between the margins: letters of a picture 720 wide print at 0.70 of their
 * size. On a telephone of 360 dots the picture is as many dots wide as it says, 330. */
START_TEST(letters_can_be_read)
{
    input.chosen_setup = 2;
    for (int setup = record->setup_count; setup < SETUPS_MAX; setup++) {
        record->setup[setup] = record->setup[1];
        record->setup[setup].number = setup + 1;
        for (int channel = 0; channel < 2; channel++) {
            struct comparison *comparison = &analysis->free_heights[channel];
            comparison->setup_count = setup + 1;
            comparison->setup[setup] = comparison->setup[1];
            comparison->difference[setup] = comparison->difference[1];
        }
    }
    record->setup_count = SETUPS_MAX;
    char *text = differences(20, -1, PICTURE_BROAD);
    ck_assert_double_ge(least_of(text, "font-size=\"") * 505.28 / 720, 7);
    check_has(text, " 20 more not drawn.");
    ck_assert_int_eq(markup_count(text, ">2  spacers out"), 1); /* the chosen one always */
    /* a row is as high as its letters and half of that at least */
    free(text);
    text = differences(20, -1, PICTURE_NARROW);
    ck_assert_double_ge(least_of(text, "font-size=\""), 12);
    free(text);
    struct caught caught;
    ck_assert(plot_posture(catch_begin(&caught), &input, 1, PICTURE_BROAD));
    text = checked(catch_end(&caught));
    ck_assert_double_ge(least_of(text, "font-size=\"") * 505.28 / 720, 7);
    check_has(text, ">as found</text>");
    free(text);
    ck_assert(plot_posture(catch_begin(&caught), &input, 1, PICTURE_NARROW));
    text = checked(catch_end(&caught));
    ck_assert_double_ge(least_of(text, "font-size=\""), 12);
    free(text);
}
END_TEST

static char *posture(enum picture_breadth breadth)
{
    struct caught caught;
    ck_assert(plot_posture(catch_begin(&caught), &input, 1, breadth));
    return checked(catch_end(&caught));
}

/* Pads 10 mm lower, of which nobody entered how far forward they are. */
START_TEST(the_side_view_tells_what_it_does_not_draw)
{
    input.chosen_setup = 2;
    char *text = posture(PICTURE_BROAD);
    check_has(text, "<line x1=\"8.0\" y1=\"12.0\" x2=\"40.0\" y2=\"12.0\" stroke=\"#00735a\"");
    check_has(text, ">spacers</text>");
    check_has(text, ">head</text>"); /* the dots are named */
    check_has(text, ">chest</text>");
    ck_assert_ptr_null(strstr(text, "not drawn"));
    free(text);
    record->setup[0].bike.value[BIKE_PAD_FORE_AFT] = (double)NAN;
    record->setup[1].bike.value[BIKE_PAD_FORE_AFT] = (double)NAN;
    text = posture(PICTURE_BROAD);
    check_has(text, ">pad rise: lower by 10 mm (not drawn)</text>");
    ck_assert_ptr_null(strstr(text, "#00735a")); /* no green, and none in the key */
    free(text);
    text = posture(PICTURE_NARROW);
    check_has(text, ">pad rise: lower by 10 mm (not drawn)</text>");
    free(text);
}
END_TEST

/* The words beside the side view end before its border: a bold letter of 12 is 8 wide at most in
 * the mean. */
static int labels_within(const char *text, double width)
{
    int count = 0;
    for (const char *at = text; (at = strstr(at, "<text x=\"")) != NULL; at++) {
        double x = strtod(at + strlen("<text x=\""), NULL);
        const char *words = strchr(at, '>') + 1;
        char label[128];
        snprintf(label, sizeof label, "%.*s", (int)strcspn(words, "<"), words);
        if (strstr(at, "font-weight=\"bold\"") != NULL &&
            strstr(at, "font-weight=\"bold\"") < words) {
            ck_assert_msg(x + 7.6 * text_width(label) <= width, "'%s' at %.0f", label, x);
            count++;
        }
    }
    return count;
}

START_TEST(what_moved_is_told_within_the_picture)
{
    static const struct {
        const char *language;
        const char *part;
    } cases[] = {{"en", ">pads 40 mm lower,</text>"}, {"de", ">Armauflagen 40 mm tiefer,</text>"}};
    struct bike_values *found = &record->setup[0].bike, *now = &record->setup[1].bike;
    found->value[BIKE_EXTENSION_LENGTH] = 300;
    found->value[BIKE_EXTENSION_ANGLE] = 5;
    found->value[BIKE_EXTENSION_RISE] = 0;
    *now = *found;
    now->value[BIKE_PAD_RISE] -= 40;
    now->value[BIKE_PAD_FORE_AFT] += 110;
    now->value[BIKE_EXTENSION_LENGTH] = 100;
    now->value[BIKE_EXTENSION_ANGLE] = -25;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct caught caught;
        language_enter(languages_find(cases[i].language));
        ck_assert(plot_posture(catch_begin(&caught), &input, 1, PICTURE_BROAD));
        char *text = checked(catch_end(&caught));
        ck_assert_int_ge(labels_within(text, SVG_WIDTH), 5);
        check_has(text, cases[i].part);
        free(text);
        ck_assert(plot_posture(catch_begin(&caught), &input, 1, PICTURE_NARROW));
        text = checked(catch_end(&caught));
        ck_assert_int_ge(labels_within(text, SVG_NARROW), 3);
        free(text);
    }
    language_enter(NULL);
}
END_TEST

START_TEST(heights_show_each_setup_that_is_tied)
{
    char *text = heights();
    /* head: the baseline is a square, setups 2 and 3 are circles; chest: setup 3 is not tied */
    ck_assert_int_eq(markup_count(text, "<circle"), 3);
    check_has(text, ">head: lower on setup 2</text>");
    check_has(text, ">chest: none is lower or higher than setup 1 for certain</text>");
    check_has(text, ">lower by 12 (6 to 18)</text>");
    check_has(text, ">FAILED: cannot see ahead</text>");
    check_has(text, ">height above the bottom bracket, mm</text>");
    free(text);
}
END_TEST

/* Where there is no room for all: the first, which the others are set against, and the last. */
START_TEST(heights_of_some_setups_say_how_many)
{
    struct caught caught;
    input.chosen_setup = record->settings.chosen_setup = 0;
    plot_heights(catch_begin(&caught), &input, 0, 2);
    char *text = checked(catch_end(&caught));
    check_has(text, "setup 1. 2 of 3 setups are shown.</text>");
    ck_assert_ptr_null(strstr(text, ">lower by 12 (6 to 18)</text>"));
    free(text);
    input.chosen_setup = 2;
    plot_heights(catch_begin(&caught), &input, 0, 2);
    text = checked(catch_end(&caught));
    check_has(text, ">lower by 12 (6 to 18)</text>");
    ck_assert_ptr_null(strstr(text, ">FAILED: cannot see ahead</text>"));
    free(text);
}
END_TEST

START_TEST(a_mean_stands_where_it_belongs)
{
    /* head: from 871.6 - 4.4 = 867.2 to 884.1 + 10 = 894.1, with 0.06 of that on both sides, on 20
     * to 700 */
    double room = 0.06 * (894.1 - 867.2);
    double x = 20 + 680 * (871.6 - (867.2 - room)) / (894.1 - 867.2 + 2 * room);
    char expected[64];
    char *text = heights();
    snprintf(expected, sizeof expected, "<circle cx=\"%.1f\" cy=\"132.0\"", x);
    check_has(text, expected);
    free(text);
}
END_TEST

START_TEST(the_cloud_has_an_ellipse_for_each_setup)
{
    char *text = cloud();
    /* setup 3's chest is not tied, so two ellipses */
    ck_assert_int_eq(markup_count(text, "<ellipse"), 2);
    check_has(text, ">Where head and chest were together</text>");
    check_has(text, ">chest height, mm</text>");
    check_has(text, ">2  spacers out, pads down</text>");
    /* three free holds of 60 s and one, a dot a second, and a number in each ellipse */
    ck_assert_int_eq(markup_count(text, "<circle"), 4 * 60 + 2);
    free(text);
}
END_TEST

START_TEST(no_cloud_without_two_channels)
{
    struct caught caught;
    struct problem problem = {PROBLEM_NONE, ""};
    analysis->body[1] = false;
    ck_assert(!report_cloud_svg(catch_begin(&caught), &input, made_samples, NULL, &problem));
    free(catch_end(&caught));
    ck_assert(strstr(problem.sentence, "two tied channels") != NULL);
}
END_TEST

START_TEST(each_hold_has_its_course)
{
    char *text = holds();
    /* nine holds of two channels, but setup 3's chest is named only */
    ck_assert_int_eq(markup_count(text, "<path"), 17);
    check_has(text, ">hold 5: setup 2, free, rejected</text>");
    check_has(text, ">hold 9: setup 1, guided, kept afterwards</text>");
    check_has(text, ">hold 7: setup 3, free, not tied</text>");
    check_has(text, ">head in each hold: none crept by more than chance</text>");
    free(text);
}
END_TEST

static char *tradeoff(void)
{
    struct caught caught;
    ck_assert(report_tradeoff_svg(catch_begin(&caught), &input, NULL));
    return checked(catch_end(&caught));
}

static char *bands(void)
{
    struct caught caught;
    ck_assert(report_bands_svg(catch_begin(&caught), &input, made_samples, NULL, NULL));
    return checked(catch_end(&caught));
}

static char *bike(void)
{
    struct caught caught;
    ck_assert(report_bike_svg(catch_begin(&caught), &input, NULL));
    return checked(catch_end(&caught));
}

static char *fronts(void)
{
    struct caught caught;
    ck_assert(report_fronts_svg(catch_begin(&caught), &input, NULL));
    return checked(catch_end(&caught));
}

START_TEST(the_tradeoff_tells_what_stands)
{
    char *text = tradeoff();
    /* setup 3 has no guided hold: keeping shows setups 1 and 2, feeling all that were rated */
    check_has(text, ">In the band, % of the time, gauge seen (higher up is better)</text>");
    check_has(text, ">Worst discomfort, 0 to 10 (lower down is better)</text>");
    check_has(text, ">head height above the bottom bracket, mm</text>");
    check_has(text, ">3  long and low: FAILED, cannot see ahead</text>");
    /* 2 is lower, 1 was kept better: neither beats the other */
    check_has(text, ">What a lower head costs: no setup is shown to be best</text>");
    free(text);
    for (int setup = 0; setup < 2; setup++) {
        struct tradeoff_mark *mark = &analysis->insight.mark[setup];
        memset(mark->leads, 0, sizeof mark->leads);
    }
    text = tradeoff(); /* a complaint is said, not that none beats it */
    check_has(text, ": it made the rider numb: change that before anything else</text>");
    free(text);
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_NUMB_HANDS] = ANSWER_NO;
        if (record->rating[i].setup < 2) {
            record->rating[i].value[RATING_SEES_AHEAD] = SEES_YES;
        }
    }
    text = tradeoff(); /* what is true of both is said once */
    check_has(text, ">Setups 1 and 2: not shown to be beaten by any other");
    free(text);
}
END_TEST

/* Where all were rated alike, that is no picture. */
START_TEST(what_is_all_the_same_is_not_drawn)
{
    for (int i = 1; i < record->rating_count; i++) {
        memcpy(record->rating[i].value, record->rating[0].value, sizeof record->rating[0].value);
    }
    insight_make(record, analysis);
    char *text = tradeoff();
    check_has(text, "In the band, %");
    ck_assert_ptr_null(strstr(text, "Worst discomfort"));
    free(text);
}
END_TEST

/* A second of it leaves the scale as it was, and is told. */
START_TEST(what_lies_outside_is_told)
{
    char *text = holds();
    ck_assert_ptr_null(strstr(text, "Arrow"));
    int paths = markup_count(text, "<path");
    free(text);
    text = cloud();
    ck_assert_ptr_null(strstr(text, "Beyond"));
    free(text);
    text_copy(record->setup[1].intent, sizeof record->setup[1].intent,
              "spacers half, pads 15 forward");
    text = cloud(); /* a name that is too long for a line goes on in the next */
    check_has(text, ">2  spacers half, pads 15</text>");
    check_has(text, ">forward</text>");
    free(text);
    stray_second = 100;
    text = holds();
    check_has(text, " Arrow: beyond.</text>");
    ck_assert_int_gt(markup_count(text, "<path"), paths);
    free(text);
    text = cloud();
    check_has(text, "Beyond the picture: 1 s.</text>");
    free(text);
    stray_second = 0;
}
END_TEST

/* Setups that are equally low and felt the same: no mark hides another. */
START_TEST(marks_in_one_place_stand_side_by_side)
{
    for (int setup = 1; setup < 3; setup++) {
        analysis->free_heights[0].setup[setup] = analysis->free_heights[0].setup[0];
    }
    for (int i = 1; i < record->rating_count; i++) {
        memcpy(record->rating[i].value, record->rating[0].value, sizeof record->rating[0].value);
        if (record->rating[i].setup == 2) {
            record->rating[i].value[RATING_NECK] = 9; /* or there were nothing to see */
        }
    }
    insight_make(record, analysis);
    char *text = tradeoff();
    struct point at[16] = {{0}};
    int count = 0;
    for (const char *circle = text; (circle = strstr(circle, "<circle")) != NULL && count < 16;
         circle++) {
        ck_assert_int_eq(
            sscanf(circle, "<circle cx=\"%lf\" cy=\"%lf\"", &at[count].x_mm, &at[count].y_mm), 2);
        count++;
    }
    ck_assert_int_eq(count, 2 + 3);
    for (int a = 0; a < count; a++) {
        for (int b = 0; b < a; b++) {
            ck_assert_double_ge(hypot(at[a].x_mm - at[b].x_mm, at[a].y_mm - at[b].y_mm), 17.9);
        }
    }
    ck_assert_double_eq_tol(at[2].y_mm, at[3].y_mm, 0.1); /* the same discomfort */
    free(text);
}
END_TEST

START_TEST(no_tradeoff_of_one_setup)
{
    struct caught caught;
    struct problem problem = {PROBLEM_NONE, ""};
    record->setup_count = 1;
    ck_assert(!report_tradeoff_svg(catch_begin(&caught), &input, &problem));
    char *text = catch_end(&caught);
    ck_assert_str_eq(text, "");
    free(text);
    ck_assert(strstr(problem.sentence, "two setups") != NULL);
}
END_TEST

START_TEST(bands_show_what_was_proposed)
{
    struct band_proposal proposals[BAND_PROPOSALS_MAX];
    char *text = bands();
    int count[2];
    for (int channel = 0; channel < 2; channel++) {
        count[channel] =
            analysis_propose_band(record, analysis, 0, channel, &record->band[0].cue[channel],
                                  made_samples, NULL, proposals);
        ck_assert_int_gt(count[channel], 1);
    }
    check_has(text, ">head: a band of +");
    check_has(text, ">chest: a band of +");
    check_has(text, ">as it was set</text>");
    check_has(text, ">limit above the target, mm</text>");
    check_has(text, ">proposed: +");
    ck_assert(strstr(text, "\u2026") == NULL); /* each is said to its end */
    /* a mark for each proposal: circles, or squares where there is no limit below */
    ck_assert_int_eq(markup_count(text, "<circle") + markup_count(text, "<rect") - 1,
                     count[0] + count[1]);
    free(text);
}
END_TEST

/* 60 s at 50 a second: the head's sensor goes up and down by 4 mm once in 20 s (made_samples). */
START_TEST(a_still_test_shows_course_and_averaging)
{
    struct caught caught;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(!report_still_svg(catch_begin(&caught), &input, made_samples, NULL, &problem));
    free(catch_end(&caught));
    ck_assert(strstr(problem.sentence, "still test") != NULL);
    record->check_count = 1;
    record->check[0] = (struct check_record){.kind = CHECK_STILL, .channel = -1, .capture = 1};
    ck_assert(report_still_svg(catch_begin(&caught), &input, made_samples, NULL, NULL));
    char *text = checked(catch_end(&caught));
    check_has(text, ">Check 1: the sensors at rest, and how far averaging helps</text>");
    check_has(text, ">time, s</text>");
    check_has(text, ">averaged over, s</text>");
    check_has(text, ">head: noise ");
    check_has(text, ">chest: noise ");
    /* a course and a curve for each channel, a dot at each curve's least */
    ck_assert_int_eq(markup_count(text, "<path"), 4);
    ck_assert_int_eq(markup_count(text, "<circle"), 2);
    free(text);
    record->check[0].channel = 1;
    ck_assert(report_still_svg(catch_begin(&caught), &input, made_samples, NULL, NULL));
    text = checked(catch_end(&caught));
    ck_assert_int_eq(markup_count(text, "<path"), 2);
    ck_assert(strstr(text, ">head: noise ") == NULL);
    free(text);
    record->check[0].kind = CHECK_BEAM;
    ck_assert(!report_still_svg(catch_begin(&caught), &input, made_samples, NULL, NULL));
    free(catch_end(&caught));
}
END_TEST

START_TEST(the_bike_as_chosen_over_as_found)
{
    char *text = bike();
    check_has(text, "id=\"now-pads\"");
    check_has(text, "id=\"before-pads\"");
    free(text);
    input.chosen_setup = 0;
    text = bike();
    ck_assert(strstr(text, "before-pads") == NULL);
    free(text);
}
END_TEST

START_TEST(the_bars_of_all_setups_are_to_scale)
{
    char *text = fronts();
    const char *at = text;
    double y[3];
    /* a circle at each bar clamp: 10 mm of spacers less and 10 less again, along a head angle of 73
     * degrees, are 10 sin 73 = 9.56 mm each */
    ck_assert_int_eq(markup_count(text, "<circle"), 3);
    for (int setup = 0; setup < 3; setup++) {
        double x = 0;
        at = strstr(at, "<circle");
        ck_assert(at != NULL && sscanf(at, "<circle cx=\"%lf\" cy=\"%lf\"", &x, &y[setup]) == 2);
        at++;
    }
    ck_assert_double_gt(y[1] - y[0], 1);
    ck_assert_double_eq_tol(y[2] - y[1], y[1] - y[0], 0.21);
    check_has(text, ">forward of the bottom bracket, mm (front at the right)</text>");
    free(text);
}
END_TEST

START_TEST(parts_that_are_missing_are_named)
{
    struct caught caught;
    struct problem problem = {PROBLEM_NONE, ""};
    record->setup[0].bike.value[BIKE_STACK] = NAN;
    ck_assert(!report_bike_svg(catch_begin(&caught), &input, &problem));
    free(catch_end(&caught));
    ck_assert_msg(strstr(problem.sentence, "stack") != NULL, "%s", problem.sentence);
}
END_TEST

START_TEST(a_course_breaks_where_readings_are_missing)
{
    struct caught caught;
    bool pen_down = false;
    svg_path_begin(catch_begin(&caught), "fill=\"none\"");
    svg_path_point(caught.stream, 1, 2, &pen_down);
    svg_path_point(caught.stream, 2, 3, &pen_down);
    svg_path_point(caught.stream, 3, NAN, &pen_down);
    svg_path_point(caught.stream, 4, 5, &pen_down);
    svg_path_end(caught.stream);
    char *text = catch_end(&caught);
    ck_assert_str_eq(text, "<path fill=\"none\" d=\"M1.0 2.0L2.0 3.0M4.0 5.0\"/>\n");
    free(text);
}
END_TEST

START_TEST(pictures_keep_text_as_text)
{
    char *texts[] = {heights(), cloud(), holds(), tradeoff(), bands(), bike(), fronts()};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        ck_assert(strstr(texts[i], " opacity=") == NULL);
        ck_assert(strstr(texts[i], "<mask") == NULL && strstr(texts[i], "<filter") == NULL);
        ck_assert(strstr(texts[i], "<image") == NULL && strstr(texts[i], "<script") == NULL);
        free(texts[i]);
    }
}
END_TEST

START_TEST(hostile_names_stay_text)
{
    snprintf(record->rider.code, sizeof record->rider.code, "<script>alert('1')</script>");
    snprintf(record->setup[1].intent, sizeof record->setup[1].intent, "a & b <i>\"c\"</i>");
    snprintf(analysis->channel_name[0], CHANNEL_NAME_SIZE, "<b>&");
    snprintf(record->note[0].text, sizeof record->note[0].text, "</body>\x02");
    char *texts[] = {page(), heights(), cloud(), holds(), tradeoff(), bands(), bike(), fronts()};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        ck_assert(strstr(texts[i], "<script") == NULL && strstr(texts[i], "<i>") == NULL);
        free(texts[i]);
    }
}
END_TEST

START_TEST(an_empty_session_is_no_trouble)
{
    memset(record, 0, sizeof *record);
    memset(analysis, 0, sizeof *analysis);
    record->settings.baseline_setup = 1;
    input.chosen_setup = 0;
    free(page());
    /* pictures of nothing are refused, not drawn empty */
    struct caught caught;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(!report_heights_svg(catch_begin(&caught), &input, &problem));
    check_has(problem.sentence, "it takes a free hold that counts");
    char *text = catch_end(&caught);
    ck_assert_str_eq(text, "");
    free(text);
    ck_assert(!report_holds_svg(catch_begin(&caught), &input, made_samples, NULL, &problem));
    check_has(problem.sentence, "it takes a hold with readings");
    text = catch_end(&caught);
    ck_assert_str_eq(text, "");
    free(text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("pictures");
    TCase *tests = tcase_create("pictures");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, begin_chosen, end);
    tcase_add_test(tests, the_checker_refuses_what_is_not_well_formed);
    tcase_add_test(tests, ticks_are_round_and_inside);
    tcase_add_test(tests, values_at_an_axis_never_touch);
    tcase_add_test(tests, a_stray_value_stretches_no_scale);
    tcase_add_test(tests, what_is_all_the_same_is_not_drawn);
    tcase_add_test(tests, what_lies_outside_is_told);
    tcase_add_test(tests, values_at_an_axis_have_the_same_decimals);
    tcase_add_test(tests, differences_show_what_was_tested);
    tcase_add_test(tests, what_cannot_be_told_is_said_to_each_in_his_words);
    tcase_add_test(tests, names_of_setups_are_read_to_their_end);
    tcase_add_test(tests, a_title_of_many_setups_counts_them);
    tcase_add_test(tests, letters_can_be_read);
    tcase_add_test(tests, what_moved_is_told_within_the_picture);
    tcase_add_test(tests, heights_show_each_setup_that_is_tied);
    tcase_add_test(tests, heights_of_some_setups_say_how_many);
    tcase_add_test(tests, a_mean_stands_where_it_belongs);
    tcase_add_test(tests, the_cloud_has_an_ellipse_for_each_setup);
    tcase_add_test(tests, no_cloud_without_two_channels);
    tcase_add_test(tests, each_hold_has_its_course);
    tcase_add_test(tests, the_side_view_tells_what_it_does_not_draw);
    tcase_add_test(tests, a_millimetre_is_as_long_for_head_and_chest);
    tcase_add_test(tests, ranges_are_lower_as_their_verdicts_are);
    tcase_add_test(tests, the_tradeoff_tells_what_stands);
    tcase_add_test(tests, marks_in_one_place_stand_side_by_side);
    tcase_add_test(tests, no_tradeoff_of_one_setup);
    tcase_add_test(tests, bands_show_what_was_proposed);
    tcase_add_test(tests, a_still_test_shows_course_and_averaging);
    tcase_add_test(tests, the_bike_as_chosen_over_as_found);
    tcase_add_test(tests, the_bars_of_all_setups_are_to_scale);
    tcase_add_test(tests, parts_that_are_missing_are_named);
    tcase_add_test(tests, a_course_breaks_where_readings_are_missing);
    tcase_add_test(tests, pictures_keep_text_as_text);
    tcase_add_test(tests, hostile_names_stay_text);
    tcase_add_test(tests, an_empty_session_is_no_trouble);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
