/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/slips.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

/* "" where nothing is asked. */
static const char *asked_of(int key, double value, const double *known, int count)
{
    static struct problem problem;
    problem = (struct problem){0};
    bool passes = bike_change_check(key, value, known, count, &problem);
    ck_assert_int_eq(problem.kind, passes ? PROBLEM_NONE : PROBLEM_ASKED);
    return problem.sentence;
}

/* The numbers of the rules: 25 mm are never asked about, 40 mm are near, 100 mm are far. */
START_TEST(a_part_in_another_unit_or_far_from_all_is_asked_about)
{
    const double rises[] = {60.0, NAN, 40.0};
    ck_assert_ptr_nonnull(strstr(asked_of(BIKE_PAD_RISE, 4.0, rises, 3), "centimetres"));
    ck_assert_ptr_nonnull(
        strstr(asked_of(BIKE_PAD_RISE, 4.0, rises, 3), "pad_rise: 4 mm, where 40"));
    ck_assert_ptr_nonnull(strstr(asked_of(BIKE_PAD_RISE, 1.9, rises, 1), "so far: inches"));
    ck_assert_ptr_nonnull(strstr(asked_of(BIKE_PAD_RISE, 200.0, rises, 3), "a slip"));
    ck_assert_str_eq(asked_of(BIKE_PAD_RISE, 140.0, rises + 2, 1), "");
    ck_assert_ptr_nonnull(strstr(asked_of(BIKE_PAD_RISE, 141.0, rises + 2, 1), "a slip"));
    ck_assert_str_eq(asked_of(BIKE_PAD_RISE, 0.0, rises, 1), ""); /* pads all the way down */
    ck_assert_str_eq(asked_of(BIKE_PAD_RISE, 20.0, rises, 3), "");
    ck_assert_str_eq(asked_of(BIKE_PAD_RISE, 4.0, rises + 1, 1), ""); /* nothing is known */

    const double spacers[] = {30.0};
    ck_assert_str_eq(asked_of(BIKE_SPACERS, 5.0, spacers, 1), ""); /* 25 mm out */
    ck_assert_ptr_nonnull(strstr(asked_of(BIKE_SPACERS, 4.9, spacers, 1), "centimetres"));
    const double angles[] = {-17.0};
    ck_assert_str_eq(asked_of(BIKE_STEM_ANGLE, 17.0, angles, 1), ""); /* turned over */
    const double behind[] = {-90.0}; /* 5 cm were 40 mm from it, 4.9 cm 41, 1.9 inches 42 */
    ck_assert_ptr_nonnull(strstr(asked_of(BIKE_PAD_FORE_AFT, -5.0, behind, 1), "centimetres"));
    ck_assert_ptr_nonnull(strstr(asked_of(BIKE_PAD_FORE_AFT, -4.9, behind, 1), "inches"));
    ck_assert_str_eq(asked_of(BIKE_PAD_FORE_AFT, -1.9, behind, 1), "");
}
END_TEST

static bool place_passes(enum carrier carrier, double x_mm, double y_mm, const char *word)
{
    struct problem problem = {0};
    const struct sensor_mount mount = {carrier, x_mm, y_mm, 0.0, 1};
    bool passes = mount_check(&mount, &problem);
    ck_assert_int_eq(problem.kind, passes ? PROBLEM_NONE : PROBLEM_ASKED);
    ck_assert_msg(passes || strstr(problem.sentence, word) != NULL, "%s", problem.sentence);
    return passes;
}

START_TEST(a_place_where_no_sensor_can_be_is_asked_about)
{
    ck_assert(place_passes(CARRIER_BASE_BAR, 110.0, 40.0, ""));
    ck_assert(!place_passes(CARRIER_BASE_BAR, 11.0, 4.0, "inside the bar")); /* cm */
    ck_assert(!place_passes(CARRIER_BASE_BAR, 4.3, 1.6, "inside the bar"));  /* inches */
    ck_assert(!place_passes(CARRIER_PAD_BRACKET, -15.9, 0.0, "inside the pad"));
    ck_assert(place_passes(CARRIER_PAD_BRACKET, -16.0, 0.0, ""));
    ck_assert(place_passes(CARRIER_EXTENSION, 0.0, 0.0, ""));
    ck_assert(place_passes(CARRIER_STAND, 0.0, 0.0, "")); /* what others are told from */
    ck_assert(!place_passes(CARRIER_BASE_BAR, 1100.0, 40.0, "1101 mm from the bar clamp"));
    ck_assert(!place_passes(CARRIER_EXTENSION, -501.0, 0.0, "501 mm from the extension"));
    ck_assert(place_passes(CARRIER_EXTENSION, -500.0, 0.0, ""));
    ck_assert(place_passes(CARRIER_STAND, 900.0, 0.0, ""));
    ck_assert(place_passes(CARRIER_BASE_BAR, 4.0, NAN, "")); /* its height is not known */
    struct problem problem = {0};
    struct sensor_mount down = {CARRIER_PAD_BRACKET, 60.0, 40.0, 0.0, -1};
    ck_assert(!mount_check(&down, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "looks down"));
    down.x_mm = NAN; /* one of the two is a place */
    ck_assert(!mount_check(&down, &problem));
    down.x_mm = 60.0;
    down.y_mm = NAN;
    ck_assert(!mount_check(&down, &problem));
    down.x_mm = down.y_mm = NAN; /* nobody said where it is: an import's */
    ck_assert(mount_check(&down, NULL));
    down.x_mm = 60.0;
    down.carrier = CARRIER_STAND;
    ck_assert(mount_check(&down, NULL));
}
END_TEST

/* 300 mm of beam that leans forward by 10 degrees: 300 tan 10 deg = 52.9 mm. */
START_TEST(a_beam_that_leans_looks_further_ahead)
{
    const struct sensor_mount mount = {CARRIER_BASE_BAR, 100.0, 40.0, 10.0, 1};
    ck_assert_double_eq_tol(mount_looks_at_mm(&mount), 152.9, 0.05);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("slips");
    TCase *cases = tcase_create("slips");
    tcase_add_test(cases, a_part_in_another_unit_or_far_from_all_is_asked_about);
    tcase_add_test(cases, a_place_where_no_sensor_can_be_is_asked_about);
    tcase_add_test(cases, a_beam_that_leans_looks_further_ahead);
    suite_add_tcase(suite, cases);
    return test_main(suite);
}
