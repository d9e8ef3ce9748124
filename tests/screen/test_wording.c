/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "screen/wording.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

/* Numbers and verdicts in words, in as many cells as there are. */

static const char *said(const struct setup_difference *difference, int width)
{
    static char text[WORDING_SIZE * 2];
    wording_difference(text, sizeof text, difference, width);
    return text;
}

START_TEST(numbers_in_words)
{
    char text[WORDING_SIZE];
    static const struct {
        double mm;
        const char *with_sign, *whole;
    } numbers[] = {{14.4, "+14", "14"},
                   {-3.5, "\u22124", "\u22124"},
                   {0.4, "0", "0"},
                   {-0.4, "0", "0"},
                   {NAN, "\u2013", "\u2013"}};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        wording_signed(text, sizeof text, numbers[i].mm);
        ck_assert_str_eq(text, numbers[i].with_sign);
        wording_whole(text, sizeof text, numbers[i].mm);
        ck_assert_str_eq(text, numbers[i].whole);
    }
    wording_tenth(text, sizeof text, -0.62);
    ck_assert_str_eq(text, "\u22120.6");
    wording_minutes(text, sizeof text, 61.9);
    ck_assert_str_eq(text, "1:01");
    wording_hours(text, sizeof text, 3761.0);
    ck_assert_str_eq(text, "1:02:41");
    wording_minutes(text, sizeof text, NAN);
    ck_assert_str_eq(text, "0:00");
    wording_minus(text, sizeof text, "-19 \u00B11 (-2 computed) as-is");
    ck_assert_str_eq(text, "\u221219 \u00B11 (\u22122 computed) as-is");
}
END_TEST

START_TEST(lower_names_both_ends_in_its_direction)
{
    struct setup_difference lower = {.verdict = VERDICT_LOWER,
                                     .difference = -12.0,
                                     .has_interval = true,
                                     .low = -18.0,
                                     .high = -6.0};
    ck_assert_str_eq(said(&lower, 80), "\u25BC lower by 12 mm (6 to 18)");
    ck_assert_str_eq(said(&lower, 25), "\u25BC lower by 12 (6 to 18)");
    ck_assert_str_eq(said(&lower, 20), "\u25BC lower 12 (6\u201318)");
    ck_assert_str_eq(said(&lower, 12), "\u25BC lower 12");
    struct setup_difference higher = {.verdict = VERDICT_HIGHER,
                                      .difference = 9.0,
                                      .has_interval = true,
                                      .low = 3.0,
                                      .high = 15.0};
    ck_assert_str_eq(said(&higher, 80), "\u25B2 higher by 9 mm (3 to 15)");
}
END_TEST

START_TEST(other_verdicts)
{
    struct setup_difference none = {.verdict = VERDICT_NO_DIFFERENCE, .difference = 1.0};
    ck_assert_str_eq(said(&none, 80), "\u2248 no difference that matters");
    struct setup_difference little = {.verdict = VERDICT_LESS_THAN_MATTERS, .difference = -6.0};
    ck_assert_str_eq(said(&little, 80), "\u2248 differs by \u22126, less than matters");
    struct setup_difference tell = {.verdict = VERDICT_CANNOT_TELL,
                                    .difference = -4.0,
                                    .has_interval = true,
                                    .low = -10.4,
                                    .high = 2.6,
                                    .advice = ADVICE_MORE_HOLDS,
                                    .advice_holds = 2};
    ck_assert_str_eq(said(&tell, 80), "? \u22124 (\u221210 to +3), cannot tell yet: 2 more holds");
    ck_assert_str_eq(said(&tell, 32), "? cannot tell yet: 2 more holds");
    ck_assert_str_eq(said(&tell, 15), "? 2 more holds");
    tell.advice_holds = 1;
    ck_assert_str_eq(said(&tell, 32), "? cannot tell yet: 1 more hold");
    struct setup_difference untied = {.verdict = VERDICT_NOT_COMPARABLE,
                                      .reason = "height not tied"};
    ck_assert_str_eq(said(&untied, 80), "\u00D7 not comparable: height not tied");
    ck_assert_str_eq(said(&untied, 20), "\u00D7 not comparable");
    struct setup_difference baseline = {.verdict = VERDICT_NONE};
    ck_assert_str_eq(said(&baseline, 80), "");
}
END_TEST

START_TEST(never_wider_than_told)
{
    for (int verdict = VERDICT_NONE; verdict <= VERDICT_CANNOT_TELL; verdict++) {
        struct setup_difference difference = {.verdict = (enum verdict)verdict,
                                              .difference = -123.0,
                                              .has_interval = true,
                                              .low = -1000.0,
                                              .high = 900.0,
                                              .advice = ADVICE_PLATE,
                                              .reason = "a long reason"};
        for (int width = 18; width < 90; width++) {
            ck_assert_int_le(text_width(said(&difference, width)), width);
        }
    }
}
END_TEST

START_TEST(shapes_point_as_the_body_is)
{
    ck_assert_str_eq(wording_cue(CUE_HIGH), "\u25B2 HIGH");
    ck_assert_str_eq(wording_cue(CUE_LOW), "\u25BC LOW");
    ck_assert_str_eq(wording_cue(CUE_IN), "\u25C6 IN");
    ck_assert_str_eq(wording_cue(CUE_NO_READING), "\u25CB NO READING");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("wording");
    TCase *tcase = tcase_create("wording");
    tcase_add_test(tcase, numbers_in_words);
    tcase_add_test(tcase, lower_names_both_ends_in_its_direction);
    tcase_add_test(tcase, other_verdicts);
    tcase_add_test(tcase, never_wider_than_told);
    tcase_add_test(tcase, shapes_point_as_the_body_is);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
