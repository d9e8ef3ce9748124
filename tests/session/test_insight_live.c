/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said of the holds beside the comparison while a session runs. */
#include "analysis/insight.h"
#include "say/setup.h"
#include "session/view.h"
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Live, with every event: the head follows the spacers by half; a rating counts at once. */
START_TEST(told_while_the_session_runs)
{
    struct drive drive;
    struct view *view = calloc(1, sizeof *view);
    ck_assert_ptr_nonnull(view);
    drive_start(&drive, 9);
    drive_describe(&drive);
    drive_samples(&drive, 100);
    session_fill_view(drive.session, view);
    ck_assert_str_eq(drive_snapshot(&drive)->insight.standing, "");
    ck_assert_int_eq(drive_snapshot(&drive)->insight.step_count, 0);
    drive_do(&drive, "setup 1 \"as it came\"");
    for (int h = 0; h < 4; h++) {
        if (h == 2) {
            drive_do(&drive, "setup 2 \"spacers out\" spacers=0");
            for (int c = 0; c < 2; c++) {
                drive.sensor_mm[c] -= 20 * sin(73 * M_PI / 180);
                drive.body_mm[c] -= 10;
            }
        }
        drive_do(&drive, "hold 30s free settle=0s");
        drive_finish(&drive);
    }
    session_fill_view(drive.session, view);
    ck_assert_int_eq(drive_snapshot(&drive)->insight.step_count, 1);
    ck_assert_str_eq(drive_snapshot(&drive)->insight.step[0].part, "spacers, mm");
    ck_assert_double_eq(drive_snapshot(&drive)->insight.step[0].low, 0);
    ck_assert_double_eq(drive_snapshot(&drive)->insight.step[0].high, 20);
    double followed = strtod(drive_snapshot(&drive)->insight.step[0].each[0], NULL);
    ck_assert_double_eq_tol(followed, 0.5, 0.1);
    ck_assert_msg(
        strstr(drive_snapshot(&drive)->insight.standing, "no other setup is shown to beat") != NULL,
        "%s", drive_snapshot(&drive)->insight.standing);
    ck_assert_msg(strstr(drive_snapshot(&drive)->insight.next,
                         "No next step is suggested from setup 2: no single step") != NULL,
                  "%s", drive_snapshot(&drive)->insight.next);
    drive_do(&drive, "rating effort=5 sees_ahead=strained numb_hands=no");
    session_fill_view(drive.session, view);
    ck_assert_str_eq(view->message, "setup 2 rated");
    ck_assert_ptr_nonnull(
        strstr(drive_snapshot(&drive)->insight.next, "seeing ahead was a strain"));
    drive_do(&drive, "rating effort=5 sees_ahead=yes numb_hands=yes");
    session_fill_view(drive.session, view);
    ck_assert_ptr_nonnull(
        strstr(drive_snapshot(&drive)->insight.next, "No next step is suggested from setup"));
    ck_assert_ptr_nonnull(strstr(drive_snapshot(&drive)->insight.next, "numb"));
    ck_assert_ptr_nonnull(strstr(view->message, "numbness: change that before anything else"));
    ck_assert(view->message_is_problem);
    ck_assert_int_eq(setup_complaint(session_records(drive.session), 0), COMPLAINT_NONE);
    ck_assert_str_eq(say_complaint(setup_complaint(session_records(drive.session), 1)),
                     "it made the rider numb: change that before anything else");
    drive_do(&drive, "choose 2");
    session_fill_view(drive.session, view);
    ck_assert_str_eq(view->message, "setup 2 is chosen: the rider's sheet is about it; but it made "
                                    "the rider numb: change that before anything else");
    drive_do(&drive, "choose 0");
    drive_do(&drive, "rating effort=5 sees_ahead=yes numb_hands=no"); /* once is enough */
    session_fill_view(drive.session, view);
    ck_assert_ptr_nonnull(strstr(drive_snapshot(&drive)->insight.next, "numb"));
    drive_do(&drive, "setup 1");
    drive_do(&drive, "rating same");
    session_fill_view(drive.session, view);
    ck_assert_str_eq(view->message, "setup 1 rated as setup 2 was before");
    drive_do(&drive, "rating effort=2 sees_ahead=yes");
    drive_do(&drive, "setup 2");
    drive_do(&drive, "rating same");
    session_fill_view(drive.session, view);
    ck_assert_str_eq(view->message, "setup 2 rated as setup 2 was before");
    drive_do(&drive, "rating effort=5 sees_ahead=no");
    session_fill_view(drive.session, view);
    ck_assert_msg(strstr(drive_snapshot(&drive)->insight.standing, "Setup 2 FAILED") != NULL, "%s",
                  drive_snapshot(&drive)->insight.standing);
    drive_end(&drive);
    free(view);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("insight_live");
    TCase *tests = tcase_create("insight_live");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, told_while_the_session_runs);
    return test_main(suite);
}
