/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/fields.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

START_TEST(every_measure_has_a_key_a_unit_and_a_range)
{
    for (int i = 0; i < BIKE_KEYS; i++) {
        const struct bike_field *field = &bike_fields[i];
        ck_assert_ptr_nonnull(field->key);
        ck_assert_ptr_nonnull(field->words);
        ck_assert(strcmp(field->unit, "mm") == 0 || strcmp(field->unit, "deg") == 0);
        ck_assert_double_lt(field->minimum, field->maximum);
        ck_assert(isnan(field->assumed) ||
                  (field->assumed >= field->minimum && field->assumed <= field->maximum));
        ck_assert_int_eq(bike_key_find(field->key), i);
    }
    ck_assert_int_eq(bike_key_find("stem_lengths"), -1);
    ck_assert_int_eq(bike_key_find(""), -1);
    ck_assert_int_eq(bike_key_find(NULL), -1);
}
END_TEST

START_TEST(mistyped_values_are_refused_with_the_range)
{
    struct problem problem = {0};
    ck_assert(bike_value_check(BIKE_STEM_LENGTH, 100, &problem));
    ck_assert(!bike_value_check(BIKE_STEM_LENGTH, 900, &problem));
    ck_assert_str_eq(problem.sentence, "stem_length=900 is outside 20 to 200 mm");
    ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
    ck_assert(!bike_value_check(BIKE_STEM_LENGTH, 4, &problem));
    ck_assert_str_eq(problem.sentence, "stem_length=4 is outside 20 to 200 mm: in mm, not inches?");
    ck_assert(!bike_value_check(BIKE_STACK, 54.5, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "in mm, not cm?"));
    ck_assert(!bike_value_check(BIKE_SADDLE_HEIGHT, 30, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "in mm, not inches?"));
    ck_assert(!bike_value_check(BIKE_SPACERS, -10, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "can't be negative"));
    ck_assert(!bike_value_check(BIKE_STEM_ANGLE, 95, &problem));
    ck_assert(!bike_value_check(BIKE_STEM_ANGLE, 73, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "take 90 off"));
    ck_assert(!bike_value_check(BIKE_HEAD_ANGLE, NAN, &problem));
    ck_assert_ptr_nonnull(
        strstr(problem.sentence, "head_angle must be a number from 60 to 85 deg"));
    ck_assert(!bike_value_check(BIKE_STACK, INFINITY, &problem));
    ck_assert(!bike_value_check(BIKE_KEYS, 1, &problem));
    ck_assert(!bike_value_check(-1, 1, NULL));
    ck_assert(bike_value_check(BIKE_SPACERS, 0, &problem));
    ck_assert(bike_value_check(BIKE_STEM_ANGLE, -17, &problem));
}
END_TEST

START_TEST(assumed_values_stand_in_where_nothing_was_given)
{
    struct bike_values bike;
    bike_values_clear(&bike);
    ck_assert_double_eq(bike_value(&bike, BIKE_STEM_CLAMP_HEIGHT), 40.0);
    ck_assert_double_eq(bike_value(&bike, BIKE_HEADSET_CAP), 0.0);
    ck_assert_double_eq(bike_value(&bike, BIKE_BAR_ROLL), 0.0);
    ck_assert(isnan(bike_value(&bike, BIKE_STEM_LENGTH)));
    bike.value[BIKE_STEM_CLAMP_HEIGHT] = 42.0;
    ck_assert_double_eq(bike_value(&bike, BIKE_STEM_CLAMP_HEIGHT), 42.0);
}
END_TEST

START_TEST(changes_are_told_in_words)
{
    struct bike_values before, after;
    char text[200];
    bike_values_clear(&before);
    before.value[BIKE_SPACERS] = 20;
    before.value[BIKE_PAD_RISE] = 60;
    after = before;
    ck_assert(bike_values_equal(&before, &after));
    bike_changes_text(text, sizeof text, &before, &after);
    ck_assert_str_eq(text, "nothing changed");
    after.value[BIKE_SPACERS] = 10;
    after.value[BIKE_PAD_RISE] = 40;
    ck_assert(!bike_values_equal(&before, &after));
    bike_changes_text(text, sizeof text, &before, &after);
    ck_assert_str_eq(text, "spacers 20 to 10, pad rise 60 to 40");
    after = before;
    after.value[BIKE_STEM_LENGTH] = 95.5;
    bike_changes_text(text, sizeof text, &before, &after);
    ck_assert_str_eq(text, "stem length 95.5");
    bike_changes_text(text, sizeof text, &after, &before);
    ck_assert_str_eq(text, "stem length 95.5 to not known");
    /* The assumed value written down is no change. */
    after = before;
    after.value[BIKE_BAR_ROLL] = 0;
    bike_changes_text(text, sizeof text, &before, &after);
    ck_assert_str_eq(text, "nothing changed");
    char small[8];
    after.value[BIKE_SPACERS] = 10;
    bike_changes_text(small, sizeof small, &before, &after);
    ck_assert_int_le((int)strlen(small), 7);
    ck_assert_int_eq(strncmp(small, "spacers 20", strlen(small)), 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fields");
    TCase *tests = tcase_create("fields");
    tcase_add_test(tests, every_measure_has_a_key_a_unit_and_a_range);
    tcase_add_test(tests, mistyped_values_are_refused_with_the_range);
    tcase_add_test(tests, assumed_values_stand_in_where_nothing_was_given);
    tcase_add_test(tests, changes_are_told_in_words);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
