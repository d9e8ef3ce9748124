/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A long ride, its quarters and its channels in a few words, numbers by hand. */
#include "say/ride.h"
#include "say/say.h"
#include "support/test_main.h"

#include <math.h>

static char text[SAY_SIZE];

START_TEST(a_ride_is_told_as_a_whole)
{
    struct ride_summary ride = {.length_s = 1800.0, .posture_share = NAN};
    say_ride_whole(text, sizeof text, &ride);
    ck_assert_str_eq(text, "30 min");
    ride.up_times = 1;
    ride.up_s = 12.4;
    say_ride_whole(text, sizeof text, &ride);
    ck_assert_str_eq(text, "30 min, up 1 time for 12 s");
    ride.up_times = 3;
    ride.up_s = 75.0;
    ride.posture_share = 0.873;
    say_ride_whole(text, sizeof text, &ride);
    ck_assert_str_eq(text, "30 min, up 3 times for 75 s, 87 % of it in the posture");
}
END_TEST

START_TEST(a_quarter_has_a_share_and_how_far_off)
{
    struct ride_quarter quarter = {.in_band_share = 0.5, .off_mm = 4.2};
    say_ride_quarter(text, sizeof text, &quarter);
    ck_assert_str_eq(text, "50 % +4");
    quarter.off_mm = NAN;
    say_ride_quarter(text, sizeof text, &quarter);
    ck_assert_str_eq(text, "50 %");
    quarter.in_band_share = NAN;
    say_ride_quarter(text, sizeof text, &quarter);
    ck_assert_str_eq(text, "-");
    quarter.off_mm = 4.2;
    say_ride_quarter(text, sizeof text, &quarter);
    ck_assert_str_eq(text, "+4");
}
END_TEST

/* How long the height was kept, at least where it never was lost, and where it went then. */
START_TEST(how_long_a_height_was_kept)
{
    struct ride_part part = {.kept_s = NAN, .then_mm = NAN};
    say_ride_kept(text, sizeof text, &part);
    ck_assert_str_eq(text, "-");
    part.kept_s = 605.0;
    say_ride_kept(text, sizeof text, &part);
    ck_assert_str_eq(text, "10 min 5 s");
    part.then_mm = 12.0;
    say_ride_kept(text, sizeof text, &part);
    ck_assert_str_eq(text, "10 min 5 s, then +12");
    part.at_least = true;
    say_ride_kept(text, sizeof text, &part);
    ck_assert_str_eq(text, "\u2265 10 min 5 s");
}
END_TEST

START_TEST(a_trend_is_told_by_the_hour)
{
    struct ride_part part = {.has_trend = false};
    say_ride_trend(text, sizeof text, &part);
    ck_assert_str_eq(text, "-");
    part = (struct ride_part){
        .has_trend = true, .trend_mm_per_h = 8.0, .trend_low = 3.0, .trend_high = 13.0};
    say_ride_trend(text, sizeof text, &part);
    ck_assert_str_eq(text, "+8 an hour (+3 to +13)");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride");
    TCase *tests = tcase_create("ride");
    tcase_add_test(tests, a_ride_is_told_as_a_whole);
    tcase_add_test(tests, a_quarter_has_a_share_and_how_far_off);
    tcase_add_test(tests, how_long_a_height_was_kept);
    tcase_add_test(tests, a_trend_is_told_by_the_hour);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
