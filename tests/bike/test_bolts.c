/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/bolts.h"
#include "support/test_main.h"

#include <math.h>

/* What is changed on the bike is held by something; what is the frame's (the cap is no part of it)
 * is not. */
START_TEST(every_part_has_its_bolts)
{
    for (int key = 0; key < BIKE_KEYS; key++) {
        enum bike_bolt bolts[BOLTS_OF_ONE_MAX];
        int count = bike_bolts_of(key, bolts);
        bool held = bike_fields[key].scope == BIKE_SCOPE_PART || key == BIKE_HEADSET_CAP;
        ck_assert_msg((count > 0) == held, "%s", bike_fields[key].key);
        for (int i = 0; i < count; i++) {
            const char *name = bike_bolt_key((int)bolts[i]);
            ck_assert_int_eq(bike_bolt_find(name), (int)bolts[i]);
        }
    }
    ck_assert_int_eq(bike_bolt_find("wings"), -1);
}
END_TEST

START_TEST(bolts_and_torques_stand_in_the_same_order)
{
    struct bike_torques torques;
    char text[96];
    bike_torques_clear(&torques);
    bike_bolts_text(BIKE_STEM_LENGTH, text, sizeof text);
    ck_assert_str_eq(text, "stem's clamp bolts, stem's faceplate bolts");
    bike_torques_text(&torques, BIKE_STEM_LENGTH, text, sizeof text);
    ck_assert_str_eq(text, "____, ____");
    torques.nm[BOLT_FACEPLATE] = 4.5;
    ck_assert_int_eq(bike_torques_entered(&torques), 1);
    bike_torques_text(&torques, BIKE_STEM_ANGLE, text, sizeof text);
    ck_assert_str_eq(text, "____, 4.5");
    bike_torques_text(&torques, BIKE_BAR_ROLL, text, sizeof text);
    ck_assert_str_eq(text, "4.5");
    bike_bolts_text(BIKE_STACK, text, sizeof text);
    ck_assert_str_eq(text, "");
    bike_torques_text(&torques, BIKE_STACK, text, sizeof text);
    ck_assert_str_eq(text, "");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bolts");
    TCase *tests = tcase_create("bolts");
    tcase_add_test(tests, every_part_has_its_bolts);
    tcase_add_test(tests, bolts_and_torques_stand_in_the_same_order);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
