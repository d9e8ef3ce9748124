/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "pictures.h"

#include "report/plots.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The names of the marks on the rider: legible wherever they were found and are now. */

static double attribute(const char *element, const char *name)
{
    const char *at = strstr(element, name);
    return at != NULL && at < strchr(element, '>') ? strtod(at + strlen(name), NULL) : (double)NAN;
}

/* A circle or a blue line touches the letters of the name, which ends at x or has its middle there.
 */
static int drawn_over(const char *text, const char *name)
{
    char words[32];
    snprintf(words, sizeof words, ">%s</text>", name);
    const char *at = strstr(text, words), *word = at;
    ck_assert_ptr_nonnull(at);
    while (strncmp(word, "<text", 5) != 0) {
        word--;
    }
    const double right = attribute(word, " x=\""), line = attribute(word, " y=\"");
    const double left = right - 6.0 * (double)strlen(name);
    int over = 0;
    for (const char *circle = text; (circle = strstr(circle, "<circle")) != NULL; circle++) {
        double x = attribute(circle, "cx=\""), y = attribute(circle, "cy=\"");
        over += attribute(circle, " r=\"") <= 4.5 && x > left - 4 && x < right + 4 &&
                        y > line - 9 - 4 && y < line + 4
                    ? 1
                    : 0;
    }
    for (const char *one = text; (one = strstr(one, "<line")) != NULL; one++) {
        const char *blue = strstr(one, "#0072b2");
        double x1 = attribute(one, "x1=\""), x2 = attribute(one, "x2=\"");
        double y1 = attribute(one, "y1=\""), y2 = attribute(one, "y2=\"");
        bool upright = fabs(x1 - x2) < 0.06 || fabs(y1 - y2) < 0.06;
        over += blue != NULL && blue < strchr(one, '>') && upright && fmax(x1, x2) > left &&
                        fmin(x1, x2) < right && fmax(y1, y2) > line - 9 && fmin(y1, y2) < line
                    ? 1
                    : 0;
    }
    return over;
}

static char *posture(enum picture_breadth breadth)
{
    struct caught caught;
    ck_assert(plot_posture(catch_begin(&caught), &input, 1, breadth));
    return checked(catch_end(&caught));
}

/* The mark as found may lie left of the chosen one at its height, or the chest's arrow there: the
 * bars so much further forward and lower. */
START_TEST(nothing_is_drawn_over_a_marks_name)
{
    static const double forward_mm[] = {0, 30, 60}, head_mm[] = {-160, -90, -30, 0, 40};
    static const double chest_mm[] = {-140, -75, 0};
    struct bike_values *bike = &record->setup[1].bike;
    const double stem_mm = bike->value[BIKE_STEM_LENGTH];
    const double mean_mm[] = {analysis->free_heights[0].setup[0].mean,
                              analysis->free_heights[1].setup[0].mean};
    int over = 0;
    for (int i = 0; i < 3 * 5 * 3 * 2; i++) {
        const double by_mm[] = {head_mm[i / 2 % 5], chest_mm[i / 10 % 3]};
        bike->value[BIKE_STEM_LENGTH] = stem_mm + forward_mm[i / 30];
        for (int channel = 0; channel < 2; channel++) {
            struct setup_difference *one = &analysis->free_heights[channel].difference[1];
            analysis->free_heights[channel].setup[1].mean = mean_mm[channel] + by_mm[channel];
            one->difference = by_mm[channel];
            one->verdict = by_mm[channel] < 0   ? VERDICT_LOWER
                           : by_mm[channel] > 0 ? VERDICT_HIGHER
                                                : VERDICT_NO_DIFFERENCE;
        }
        char *text = posture(i % 2 == 0 ? PICTURE_BROAD : PICTURE_NARROW);
        over += drawn_over(text, "head") + drawn_over(text, "chest");
        free(text);
    }
    ck_assert_int_eq(over, 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("names of marks");
    TCase *tests = tcase_create("names of marks");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, begin_chosen, end);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, nothing_is_drawn_over_a_marks_name);
    return test_main(suite);
}
