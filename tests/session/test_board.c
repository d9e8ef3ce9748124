/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A board across the pads read on setups whose pads lie elsewhere: what is kept, and what is said.
 */
#include "support/session_drive.h"
#include "support/test_main.h"

#include "bike/tie.h"
#include "session/view.h"

#include <math.h>
#include <string.h>

static struct drive drive;

static void says(const char *part)
{
    static struct view view;
    session_fill_view(drive.session, &view);
    ck_assert_msg(strstr(view.message, part) != NULL, "%s", view.message);
}

static double height_kept(void)
{
    const struct session_record *record = session_records(drive.session);
    return record->tie_reading[record->tie_reading_count - 1].plate_height_mm;
}

static const struct tie *tie_of(int build)
{
    return &session_analysis(drive.session)->tie[build][0];
}

/* Bars, pads, board and sensor come down by 19 mm together: the range stays. */
START_TEST(pads_that_came_down_take_the_board_along)
{
    drive_start(&drive, 1);
    drive_do(&drive, "rig virtual rate=50 channels=head,chest");
    drive_do(&drive, "bike \"training bike\" stack=545 reach=410 head_angle=73");
    drive_do(&drive, "sensor head carrier=base_bar look=up tilt=0 x=120 y=40");
    drive_do(&drive, "setup 1 \"as it came\" stem_length=100 stem_angle=-6 spacers=20 pad_rise=60");
    drive_do(&drive, "plate head=110 height=745 rest=pads sure=yes");
    says("worked out anew");
    drive_do(&drive, "build");
    drive_do(&drive, "plate head=110 rest=pads");
    ck_assert_double_eq(height_kept(), 745.0);
    says("worked out anew");
    drive_do(&drive, "setup 2 \"spacers out\" spacers=0");
    drive_do(&drive, "plate head=110 rest=pads");
    ck_assert_double_nan(height_kept());
    says("the board lies on pads that moved");
    ck_assert_int_eq(tie_of(2)->kind, TIE_COMPUTED);
    ck_assert_double_eq_tol(tie_of(2)->shift_mm, -20.0 * sin(73.0 * acos(-1.0) / 180.0), 0.01);
    drive_do(&drive, "plate head=110 height=726 rest=pads sure=yes");
    says("worked out anew");
    ck_assert_int_eq(tie_of(2)->kind, TIE_PLATE);
    ck_assert_double_eq_tol(tie_of(2)->shift_mm, -19.0, 1e-9);
    drive_do(&drive, "setup 1"); /* and back */
    drive_do(&drive, "plate head=110 rest=pads");
    ck_assert_double_eq(height_kept(), 745.0);
    drive_end(&drive);
}
END_TEST

/* Told from the board itself: it is not at its height again on other pads. */
START_TEST(heights_from_a_board_end_with_its_pads)
{
    drive_start(&drive, 1);
    drive_do(&drive, "rig virtual rate=50 channels=head,chest");
    drive_do(&drive, "setup 1 \"as it came\"");
    drive_do(&drive, "plate 5s rest=pads");
    drive_finish(&drive);
    ck_assert_double_eq(height_kept(), 0.0);
    drive_do(&drive, "setup 2 \"spacers out\"");
    drive_do(&drive, "plate 5s rest=pads");
    drive_finish(&drive);
    ck_assert_double_nan(height_kept());
    ck_assert_int_eq(tie_of(1)->kind, TIE_NONE);
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("board");
    TCase *tests = tcase_create("board");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, pads_that_came_down_take_the_board_along);
    tcase_add_test(tests, heights_from_a_board_end_with_its_pads);
    return test_main(suite);
}
