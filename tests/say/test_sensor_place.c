/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Where a sensor sits, in words. */
#include "record/record.h"
#include "say/measure.h"
#include "say/say.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

START_TEST(a_sensors_place_is_said_as_far_as_it_is_known)
{
    struct channel_record channel = {.mounted = false};
    struct tie tie = {.kind = TIE_NONE};
    char text[SAY_SIZE];
    strcpy(channel.name, "head");
    say_sensor_place(text, sizeof text, &channel, NULL);
    ck_assert_str_eq(text, "head: not said yet");
    channel.mounted = true;
    channel.mount = (struct sensor_mount){CARRIER_FRAME, NAN, NAN, 0.0, 1};
    say_sensor_place(text, sizeof text, &channel, NULL);
    ck_assert_str_eq(text, "head: bike frame");
    channel.mount.x_mm = 120.0;
    channel.mount.y_mm = -35.0;
    say_sensor_place(text, sizeof text, &channel, &tie);
    ck_assert_str_eq(text, "head: bike frame, 120 forward, 35 below");
    channel.mount.x_mm = -120.0;
    channel.mount.y_mm = 35.0;
    say_sensor_place(text, sizeof text, &channel, &tie);
    ck_assert_str_eq(text, "head: bike frame, 120 behind, 35 above");
    channel.mount.x_mm = channel.mount.y_mm = 0.0;
    say_sensor_place(text, sizeof text, &channel, &tie);
    ck_assert_str_eq(text, "head: bike frame, 0 forward, 0 above");
    channel.mount.x_mm = -120.0;
    channel.mount.y_mm = 35.0;
    tie = (struct tie){.kind = TIE_FIRST, .absolute = true, .sensor_height_mm = 560.4};
    say_sensor_place(text, sizeof text, &channel, &tie);
    ck_assert_str_eq(text,
                     "head: bike frame, 120 behind, 35 above: 560 mm over the bottom bracket");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sensor_place");
    TCase *tests = tcase_create("sensor_place");
    tcase_add_test(tests, a_sensors_place_is_said_as_far_as_it_is_known);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
