/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the tape is held; the letters are those of the sketch beside the form. */
#include "say/measure.h"

#include "support/test_main.h"

#include <string.h>

START_TEST(each_measure_says_from_where_to_where)
{
    /* what stands in the sentence of this one and of no other */
    static const struct {
        enum bike_key key;
        const char *part;
    } said[] = {
        {BIKE_STACK, "(b) straight up to the top of the head tube (h)"},
        {BIKE_REACH, "(b) straight forward to the top of the head tube (h)"},
        {BIKE_HEAD_ANGLE, "between the level ground and the head tube"},
        {BIKE_HEADSET_CAP, "the headset's cover under the spacers"},
        {BIKE_SEAT_ANGLE, "between the level ground and the seat tube"},
        {BIKE_SPACERS, "all rings under the stem"},
        {BIKE_STEM_LENGTH, "of the steerer to the middle of the bar (c)"},
        {BIKE_STEM_ANGLE, "against the square to the steerer"},
        {BIKE_STEM_CLAMP_HEIGHT, "where it holds the steerer; empty: 40"},
        {BIKE_BAR_ROLL, "turned in its clamp (c), plus: its front up"},
        {BIKE_PAD_RISE, "(c) straight up to the top of the pads (p)"},
        {BIKE_PAD_FORE_AFT, "(c) forward to the middle of the pads (p); minus: behind it"},
        {BIKE_PAD_WIDTH, "one pad to the middle of the other"},
        {BIKE_PAD_TILT, "the pads against the level, plus: their front up"},
        {BIKE_EXTENSION_LENGTH, "leaves its clamp to its tip (t)"},
        {BIKE_EXTENSION_ANGLE, "the extension against the level, plus: its tip up"},
        {BIKE_EXTENSION_RISE, "of the pads (p) up to the extension; minus: it is below"},
        {BIKE_SADDLE_HEIGHT, "along the seat tube to the saddle's top (s)"},
        {BIKE_SADDLE_SETBACK, "above the bottom bracket back to the saddle's nose"},
        {BIKE_SADDLE_TILT, "the saddle against the level, plus: its nose up"},
        {BIKE_CRANK_LENGTH, "to the middle of the pedal's axle"},
    };
    ck_assert_uint_eq(sizeof said / sizeof said[0], BIKE_KEYS);
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        ck_assert_msg(strstr(say_bike_measure(said[i].key), said[i].part) != NULL, "%s: %s",
                      said[i].part, say_bike_measure(said[i].key));
    }
    ck_assert_str_eq(say_bike_measure(BIKE_KEYS), "");
}
END_TEST

START_TEST(each_word_of_a_place_says_what_it_is)
{
    static const struct {
        const char *key, *part;
    } said[] = {
        {"channel", "one sensor after the other"},
        {"carrier", "what moves with it"},
        {"x", "forward to the sensor; minus: behind"},
        {"y", "straight up to the sensor's face; minus: below"},
        {"tilt", "plus: it leans forward; empty: 0"},
        {"look", "from the bars, or down from above"},
        {"role", "what its beam meets"},
        {"mark", "chin strap, chest strap"},
    };
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        ck_assert_msg(strstr(say_place(said[i].key), said[i].part) != NULL, "%s", said[i].key);
    }
    ck_assert_str_eq(say_place("wings"), "");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("measure");
    TCase *tests = tcase_create("measure");
    tcase_add_test(tests, each_measure_says_from_where_to_where);
    tcase_add_test(tests, each_word_of_a_place_says_what_it_is);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
