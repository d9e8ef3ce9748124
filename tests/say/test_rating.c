/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a rider says of a setup, in one line. */
#include "say/say.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

START_TEST(a_rating_is_told_in_its_order)
{
    struct rating_record rating;
    char text[SAY_SIZE];
    memset(&rating, 0, sizeof rating);
    for (int item = 0; item < RATING_ITEMS; item++) {
        rating.value[item] = (double)NAN;
    }
    say_rating(text, sizeof text, &rating);
    ck_assert_str_eq(text, "nothing answered");
    rating.value[RATING_SEES_AHEAD] = SEES_STRAINED;
    rating.value[RATING_NECK] = 3;
    say_rating(text, sizeof text, &rating);
    ck_assert_ptr_nonnull(strstr(text, " strained"));
    ck_assert_ptr_nonnull(strstr(text, "neck 3"));
    ck_assert_ptr_nonnull(strstr(text, ", "));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rating");
    TCase *tests = tcase_create("rating");
    tcase_add_test(tests, a_rating_is_told_in_its_order);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
