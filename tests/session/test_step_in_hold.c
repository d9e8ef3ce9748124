/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A sensor that is bumped while a hold is recorded, and a rider who shifts. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include "say/hold_quality.h"
#include "session/view.h"

#include <math.h>
#include <string.h>

static struct drive drive;
static struct view view;

/* A hold of a minute; after 34 s sensors and bodies move by so much, head and chest. */
static const struct hold_result *ride(const double sensor_mm[2], const double body_mm[2])
{
    drive_do(&drive, "hold 60s free settle=0s");
    drive_samples(&drive, 34 * 50);
    for (int c = 0; c < 2; c++) {
        drive.sensor_mm[c] += sensor_mm[c];
        drive.body_mm[c] += body_mm[c];
    }
    drive_finish(&drive);
    session_fill_view(drive.session, &view);
    const struct snapshot *snapshot = drive_snapshot(&drive);
    return &snapshot->analysis.hold[snapshot->record.hold_count - 1];
}

static void says(const char *words)
{
    static char text[SAY_QUALITY_SIZE];
    const struct snapshot *snapshot = drive_snapshot(&drive);
    say_hold_quality(text, &snapshot->record, &snapshot->analysis, snapshot->record.hold_count - 1);
    ck_assert_msg((words[0] == '\0') == (strstr(text, "STEPPED") == NULL) &&
                      strstr(text, words) != NULL,
                  "%s", text);
}

START_TEST(a_bumped_sensor_is_told_from_a_rider_who_shifts)
{
    static const double none[2] = {0.0, 0.0}, head_only[2] = {-12.0, 0.0}, both[2] = {-12.0, -10.0};
    drive_start(&drive, 5);
    drive_describe(&drive);
    const struct hold_result *result = ride(none, none);
    ck_assert(!result->stepped && !result->step_alone[0]);
    says("");
    ck_assert_str_eq(view.message, "hold 1 kept");

    /* the sensor goes down: the head seems to come up, and the chest stays */
    result = ride(head_only, none);
    ck_assert(result->stepped && result->summary[0].stepped && !result->summary[1].stepped);
    ck_assert_double_eq_tol(result->summary[0].step_mm, 12.0, 2.0);
    ck_assert_double_eq_tol(result->summary[0].step_at_s, 34.0, 0.5);
    ck_assert(result->step_alone[0] && !result->step_alone[1]);
    says("head: STEPPED up by 12 mm at 34 s: the sensor, the body did not follow; read the plate");
    ck_assert_str_eq(view.message,
                     "hold 2 kept, but its level stepped: sensor or rider? read the plate");

    /* nothing is said of that channel, nor used of what is held after it, before somebody says */
    ck_assert_int_eq(drive_snapshot(&drive)->analysis.step_open[0], 2);
    ck_assert_int_eq(drive_snapshot(&drive)->analysis.step_open[1], 0);
    session_fill_view(drive.session, &view);
    ck_assert_str_eq(view.next_step, "a sensor moved in hold 2: leave it out (u), or b, sensor "
                                     "moved, and the plate");
    drive_do(&drive, "build");
    ck_assert_int_eq(drive_snapshot(&drive)->analysis.step_open[0], 2);
    drive_do(&drive, "moved yes");
    ck_assert_int_eq(drive_snapshot(&drive)->analysis.step_open[0], 0);
    drive_do(&drive, "moved no");
    ck_assert_int_eq(drive_snapshot(&drive)->analysis.step_open[0], 2);
    drive_do(&drive, "reject 2 \"bumped\"");
    ck_assert_int_eq(drive_snapshot(&drive)->analysis.step_open[0], 0);
    session_fill_view(drive.session, &view);
    ck_assert_ptr_null(strstr(view.next_step, "a sensor moved in hold"));

    /* both go down: nobody can say which it was */
    result = ride(none, both);
    ck_assert(result->summary[0].stepped && result->summary[1].stepped);
    ck_assert_double_eq_tol(result->summary[0].step_mm, -12.0, 2.0);
    ck_assert_double_eq_tol(result->summary[1].step_mm, -10.0, 2.0);
    ck_assert(!result->step_alone[0] && !result->step_alone[1]);
    says("head: STEPPED down by 12 mm at 34 s: sensor or rider? read the plate; chest: STEPPED "
         "down by 10 mm at 34 s: sensor or rider? read the plate");
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("step in a hold");
    TCase *tests = tcase_create("step in a hold");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_bumped_sensor_is_told_from_a_rider_who_shifts);
    return test_main(suite);
}
