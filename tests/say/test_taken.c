/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/taken.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

START_TEST(a_plate_is_told_with_its_channels)
{
    char text[256];
    say_plate_read(text, sizeof text, 2, NULL, 0, (double)NAN);
    ck_assert_str_eq(text, "plate read on 2 channels");
    say_plate_read(text, sizeof text, 1, NULL, 0, (double)NAN);
    ck_assert_str_eq(text, "plate read on 1 channel");
    say_plate_read(text, sizeof text, 2, NULL, 0, 0.64);
    ck_assert_str_eq(text, "plate read on 2 channels, within 0.6 mm of before the holds: no sensor "
                           "slipped further");
    say_plate_read(text, sizeof text, 0, NULL, 0, (double)NAN);
    ck_assert_str_eq(text, "no good readings of the plate: read it again");
    say_plate_read(text, sizeof text, 0, NULL, 0, 0.64);
    ck_assert_str_eq(text, "no good readings of the plate: read it again");
    say_plate_read(text, sizeof text, 0, "head", 6.4, (double)NAN);
    ck_assert_str_eq(text,
                     "the plate moved by 6 mm while it was read: hold it still, and read it again");
    say_plate_read(text, sizeof text, 1, "head", 6.4, (double)NAN);
    ck_assert_str_eq(text, "plate read on 1 channel; before head it moved by 6 mm and is not "
                           "taken: read it again");
    say_plate_read(text, sizeof text, 2, "head", 6.4, (double)NAN);
    ck_assert_str_eq(text, "plate read on 2 channels; before head it moved by 6 mm and is not "
                           "taken: read it again");
    say_plate_read(text, sizeof text, 1, NULL, 0, 0.64);
    ck_assert_str_eq(text, "plate read on 1 channel, within 0.6 mm of before the holds: no sensor "
                           "slipped further");
}
END_TEST

START_TEST(what_is_not_carried_says_what_is_missing)
{
    static const struct {
        enum not_carried reason;
        const char *part;
    } wanted[] = {
        {NOT_CARRIED_UNKNOWN_THEN, "not known well enough then"},
        {NOT_CARRIED_NO_SENSOR, "no such sensor"},
        {NOT_CARRIED_NOT_TIED_THEN,
         "said then how high its sensor was over the bottom bracket ('tape "
         "chest=...'"},
        {NOT_CARRIED_NOT_TIED_NOW, "over the bottom bracket now ('tape chest=...'"},
    };
    char text[256];
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        say_not_carried(text, sizeof text, wanted[i].reason, "chest");
        ck_assert_msg(strstr(text, wanted[i].part) != NULL, "%s", text);
    }
    say_not_carried(text, sizeof text, CARRIED, "chest");
    ck_assert_str_eq(text, "");
}
END_TEST

START_TEST(heights_of_an_earlier_session)
{
    char text[256];
    say_height_then(text, sizeof text, 883.6, true, 2.1);
    ck_assert_str_eq(text, "884 ±3 mm");
    say_height_then(text, sizeof text, 883.6, false, 2.1);
    ck_assert_str_eq(text, "884 mm (one hold; the places alone ±3)");
    say_height_then(text, sizeof text, 883.6, true, NAN);
    ck_assert_str_eq(text, "not tied");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("taken");
    TCase *tests = tcase_create("taken");
    tcase_add_test(tests, a_plate_is_told_with_its_channels);
    tcase_add_test(tests, what_is_not_carried_says_what_is_missing);
    tcase_add_test(tests, heights_of_an_earlier_session);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
