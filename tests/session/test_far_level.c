/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A bottle in the beam, a plate left on the bars, two cables that changed places: levels that are
 * hardly the rider's. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include "analysis/far_level.h"
#include "say/hold_quality.h"
#include "session/view.h"

#include <string.h>

static struct drive drive;
static struct view view;
static struct far_level far;

/* A free hold with the bodies so far from where they were. */
static void ride(double head_mm, double chest_mm)
{
    drive.body_mm[0] += head_mm;
    drive.body_mm[1] += chest_mm;
    drive_do(&drive, "hold 30s free");
    drive_finish(&drive);
    drive.body_mm[0] -= head_mm;
    drive.body_mm[1] -= chest_mm;
    session_fill_view(drive.session, &view);
}

/* The latest hold on a channel. */
static bool is_far(int channel)
{
    const struct snapshot *now = drive_snapshot(&drive);
    return far_level_of(&now->record, &now->analysis, now->record.hold_count - 1, channel, &far);
}

static void begin(void)
{
    drive_start(&drive, 21);
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as it came\"");
    ride(0.0, 0.0);
    ck_assert(!is_far(0) && !is_far(1));
    ck_assert_str_eq(view.message, "hold 1 kept");
}

START_TEST(what_is_far_from_the_hold_before_is_asked_about)
{
    char text[SAY_QUALITY_SIZE];
    begin();
    ride(-90.0, 0.0); /* under 100 mm: a rider may do that */
    ck_assert(!is_far(0));
    ride(+30.0, 0.0); /* 120 from that one, which is the one before now */
    ck_assert(is_far(0) && !is_far(1));
    ck_assert_int_eq(far.before, 1);
    ck_assert_double_eq_tol(far.by_mm, 120.0, 3.0);
    ck_assert_double_eq_tol(far.parts_mm, 0.0, 1e-9);
    ck_assert_msg(strstr(view.message, "hold 3 kept; head 1") != NULL &&
                      strstr(view.message, " mm higher than hold 2, same parts: is the rider in "
                                           "its beam, its cable right?") != NULL,
                  "%s", view.message);
    ck_assert(view.message_is_problem);
    const struct snapshot *now = drive_snapshot(&drive);
    say_hold_quality(text, &now->record, &now->analysis, 2);
    ck_assert_msg(strstr(text, "higher than hold 2") != NULL, "%s", text);
    ride(-85.0, 0.0); /* what was far is nothing to be far from */
    ck_assert(!is_far(0));
    ck_assert(!view.message_is_problem);
    drive_end(&drive);
}
END_TEST

static bool asks_about(const char *hold)
{
    session_fill_view(drive.session, &view);
    return strstr(view.next_step, hold) == view.next_step &&
           strstr(view.next_step, "is far from those before") != NULL;
}

/* It comes before whatever else is due, until it is left out, passed over, or another is ridden. */
START_TEST(a_far_hold_is_what_comes_next)
{
    begin();
    ck_assert(!asks_about("hold 1"));
    drive_do(&drive, "pass holds");
    ride(0.0, 0.0);
    ck_assert_str_eq(view.next_step, "rate this setup");
    ride(+130.0, 0.0);
    ck_assert_msg(asks_about("hold 3 "), "%s", view.next_step);
    ck_assert_int_eq(view.next, VIEW_NEXT_WAIT);
    ck_assert_str_eq(view.next_skip, "pass far");
    drive_do(&drive, "reject 3 \"a bottle\"");
    ck_assert(!asks_about("hold"));
    ride(0.0, -140.0);
    ck_assert_msg(asks_about("hold 4 "), "%s", view.next_step);
    drive_do(&drive, "pass far");
    ck_assert(!asks_about("hold"));
    ck_assert_str_eq(view.next_step, "rate this setup");
    ride(0.0, -140.0); /* another one is asked about anew */
    ck_assert_msg(asks_about("hold 5 "), "%s", view.next_step);
    ride(0.0, 0.0);
    ck_assert(!asks_about("hold"));
    ride(0.0, -140.0);
    drive_do(&drive, "build"); /* of another build */
    ck_assert(!asks_about("hold"));
    drive_end(&drive);
}
END_TEST

START_TEST(what_the_parts_moved_is_the_riders)
{
    begin();
    drive_do(&drive, "setup 2 \"pads down\" pad_rise=15"); /* by 40 */
    ride(-130.0, 0.0);
    ck_assert(!is_far(0));
    drive_do(&drive, "reject 2 \"aside\"");
    ride(-150.0, +150.0);
    ck_assert(is_far(0));
    ck_assert_double_eq_tol(far.by_mm, -150.0, 3.0);
    ck_assert_double_eq_tol(far.parts_mm, 40.0, 0.1);
    ck_assert(strstr(view.message, "lower than hold 1, parts moved 40:") != NULL);
    ck_assert(is_far(1) && far.before == 0);
    drive_do(&drive, "reject 3 \"a bottle\"");
    ck_assert(!is_far(0));
    drive_end(&drive);
}
END_TEST

/* The two sensors' own ranges are 60 mm apart: too little to be far for a rider alone. */
static void bodies_apart(double mm)
{
    drive.body_mm[0] = drive.sensor_mm[0] + 250.0 + mm;
    drive.body_mm[1] = drive.sensor_mm[1] + 250.0;
}

START_TEST(cables_that_changed_places)
{
    begin();
    bodies_apart(60.0);
    drive_do(&drive, "reject 1 \"aside\"");
    ride(0.0, 0.0);
    drive_do(&drive, "setup 2 \"pads down\" pad_rise=35"); /* by 20, which explains nothing */
    ride(-60.0 - 12.0, +60.0 - 12.0);
    ck_assert(is_far(0) && far.exchanged == 1 && far.before == 1);
    ck_assert(is_far(1) && far.exchanged == 0);
    ck_assert_msg(strstr(view.message, "mm lower than hold 2, and chest reads what it read then: "
                                       "have the two cables changed places?") != NULL,
                  "%s", view.message);
    ck_assert(view.message_is_problem);
    drive_do(&drive, "setup 1");
    ride(0.0, 0.0); /* put right */
    ck_assert(!is_far(0) && !is_far(1) && !view.message_is_problem);
    ride(-60.0, +60.0 - 17.0); /* over a quarter off: a rider may have done that */
    ck_assert(!is_far(0) && !is_far(1));
    drive_end(&drive);
}
END_TEST

START_TEST(ranges_that_are_alike_tell_no_cables)
{
    begin();
    bodies_apart(38.0);
    drive_do(&drive, "reject 1 \"aside\"");
    ride(0.0, 0.0);
    ride(-38.0, +38.0);
    ck_assert(!is_far(0) && !is_far(1));
    bodies_apart(43.0);
    ride(0.0, 0.0);
    ride(-43.0, +43.0);
    ck_assert(is_far(0) && is_far(1) && far.exchanged == 0);
    drive_do(&drive, "placing"); /* fixed anew, and each aimed at the other's */
    drive_do(&drive, "sensor head carrier=base_bar x=60 y=38 tilt=0");
    ride(0.0, 0.0);
    ck_assert(!is_far(1) || far.exchanged < 0);
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("far level");
    TCase *tests = tcase_create("far level");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, what_is_far_from_the_hold_before_is_asked_about);
    tcase_add_test(tests, a_far_hold_is_what_comes_next);
    tcase_add_test(tests, what_the_parts_moved_is_the_riders);
    tcase_add_test(tests, cables_that_changed_places);
    tcase_add_test(tests, ranges_that_are_alike_tell_no_cables);
    return test_main(suite);
}
