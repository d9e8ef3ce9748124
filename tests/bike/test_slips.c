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

/* Of what is known the nearest is told, wherever it stands; of two that are as near the first. */
START_TEST(the_nearest_that_is_known_is_named)
{
    const double rises[] = {40.0, 60.0, NAN};
    ck_assert_ptr_nonnull(strstr(asked_of(BIKE_PAD_RISE, 4.0, rises, 3), "where 40 is"));
    ck_assert_ptr_nonnull(strstr(asked_of(BIKE_PAD_RISE, 200.0, rises, 3), "where 60 is"));
    const double sides[] = {-110.0, 110.0};
    ck_assert_ptr_nonnull(strstr(asked_of(BIKE_PAD_FORE_AFT, 0.0, sides, 2), "where -110 is"));
    ck_assert_str_eq(asked_of(BIKE_PAD_FORE_AFT, -20.0, sides, 2), ""); /* 90 mm from one */
    ck_assert_str_eq(asked_of(BIKE_PAD_FORE_AFT, 20.0, sides, 2), "");
    ck_assert_ptr_nonnull(strstr(asked_of(BIKE_PAD_FORE_AFT, -245.0, sides, 2), "where -110 is"));
}
END_TEST

/* A frame does not change: 3 degrees are a slip of the gauge, 25 mm one of the tape. */
START_TEST(a_frames_measures_are_asked_about)
{
    const double head[] = {73.0};
    ck_assert_str_eq(asked_of(BIKE_HEAD_ANGLE, 76.0, head, 1), "");
    ck_assert_str_eq(asked_of(BIKE_HEAD_ANGLE, 70.0, head, 1), "");
    ck_assert_ptr_nonnull(strstr(asked_of(BIKE_HEAD_ANGLE, 76.1, head, 1),
                                 "head_angle: 76.1 degrees, where 73 were"));
    ck_assert_ptr_nonnull(strstr(asked_of(BIKE_HEAD_ANGLE, 69.9, head, 1), "where 73 were"));
    ck_assert_str_eq(asked_of(BIKE_HEAD_ANGLE, 80.0, head, 0), ""); /* the first */
    const double stack[] = {540.0};
    ck_assert_str_eq(asked_of(BIKE_STACK, 565.0, stack, 1), "");
    ck_assert_ptr_nonnull(strstr(asked_of(BIKE_STACK, 565.1, stack, 1), "where 540 is"));
}
END_TEST

/* A sensor's place is held against its last on the same carrier, ahead and in height, as far as
 * they are known. */
START_TEST(a_place_far_from_its_last_is_asked_about)
{
    const struct sensor_mount former = {CARRIER_BASE_BAR, 120.0, 40.0, 0.0, 1};
    static const struct {
        double x_mm, y_mm;
        const char *asked; /* NULL: it passes */
    } cases[] = {{120.0, 40.0, NULL},   {220.0, 140.0, NULL},  {220.1, 40.0, "x: 220.1 mm"},
                 {12.0, 40.0, "x: 12"}, {120.0, 4.0, "y: 4"},  {120.0, 140.1, "y: 140.1 mm"},
                 {120.0, NAN, NULL},    {NAN, 140.1, "y: 140"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct sensor_mount mount = {CARRIER_BASE_BAR, cases[i].x_mm, cases[i].y_mm, 0.0, 1};
        struct problem problem = {0};
        ck_assert(mount_change_check(&mount, &former, &problem) == (cases[i].asked == NULL));
        ck_assert(cases[i].asked == NULL || strstr(problem.sentence, cases[i].asked) != NULL);
        mount.carrier = CARRIER_PAD_BRACKET;
        ck_assert(mount_change_check(&mount, &former, NULL));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("slips");
    TCase *cases = tcase_create("slips");
    tcase_add_test(cases, a_part_in_another_unit_or_far_from_all_is_asked_about);
    tcase_add_test(cases, a_place_where_no_sensor_can_be_is_asked_about);
    tcase_add_test(cases, a_beam_that_leans_looks_further_ahead);
    tcase_add_test(cases, the_nearest_that_is_known_is_named);
    tcase_add_test(cases, a_frames_measures_are_asked_about);
    tcase_add_test(cases, a_place_far_from_its_last_is_asked_about);
    suite_add_tcase(suite, cases);
    return test_main(suite);
}
