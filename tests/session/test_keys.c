/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Every key of a command, one at a time: it is taken, and its value is where it
 * belongs. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>

static struct drive drive;

static const struct session_record *record(void)
{
    return session_records(drive.session);
}

START_TEST(a_sensor_s)
{
    drive_start(&drive, 7);
    drive_describe(&drive);
    const struct channel_record *head = &record()->placing[0].channel[0];
    drive_do(&drive, "sensor head carrier=extension");
    ck_assert_int_eq(head->mount.carrier, CARRIER_EXTENSION);
    drive_do(&drive, "sensor head x=33");
    ck_assert_double_eq(head->mount.x_mm, 33);
    drive_do(&drive, "sensor head y=44");
    ck_assert_double_eq(head->mount.y_mm, 44);
    drive_do(&drive, "sensor head tilt=5.5");
    ck_assert_double_eq(head->mount.tilt_deg, 5.5);
    drive_do(&drive, "sensor head look=down sure=yes");
    ck_assert_int_eq(head->mount.direction, -1);
    drive_do(&drive, "sensor head mark=\"chin strap\"");
    ck_assert_str_eq(head->mark, "chin strap");
    drive_do(&drive, "sensor head role=ref");
    ck_assert_int_eq(head->role, ROLE_REFERENCE);
    drive_do(&drive, "sensor head gain=1.25");
    ck_assert_double_eq(head->gain, 1.25);
    drive_do(&drive, "sensor head offset=-12");
    ck_assert_double_eq(head->offset_mm, -12);
    drive_refused(&drive, "sensor head colour=red", "colour");
    /* each keeps within what can be meant; both ends are in */
    static const char *const ends[][2] = {
        {"x=2000", "x=2001"},           {"x=-2000", "x=-2001"}, {"y=2000", "y=2001"},
        {"y=-2000", "y=-2001"},         {"tilt=60", "tilt=61"}, {"tilt=-60", "tilt=-61"},
        {"gain=0.5", "gain=0.4"},       {"gain=2", "gain=2.1"}, {"offset=500", "offset=501"},
        {"offset=-500", "offset=-501"},
    };
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        char line[64];
        snprintf(line, sizeof line, "sensor head %s", ends[i][0]);
        drive_do(&drive, line);
        snprintf(line, sizeof line, "sensor head %s", ends[i][1]);
        drive_refused(&drive, line, strchr(ends[i][1], '=') + 1);
    }
    drive_end(&drive);
}
END_TEST

START_TEST(a_cue_s)
{
    drive_start(&drive, 7);
    drive_describe(&drive);
    drive_do(&drive, "target head=884");
    drive_do(&drive, "band head=+10/-20");
    drive_do(&drive, "cue head on_delay=1.5s");
    drive_do(&drive, "cue head off_delay=0.8s");
    drive_do(&drive, "cue head dead_band=0.3");
    drive_do(&drive, "band head=+11/-21");
    const struct cue_settings *cue = &record()->band[record()->band_count - 1].cue[0];
    ck_assert_double_eq(cue->on_delay_s, 1.5);
    ck_assert_double_eq(cue->off_delay_s, 0.8);
    ck_assert_double_eq(cue->dead_band, 0.3);
    drive_refused(&drive, "cue head wait=1s", "wait");
    drive_end(&drive);
}
END_TEST

START_TEST(a_target_s_and_a_hold_s)
{
    static const char *const lines[] = {"target until=4mm", "target at_least=10s",
                                        "target at_most=40s", "target settle=3s"};
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        drive_start(&drive, 7);
        drive_describe(&drive);
        drive_samples(&drive, 60);
        drive_do(&drive, lines[i]);
        drive_refused(&drive, "target from=4", "");
        ck_assert_int_eq(record()->target_count, 1);
        ck_assert_double_eq(record()->target[0].until_mm, i == 0 ? 4.0 : 3.0);
        drive_samples(&drive, 50 * 4); /* 4 s: 5 are the usual ones to settle */
        ck_assert_int_eq(session_phase(drive.session), i == 3 ? VIEW_TARGET : VIEW_SETTLING);
        drive_end(&drive);
    }
    drive_start(&drive, 7);
    drive_describe(&drive);
    drive_samples(&drive, 60);
    drive_refused(&drive, "target at_most=29s", "shorter than at_least");  /* of 30 s */
    drive_refused(&drive, "target at_least=91s", "shorter than at_least"); /* than 90 s */
    drive_end(&drive);
    drive_start(&drive, 7);
    drive_describe(&drive);
    drive_samples(&drive, 60);
    drive_do(&drive, "hold 10s free settle=2s");
    ck_assert_int_eq(session_phase(drive.session), VIEW_SETTLING);
    drive_samples(&drive, 99); /* of 50 a second */
    ck_assert_int_eq(session_phase(drive.session), VIEW_SETTLING);
    drive_samples(&drive, 3);
    ck_assert_int_eq(session_phase(drive.session), VIEW_HOLD);
    drive_refused(&drive, "hold 10s free wait=2s", "");
    drive_end(&drive);
}
END_TEST

START_TEST(a_rig_s_and_a_rider_s)
{
    drive_start(&drive, 7);
    drive_do(&drive, "rig bench rate=40 channels=head,chest");
    ck_assert_double_eq(record()->placing[0].announced_rate_hz, 40);
    ck_assert_int_eq(record()->placing[0].channel_count, 2);
    drive_refused(&drive, "rig bench speed=40 channels=head", "speed");
    drive_refused(&drive, "rig bench rate=100001 channels=head,chest", "100000");
    drive_do(&drive, "rig bench rate=99999 channels=head,chest");
    drive_do(&drive, "rider R-07 watch_for=\"a stiff neck\"");
    ck_assert_str_eq(record()->rider.watch_for, "a stiff neck");
    drive_refused(&drive, "rider R-07 look_for=neck", "look_for");
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("keys");
    TCase *tests = tcase_create("keys");
    tcase_add_test(tests, a_sensor_s);
    tcase_add_test(tests, a_cue_s);
    tcase_add_test(tests, a_target_s_and_a_hold_s);
    tcase_add_test(tests, a_rig_s_and_a_rider_s);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
