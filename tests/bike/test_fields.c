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

/* Stores, scripts and exports know a measure by its key: the public list. Ranges: what a hand may
 * type without being asked back. */
START_TEST(the_rows_are_the_public_ones)
{
    static const struct {
        enum bike_key key;
        const char *name, *words, *unit;
        double minimum, maximum, assumed;
    } rows[] = {
        {BIKE_STACK, "stack", "stack", "mm", 300, 800, NAN},
        {BIKE_REACH, "reach", "reach", "mm", 250, 600, NAN},
        {BIKE_HEAD_ANGLE, "head_angle", "head angle", "deg", 60, 85, NAN},
        {BIKE_HEADSET_CAP, "headset_cap", "headset cap", "mm", 0, 60, 0},
        {BIKE_SEAT_ANGLE, "seat_angle", "seat angle", "deg", 60, 90, NAN},
        {BIKE_SPACERS, "spacers", "spacers", "mm", 0, 150, NAN},
        {BIKE_STEM_LENGTH, "stem_length", "stem length", "mm", 20, 200, NAN},
        {BIKE_STEM_ANGLE, "stem_angle", "stem angle", "deg", -45, 45, NAN},
        {BIKE_STEM_CLAMP_HEIGHT, "stem_clamp_height", "stem clamp height", "mm", 20, 100, 40},
        {BIKE_BAR_ROLL, "bar_roll", "bar roll", "deg", -45, 45, 0},
        {BIKE_PAD_RISE, "pad_rise", "pad rise", "mm", -60, 300, NAN},
        {BIKE_PAD_FORE_AFT, "pad_fore_aft", "pad fore-aft", "mm", -250, 250, NAN},
        {BIKE_PAD_WIDTH, "pad_width", "pad width", "mm", 40, 450, NAN},
        {BIKE_PAD_TILT, "pad_tilt", "pad tilt", "deg", -30, 60, NAN},
        {BIKE_EXTENSION_LENGTH, "extension_length", "extension length", "mm", 50, 600, NAN},
        {BIKE_EXTENSION_ANGLE, "extension_angle", "extension angle", "deg", -45, 60, NAN},
        {BIKE_EXTENSION_RISE, "extension_rise", "extension rise", "mm", -200, 200, NAN},
        {BIKE_SADDLE_HEIGHT, "saddle_height", "saddle height", "mm", 400, 1100, NAN},
        {BIKE_SADDLE_SETBACK, "saddle_setback", "saddle set-back", "mm", -200, 300, NAN},
        {BIKE_SADDLE_TILT, "saddle_tilt", "saddle tilt", "deg", -30, 30, NAN},
        {BIKE_CRANK_LENGTH, "crank_length", "crank length", "mm", 100, 230, NAN},
    };
    ck_assert_int_eq(BIKE_KEYS, (int)(sizeof rows / sizeof rows[0]));
    for (int i = 0; i < BIKE_KEYS; i++) {
        const struct bike_field *field = &bike_fields[rows[i].key];
        ck_assert_str_eq(field->key, rows[i].name);
        ck_assert_str_eq(field->words, rows[i].words);
        ck_assert_str_eq(field->unit, rows[i].unit);
        ck_assert_double_eq(field->minimum, rows[i].minimum);
        ck_assert_double_eq(field->maximum, rows[i].maximum);
        ck_assert(isnan(field->assumed) ? isnan(rows[i].assumed)
                                        : field->assumed == rows[i].assumed);
        /* stack to seat angle are the frame's */
        ck_assert_int_eq(field->scope,
                         rows[i].key <= BIKE_SEAT_ANGLE ? BIKE_SCOPE_FRAME : BIKE_SCOPE_PART);
        /* both ends may be typed, and nothing beyond */
        ck_assert(bike_value_check((int)rows[i].key, rows[i].minimum, NULL));
        ck_assert(bike_value_check((int)rows[i].key, rows[i].maximum, NULL));
        ck_assert(!bike_value_check((int)rows[i].key, rows[i].minimum - 0.1, NULL));
        ck_assert(!bike_value_check((int)rows[i].key, rows[i].maximum + 0.1, NULL));
    }
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
    /* Neither a thickness of nothing nor a negative one is a slip of the unit: 0 fits no stack in
     * any, and -60 to 300 allows negative ones. */
    ck_assert_str_eq(bike_value_slip(BIKE_STACK, 0.0), "");
    ck_assert_str_eq(bike_value_slip(BIKE_HEADSET_CAP, 0.0), "");
    ck_assert_str_eq(bike_value_slip(BIKE_PAD_RISE, -61), "");
    ck_assert_str_eq(bike_value_slip(BIKE_STACK, -540), ": it can't be negative");
    ck_assert_str_eq(bike_value_slip(BIKE_STACK, -54), "");
    ck_assert_str_eq(bike_value_slip(BIKE_HEAD_ANGLE, 163), "");
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
    bike_values_clear(&before);
    bike_changes_text(text, sizeof text, &before, &before);
    ck_assert_str_eq(text, "no part entered");
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

/* A set of parts is on a bike that has each of them; what the set leaves open may be anything. */
START_TEST(a_bike_has_the_parts_that_are_named)
{
    struct bike_values bike, parts;
    bike_values_clear(&bike);
    bike_values_clear(&parts);
    ck_assert(bike_values_have(&bike, &parts));
    bike.value[BIKE_SPACERS] = 20;
    bike.value[BIKE_CRANK_LENGTH] = 170;
    ck_assert(bike_values_have(&bike, &parts));
    parts.value[BIKE_SPACERS] = 20;
    ck_assert(bike_values_have(&bike, &parts));
    parts.value[BIKE_CRANK_LENGTH] = 165;
    ck_assert(!bike_values_have(&bike, &parts));
    parts.value[BIKE_CRANK_LENGTH] = 170;
    parts.value[BIKE_PAD_RISE] = 40; /* not known of the bike */
    ck_assert(!bike_values_have(&bike, &parts));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fields");
    TCase *tests = tcase_create("fields");
    tcase_add_test(tests, every_measure_has_a_key_a_unit_and_a_range);
    tcase_add_test(tests, the_rows_are_the_public_ones);
    tcase_add_test(tests, mistyped_values_are_refused_with_the_range);
    tcase_add_test(tests, assumed_values_stand_in_where_nothing_was_given);
    tcase_add_test(tests, changes_are_told_in_words);
    tcase_add_test(tests, a_bike_has_the_parts_that_are_named);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
