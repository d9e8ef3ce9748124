/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "pictures.h"

#include "base/text.h"
#include "report/languages.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "support/markup.h"
#include "support/report_text.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What sets the setups apart, in pictures: differences, names, the rider from the side. */

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
    check_has(text, "95 times in 100. Lower: nearer to the sensor, if it looks up.</text>");
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

/* One row with its range beside another without it looks as if the other were sure. */
START_TEST(all_rows_have_their_ranges_or_none)
{
    static const enum picture_breadth breadths[] = {PICTURE_BROAD, PICTURE_NARROW};
    struct setup_difference *chest = &analysis->free_heights[1].difference[1];
    chest->verdict = VERDICT_LOWER;
    chest->has_interval = true;
    for (int i = 0; i < 2; i++) {
        chest->difference = -105.0;
        chest->low = -119.0;
        chest->high = -91.0;
        char *text = differences(20, -1, breadths[i]);
        check_has(text, "lower 12 (6\u201318)");
        check_has(text, "lower 105 (91\u2013119)");
        free(text);
        chest->difference = -1050000.0; /* more than has room */
        chest->low = -1190000.0;
        chest->high = -910000.0;
        text = differences(20, -1, breadths[i]);
        check_has(text, "\u25BC lower 12<");
        check_has(text, "\u25BC lower 1050000<");
        ck_assert_ptr_null(strstr(text, "(6\u201318)"));
        free(text);
    }
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

/* How far down words stand. */
static double height_of(const char *text, const char *words)
{
    double x = 0, y = 0;
    const char *at = strstr(text, words);
    ck_assert_ptr_nonnull(at);
    while (strncmp(at, "<text", 5) != 0) {
        at--;
    }
    ck_assert(sscanf(at, "<text x=\"%lf\" y=\"%lf\"", &x, &y) == 2);
    return y;
}

/* A wheel is the first circle where no body is drawn. */
static double under_the_wheels(const char *text)
{
    double x = 0, y = 0, r = 0;
    const char *at = strstr(text, "<circle");
    ck_assert(at != NULL && sscanf(at, "<circle cx=\"%lf\" cy=\"%lf\" r=\"%lf\"", &x, &y, &r) == 3);
    return y + r;
}

/* Without the saddle's place there is neither saddle nor rider; without two heights no rider. */
START_TEST(the_side_view_tells_what_would_draw_the_rider)
{
    static const enum picture_breadth breadths[] = {PICTURE_BROAD, PICTURE_NARROW};
    input.chosen_setup = 2;
    for (size_t i = 0; i < 2; i++) {
        for (int setup = 0; setup < 2; setup++) {
            record->setup[setup].bike.value[BIKE_SADDLE_HEIGHT] = 745;
        }
        char *text = posture(breadths[i]);
        ck_assert_ptr_null(strstr(text, ">no "));
        free(text);
        record->setup[1].bike.value[BIKE_SADDLE_HEIGHT] = (double)NAN;
        text = posture(breadths[i]);
        check_has(text, ">no saddle or rider: enter the saddle height</text>");
        ck_assert_double_gt(height_of(text, ">no saddle or"), under_the_wheels(text));
        free(text);
        analysis->body[1] = false; /* the head alone is left */
        text = posture(breadths[i]);
        check_has(text, ">no saddle: enter the saddle height</text>");
        check_has(text, ">no rider: needs the heights of two sensors</text>");
        free(text);
        record->setup[1].bike.value[BIKE_SADDLE_HEIGHT] = 745;
        text = posture(breadths[i]);
        ck_assert_ptr_null(strstr(text, "no saddle"));
        check_has(text, ">no rider: needs the heights of two sensors</text>");
        free(text);
        analysis->body[1] = true;
    }
}
END_TEST

/* What grey means stands on the picture of a telephone, too. */
START_TEST(a_line_into_the_grey_is_explained_on_each_picture)
{
    char *text = differences(3, -1, PICTURE_NARROW);
    check_has(text, ">Line: the truth is there. Grey: too little.</text>");
    check_has(text, ">A line into the grey: it may be too little.</text>");
    free(text);
    text = differences(3, -1, PICTURE_BROAD);
    check_has(text, "of a line that reaches into it, that is not ruled out.</text>");
    free(text);
}
END_TEST

/* Where the number of a setup (bold, in its colour) stands. */
static void number_of(const char *text, const char *number, double *x, double *y)
{
    char end[32];
    snprintf(end, sizeof end, "\">%s</text>", number);
    for (const char *at = text; (at = strstr(at, "<text x=\"")) != NULL; at++) {
        size_t length = strcspn(at, ">");
        if (strstr(at, "bold") != NULL && strstr(at, "bold") < at + length &&
            strncmp(at + length - 1, end, strlen(end)) == 0 &&
            sscanf(at, "<text x=\"%lf\" y=\"%lf\"", x, y) == 2) {
            return;
        }
    }
    ck_abort_msg("no number %s", number);
}

/* Bars that end 4 mm apart: each number stands at its own bar's end, on another side of it. */
START_TEST(numbers_of_near_bars_stand_at_their_bars)
{
    double x[3], y[3];
    for (int setup = 0; setup < 3; setup++) {
        struct bike_values *bike = &record->setup[setup].bike;
        *bike = record->setup[0].bike;
        bike->value[BIKE_PAD_RISE] = 60 + 4 * setup;
        bike->value[BIKE_PAD_FORE_AFT] = -20;
        bike->value[BIKE_EXTENSION_LENGTH] = (double)NAN;
    }
    struct caught caught;
    ck_assert(report_fronts_svg(catch_begin(&caught), &input, NULL));
    char *text = checked(catch_end(&caught));
    const char *at = text;
    check_has(text, ">Bar and pads on each setup</text>"); /* no extension is drawn */
    for (int setup = 0; setup < 3; setup++) {
        char number[8];
        double pad_x = 0, pad_y = 0;
        at = strstr(at + 1, "width=\"8.0\" height=\"8.0\""); /* behind its x and y */
        ck_assert_ptr_nonnull(at);
        const char *from = at;
        while (strncmp(from, "<rect", 5) != 0) {
            from--;
        }
        ck_assert(sscanf(from, "<rect x=\"%lf\" y=\"%lf\"", &pad_x, &pad_y) == 2);
        snprintf(number, sizeof number, "%d", setup + 1);
        number_of(text, number, &x[setup], &y[setup]);
        /* to the middle of the number, 8 wide and 9 high */
        ck_assert_double_le(hypot(x[setup] + 4 - pad_x - 4, y[setup] - 4 - pad_y - 4), 22);
        for (int other = 0; other < setup; other++) {
            ck_assert(fabs(x[setup] - x[other]) >= 8 || fabs(y[setup] - y[other]) >= 12);
        }
    }
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

int main(void)
{
    Suite *suite = suite_create("pictures of setups");
    TCase *tests = tcase_create("pictures of setups");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, begin_chosen, end);
    tcase_add_test(tests, differences_show_what_was_tested);
    tcase_add_test(tests, all_rows_have_their_ranges_or_none);
    tcase_add_test(tests, what_cannot_be_told_is_said_to_each_in_his_words);
    tcase_add_test(tests, names_of_setups_are_read_to_their_end);
    tcase_add_test(tests, a_title_of_many_setups_counts_them);
    tcase_add_test(tests, letters_can_be_read);
    tcase_add_test(tests, what_moved_is_told_within_the_picture);
    tcase_add_test(tests, the_side_view_tells_what_it_does_not_draw);
    tcase_add_test(tests, the_side_view_tells_what_would_draw_the_rider);
    tcase_add_test(tests, numbers_of_near_bars_stand_at_their_bars);
    tcase_add_test(tests, a_line_into_the_grey_is_explained_on_each_picture);
    tcase_add_test(tests, a_millimetre_is_as_long_for_head_and_chest);
    tcase_add_test(tests, ranges_are_lower_as_their_verdicts_are);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
