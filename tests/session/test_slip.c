/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A sensor that slips unseen while a setup is built. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include "say/slip.h"
#include "session/view.h"

#include <math.h>
#include <stdlib.h>

static struct drive drive;

static const struct analysis *now(void)
{
    return &drive_snapshot(&drive)->analysis;
}

static const struct setup_difference *second_setup(int channel)
{
    return &now()->free_heights[channel].difference[1];
}

static enum view_next asks(void)
{
    static struct view view;
    session_fill_view(drive.session, &view);
    return view.next;
}

static void two_holds(double head_mm)
{
    for (int i = 0; i < 2; i++) {
        drive.body_mm[0] = head_mm + (i == 0 ? 0.6 : -0.6);
        drive.body_mm[1] += i == 0 ? 0.5 : -0.5;
        drive_do(&drive, "hold 30s free settle=0s");
        drive_finish(&drive);
    }
}

/* Setup 2 brings nothing; the head's sensor slips 15 mm when it is built, and stays. */
static void slipped_session(double slip_mm, double chest_mm, const char *more)
{
    drive_start(&drive, 5);
    drive_describe(&drive);
    if (more != NULL) {
        drive_do(&drive, more);
    }
    drive.breathing_mm = 1.0;
    drive_do(&drive, "setup 1 \"as it came\"");
    two_holds(900.0);
    drive.sensor_mm[0] += slip_mm;
    drive.body_mm[1] += chest_mm;
    drive_do(&drive, "setup 2 \"pads down\" pad_rise=40");
    two_holds(900.0);
    drive_do(&drive, "setup 1");
    two_holds(900.0);
}

START_TEST(no_verdict_until_somebody_says)
{
    char text[256];
    slipped_session(15.0, 0.0, NULL);
    ck_assert(now()->slip[0].asked && !now()->slip[1].asked);
    ck_assert_double_eq_tol(fabs(now()->slip[0].apart_mm), 15.0, 2.0);
    ck_assert_int_eq(second_setup(0)->verdict, VERDICT_NOT_COMPARABLE);
    ck_assert_int_eq(second_setup(0)->reason, REASON_SENSOR_OR_RIDER);
    ck_assert(!second_setup(0)->has_interval);
    /* nor how well its heights are known, how holds repeat, what the order did */
    const struct comparison *head = &now()->free_heights[0];
    ck_assert(!head->setup[0].has_interval && !head->setup[1].has_interval);
    ck_assert(!head->has_repeatability && !head->order_fitted);
    ck_assert_double_eq(head->repeatability_here_df, 0.0);
    ck_assert(now()->free_heights[1].setup[0].has_interval);
    ck_assert_int_ne(second_setup(1)->verdict, VERDICT_NOT_COMPARABLE);
    ck_assert_int_eq(asks(), VIEW_NEXT_SLIPPED);
    say_slip(text, sizeof text, &drive_snapshot(&drive)->record, now());
    ck_assert_msg(strstr(text, "head: setup 1, build 2 is 1") == text &&
                      strstr(text, "lower than build 1, and nothing else moved") != NULL,
                  "%s", text);
    /* the rider: it counts as it is */
    drive_do(&drive, "slipped no");
    ck_assert(!now()->slip[0].asked);
    ck_assert_int_ne(second_setup(0)->verdict, VERDICT_NOT_COMPARABLE);
    ck_assert(now()->free_heights[0].setup[0].has_interval);
    ck_assert_int_ne(asks(), VIEW_NEXT_SLIPPED);
    drive_end(&drive);
}
END_TEST

START_TEST(after_a_slip_only_the_plate_ties)
{
    slipped_session(15.0, 0.0, NULL);
    drive_do(&drive, "slipped yes");
    ck_assert_int_eq(now()->tie[1][0].kind, TIE_NONE);
    ck_assert_int_eq(now()->tie[2][0].kind, TIE_NONE);
    ck_assert_int_eq(second_setup(0)->reason, REASON_NOT_TIED);
    /* read on each build, afterwards typed: nothing moved but the sensor */
    drive_do(&drive, "plate head=300 chest=300 setup=1 build=1");
    drive_do(&drive, "plate head=285 chest=300 setup=2");
    drive_do(&drive, "plate head=285 chest=300 setup=1 build=2");
    ck_assert_int_eq(now()->tie[1][0].kind, TIE_PLATE);
    ck_assert(second_setup(0)->has_interval);
    ck_assert(fabs(second_setup(0)->difference) < 3.0);
    /* taken back, without a word of which: the latest that was answered for */
    drive_do(&drive, "slipped no");
    ck_assert_int_eq(drive_snapshot(&drive)->record.build[2].slipped, ANSWER_NO);
    drive_do(&drive, "slipped yes setup=1 build=2");
    drive_refused(&drive, "slipped maybe", "yes or no, not 'maybe'");
    drive_refused(&drive, "slipped yes setup=2", "has no build before");
    drive_end(&drive);
}
END_TEST

/* A body moves on both channels; 4 mm are within what is not asked about. */
START_TEST(what_is_not_asked)
{
    slipped_session(15.0, 9.0, NULL);
    ck_assert(!now()->slip[0].asked);
    drive_end(&drive);
    slipped_session(4.0, 0.0, NULL);
    ck_assert(!now()->slip[0].asked);
    drive_refused(&drive, "slipped no", "no two builds");
    drive_end(&drive);
}
END_TEST

/* With no other channel of the body it is asked all the same, and not said that nothing else moved.
 */
START_TEST(one_channel_alone_is_asked_about)
{
    char text[256];
    slipped_session(15.0, 0.0, "sensor chest role=aux");
    ck_assert(now()->slip[0].asked && !now()->slip[0].beside);
    say_slip(text, sizeof text, &drive_snapshot(&drive)->record, now());
    ck_assert_msg(strstr(text, "than build 1: sensor or rider?") != NULL, "%s", text);
    /* and nothing follows from its heights for the parts */
    ck_assert_int_eq(now()->insight.steps[0].status, MEASURE_TOO_FEW);
    drive_do(&drive, "slipped no");
    ck_assert_int_eq(now()->insight.steps[0].status, MEASURE_OK);
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("slip");
    TCase *tests = tcase_create("slip");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, no_verdict_until_somebody_says);
    tcase_add_test(tests, after_a_slip_only_the_plate_ties);
    tcase_add_test(tests, what_is_not_asked);
    tcase_add_test(tests, one_channel_alone_is_asked_about);
    return test_main(suite);
}
