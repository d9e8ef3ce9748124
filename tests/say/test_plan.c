/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/plan.h"
#include "support/test_main.h"

#include <string.h>

static const struct plan_input rows = {.setups = 3, .order = PLAN_ROWS};
static const struct plan_input mirror = {.setups = 3, .order = PLAN_MIRROR, .tie_mm = 2};

static void ride(const struct plan_input *input, const struct plan *plan, const char *wanted)
{
    char text[512];
    say_plan_ride(text, sizeof text, input, plan);
    ck_assert_str_eq(text, wanted);
}

START_TEST(what_to_ride_is_told_with_what_it_finds)
{
    struct plan plan = {.rounds = 1, .df = 4, .power = 0.8, .detectable_mm = 9.2};
    ride(&rows, &plan, "Ride 1 hold a build. It finds the difference in 80 of 100.");
    plan.rounds = 2;
    ride(&rows, &plan, "Ride 2 holds a build. It finds the difference in 80 of 100.");
    plan.power = 0.79;
    ride(&mirror, &plan,
         "Ride there and back 2 times. That finds the difference in 79 of 100 only, and one of 10 "
         "mm "
         "in 80: 'cannot tell yet' is likely.");
    plan.detectable_mm = 9.0;
    ride(
        &mirror, &plan,
        "Ride there and back 2 times. That finds the difference in 79 of 100 only, and one of 9 mm "
        "in 80: 'cannot tell yet' is likely.");
    plan.rounds = 1;
    plan.df = 0;
    ride(&mirror, &plan, "");
}
END_TEST

START_TEST(what_it_would_take_is_told)
{
    struct plan enough = {.rounds = 1, .minutes = 61.2};
    char text[512];
    say_plan_enough(text, sizeof text, &mirror, &enough);
    ck_assert_str_eq(text, "80 of 100 would take there and back once: 62 minutes.");
    enough.minutes = 61.0; /* whole minutes are as they are */
    say_plan_enough(text, sizeof text, &mirror, &enough);
    ck_assert_str_eq(text, "80 of 100 would take there and back once: 61 minutes.");
    say_plan_enough(text, sizeof text, &mirror, NULL);
    ck_assert_ptr_nonnull(strstr(text, "up to 8 a build"));
    ck_assert_ptr_nonnull(strstr(text, "or tie the sensors with a plate"));
    for (int tied = 0; tied < 2; tied++) { /* as well as by a plate already */
        const struct plan_input input = {.setups = 3, .order = PLAN_ROWS, .tie_mm = tied};
        say_plan_enough(text, sizeof text, &input, NULL);
        ck_assert_ptr_null(strstr(text, "plate"));
    }
}
END_TEST

START_TEST(nothing_that_fits_is_told_with_what_would)
{
    const struct plan shortest = {.minutes = 44.1};
    char text[512];
    say_plan_nothing(text, sizeof text, &shortest, 2, 29.5);
    ck_assert_str_eq(text, "Nothing fits: the shortest takes 45 minutes. 2 setups would fit (30 "
                           "minutes); leave one out, or look on another day.");
    const struct plan whole = {.minutes = 45.0};
    say_plan_nothing(text, sizeof text, &whole, 2, 30.0);
    ck_assert_ptr_nonnull(strstr(text, "takes 45 minutes. 2 setups would fit (30 minutes)"));
    say_plan_nothing(text, sizeof text, &shortest, 0, 0);
    ck_assert_str_eq(
        text, "Nothing fits: the shortest takes 45 minutes, and two setups would not fit either.");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plan");
    TCase *tests = tcase_create("plan");
    tcase_add_test(tests, what_to_ride_is_told_with_what_it_finds);
    tcase_add_test(tests, what_it_would_take_is_told);
    tcase_add_test(tests, nothing_that_fits_is_told_with_what_would);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
