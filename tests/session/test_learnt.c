/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What earlier sessions showed of how holds repeat, as a record of this one. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include "say/repeatability.h"
#include "session/view.h"

#include <math.h>

static struct drive drive;

static const struct comparison *head(void)
{
    return &drive_snapshot(&drive)->analysis.free_heights[0];
}

static void hold(double body_mm)
{
    drive.body_mm[0] = body_mm;
    drive_do(&drive, "hold 30s free settle=0s");
    drive_finish(&drive);
}

static void four_holds(void)
{
    drive_start(&drive, 1);
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as it came\"");
    hold(900.0);
    hold(902.0);
    drive_do(&drive, "setup 2 \"pads down\" moved=no pad_rise=40");
    hold(880.0);
    hold(884.0);
}

/* SD 4 worth 5 from the rider, 3 worth 4 from the store: (5 x 16 + 4 x 9)/9 = 12.89 with 9. */
START_TEST(it_has_its_say_and_can_be_switched)
{
    char text[512];
    four_holds();
    double alone = head()->repeatability;
    ck_assert_double_eq(head()->repeatability_df, 2.0);
    say_learnt(text, sizeof text, &drive_snapshot(&drive)->record, 0, head());
    ck_assert_str_eq(text, "");
    drive_do(&drive, "learnt channel=head rider_sd=4 rider_df=5 rider_sessions=3 store_sd=3 "
                     "store_df=4 store_sessions=22");
    ck_assert_double_eq_tol(head()->repeatability_df, 11.0, 1e-9);
    double both = (2.0 * alone * alone + 9.0 * (116.0 / 9.0)) / 11.0;
    ck_assert_double_eq_tol(head()->repeatability, sqrt(both), 1e-9);
    say_learnt(text, sizeof text, &drive_snapshot(&drive)->record, 0, head());
    ck_assert_msg(strstr(text, "this session's holds count 2") != NULL &&
                      strstr(text, "3 earlier sessions 5.0") != NULL &&
                      strstr(text, "22 sessions of the store's other riders 4.0") != NULL,
                  "%s", text);
    drive_do(&drive, "learnt rider");
    ck_assert_double_eq_tol(head()->repeatability_df, 7.0, 1e-9);
    drive_do(&drive, "learnt store");
    ck_assert_double_eq_tol(head()->repeatability_df, 6.0, 1e-9);
    drive_do(&drive, "learnt none");
    ck_assert_double_eq_tol(head()->repeatability, alone, 1e-12);
    drive_do(&drive, "learnt all");
    ck_assert_double_eq_tol(head()->repeatability_df, 11.0, 1e-9);
    /* the chest learnt nothing, and takes nothing back */
    ck_assert_double_eq(drive_snapshot(&drive)->analysis.free_heights[1].repeatability_df, 2.0);
    drive_do(&drive, "learnt channel=head");
    ck_assert_double_eq_tol(head()->repeatability, alone, 1e-12);
    drive_end(&drive);
}
END_TEST

START_TEST(what_is_no_sense_is_refused)
{
    drive_start(&drive, 1);
    drive_describe(&drive);
    drive_refused(&drive, "learnt", "say channel=NAME");
    drive_refused(&drive, "learnt channel=knee rider_sd=3 rider_df=4", "knee");
    drive_refused(&drive, "learnt somebody", "none of all, rider, store, none");
    drive_refused(&drive, "learnt channel=head rider_sd=0 rider_df=4", "rider_sd");
    drive_refused(&drive, "learnt channel=head rider_sd=3", "go together");
    drive_refused(&drive, "learnt channel=head store_df=3", "go together");
    drive_refused(&drive, "learnt channel=head rider_sd=3 rider_df=4 rider_sessions=x",
                  "no number of sessions");
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("learnt");
    TCase *tests = tcase_create("learnt");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, it_has_its_say_and_can_be_switched);
    tcase_add_test(tests, what_is_no_sense_is_refused);
    return test_main(suite);
}
