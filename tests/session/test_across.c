/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* One rider's setups over several sessions. */

#include "analysis/across.h"
#include "base/numbers.h"
#include "say/visits.h"
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

/* A session with the bodies at these heights over the bottom bracket. The sensors' true heights
 * follow from the parts: the clamp is at 578.252 (worked by hand, tests/bike/test_geometry.c) with
 * 20 mm of spacers, the head's sensor 40 over it, the chest's 35. */
static void ride(struct drive *drive, uint64_t seed, double head_mm, const char *first_lines[])
{
    drive_start(drive, seed);
    drive_describe(drive);
    drive->sensor_mm[0] = 578.252 + 40.0;
    drive->sensor_mm[1] = 578.252 + 35.0;
    drive->body_mm[0] = head_mm;
    drive->breathing_mm = 0.0;
    drive->noise_mm = 0.5;
    for (int i = 0; first_lines != NULL && first_lines[i] != NULL; i++) {
        drive_do(drive, first_lines[i]);
    }
}

static void hold(struct drive *drive, double head_mm)
{
    drive->body_mm[0] = head_mm;
    drive_do(drive, "hold 30s free");
    drive_finish(drive);
}

static struct across_session as_session(const struct drive *drive, int64_t id)
{
    return (struct across_session){id, session_records(drive->session),
                                   session_analysis(drive->session)};
}

static struct across *make(const struct across_session *sessions, int count)
{
    struct problem problem = {0};
    struct across *across = across_make(sessions, count, -1, &problem);
    ck_assert_msg(across != NULL, "%s", problem.sentence);
    return across;
}

/* The first session has 20 mm of spacers, the second none: 19.126 mm lower bars (20 sin 73), with
 * the sensors on them. The head fell by 12. */
static const char *apart_text(const struct across_channel *channel, int session)
{
    static char text[SAY_SIZE];
    say_apart(text, sizeof text, channel, session);
    return text;
}

START_TEST(a_setup_of_another_day_is_lower_in_true_height)
{
    struct drive first, second;
    ride(&first, 1, 900, NULL);
    hold(&first, 900.5);
    hold(&first, 899.5);
    ride(&second, 2, 888,
         (const char *[]){"known 2 \"spacers out\" spacers=0 stem_length=100 "
                          "stem_angle=-17 pad_rise=55",
                          "setup 2", NULL});
    second.sensor_mm[0] -= 20.0 * sin(73.0 * M_PI / 180.0);
    second.sensor_mm[1] -= 20.0 * sin(73.0 * M_PI / 180.0);
    hold(&second, 888.5);
    hold(&second, 887.5);
    const struct across_session sessions[] = {as_session(&first, 1), as_session(&second, 2)};
    struct across *across = make(sessions, 2);
    ck_assert_int_eq(across->setup_count, 2);
    ck_assert_int_eq(across->baseline, 0);
    ck_assert_str_eq(across->channel[0].name, "head");
    const struct setup_difference *found = &across->channel[0].heights.difference[1];
    ck_assert_int_eq(found->verdict, VERDICT_LOWER);
    ck_assert_msg(fabs(found->difference + 12.0) < 0.3, "%.2f", found->difference);
    /* where the sensor sits on the bar, 2 mm in each session, and the spacers, 0.5 mm; in the
     * second session setup 2 was built after setup 1: 0.3 mm for what was taken apart, and 0.5 once
     * more */
    ck_assert_msg(found->tie_error > sqrt(2.0 * 2.0 + 2.0 * 2.0 + 0.5 * 0.5) - 1e-6 &&
                      found->tie_error <
                          sqrt(2.0 * 2.0 + 2.0 * 2.0 + 0.3 * 0.3 + 2 * 0.5 * 0.5) + 1e-6,
                  "%.4f", found->tie_error);
    across_destroy(across);
    drive_end(&first);
    drive_end(&second);
}
END_TEST

START_TEST(the_same_parts_are_one_setup)
{
    struct drive first, second;
    ride(&first, 1, 900, NULL);
    hold(&first, 900);
    hold(&first, 901);
    ride(&second, 2, 900, NULL);
    hold(&second, 902);
    drive_do(&second, "setup 2 \"pads\" pad_rise=40");
    hold(&second, 898);
    const struct across_session sessions[] = {as_session(&first, 1), as_session(&second, 5)};
    struct across *across = make(sessions, 2);
    ck_assert_int_eq(across->setup_count, 2);
    ck_assert_int_eq(across->setup[0].number_in[0], 1);
    ck_assert_int_eq(across->setup[0].number_in[1], 1);
    ck_assert_int_eq(across->setup[0].holds_in[0], 2);
    ck_assert_int_eq(across->setup[0].holds_in[1], 1);
    ck_assert_int_eq(across->setup[1].number_in[0], 0);
    ck_assert_int_eq(across->channel[0].heights.setup[0].holds, 3);
    ck_assert(fabs(across->channel[0].heights.setup[0].mean - 901.0) < 0.3);
    across_destroy(across);
    drive_end(&first);
    drive_end(&second);
}
END_TEST

/* One session: the same verdict as within it, whatever is not known over the bottom bracket. */
START_TEST(a_session_by_itself_has_no_doubt_of_the_bottom_bracket)
{
    struct drive drive;
    ride(&drive, 3, 900, NULL);
    hold(&drive, 900);
    hold(&drive, 901);
    drive_do(&drive, "setup 2 \"spacers out\" spacers=0");
    drive.sensor_mm[0] -= 20.0 * sin(73.0 * M_PI / 180.0);
    hold(&drive, 890);
    hold(&drive, 891);
    const struct across_session sessions[] = {as_session(&drive, 1)};
    struct across *across = make(sessions, 1);
    const struct setup_difference *here = &across->channel[0].heights.difference[1];
    const struct setup_difference *there =
        &session_analysis(drive.session)->free_heights[0].difference[1];
    ck_assert(here->verdict == there->verdict && here->difference == there->difference);
    ck_assert(fabs(here->tie_error - there->tie_error) < 1e-12 && here->low == there->low);
    across_destroy(across);
    drive_end(&drive);
}
END_TEST

START_TEST(what_is_not_tied_is_said)
{
    struct drive first, second;
    ride(&first, 1, 900, NULL);
    hold(&first, 900);
    hold(&first, 901);
    drive_start(&second, 2);
    drive_do(&second, "rider R-01 \"winter group\"");
    drive_do(&second, "bike \"training bike\" stack=540 reach=400 head_angle=73 spacers=20");
    drive_do(&second, "sensor head carrier=base_bar x=120");
    drive_do(&second, "sensor chest carrier=stand x=0 y=600 mark=\"lower rib\"");
    drive_do(&second, "rig bench rate=50 channels=head,chest");
    hold(&second, 880);
    hold(&second, 881);
    const struct across_session sessions[] = {as_session(&first, 1), as_session(&second, 2)};
    struct across *across = make(sessions, 2);
    const struct across_channel *head = &across->channel[0], *chest = &across->channel[1];
    ck_assert(!isnan(head->u_session_mm[0]) && isnan(head->u_session_mm[1]));
    ck_assert_ptr_nonnull(strstr(apart_text(head, 1), "tape head="));
    ck_assert_int_eq(head->heights.difference[1].verdict, VERDICT_NOT_COMPARABLE);
    ck_assert(isnan(chest->u_session_mm[1]));
    ck_assert_ptr_nonnull(strstr(apart_text(chest, 1), "lower rib"));
    across_destroy(across);
    drive_end(&first);
    drive_end(&second);
}
END_TEST

/* Heights from a board on the pads are beside others from it, and not beside those over the bottom
 * bracket, whichever day comes first. */
START_TEST(a_day_told_from_the_board_is_apart_from_one_over_the_bottom_bracket)
{
    for (int over = 0; over < 3; over++) { /* which day is over the bottom bracket; 2: none */
        struct drive days[2];
        for (int s = 0; s < 2; s++) {
            drive_start(&days[s], 1 + (uint64_t)s);
            drive_do(&days[s], "rider R-01 \"winter group\"");
            drive_do(&days[s], "bike \"training bike\" stack=540 reach=400 head_angle=73");
            drive_do(&days[s], "sensor head carrier=base_bar");
            drive_do(&days[s], "sensor chest carrier=base_bar");
            drive_do(&days[s], "rig bench rate=50 channels=head,chest");
            drive_do(&days[s], s == over ? "tape head=640" : "plate head=245 rest=pads");
            hold(&days[s], 900);
        }
        const struct across_session sessions[] = {as_session(&days[0], 1), as_session(&days[1], 2)};
        struct across *across = make(sessions, 2);
        for (int s = 0; s < 2; s++) {
            bool apart = over < 2 && s != over;
            ck_assert_int_eq(isnan(across->channel[0].u_session_mm[s]), apart);
            ck_assert_int_eq(across->channel[0].apart[s], apart ? APART_NOT_TIED : APART_NOT);
        }
        across_destroy(across);
        drive_end(&days[0]);
        drive_end(&days[1]);
    }
}
END_TEST

START_TEST(a_tape_on_one_day_leaves_the_other_days_measures)
{
    struct drive first, second;
    ride(&first, 1, 900, NULL);
    hold(&first, 900);
    hold(&first, 901);
    ride(&second, 2, 900, NULL);
    drive_do(&second, "tape head=618.3");
    hold(&second, 900);
    const struct across_session sessions[] = {as_session(&first, 1), as_session(&second, 2)};
    struct across *across = make(sessions, 2);
    /* the frame's measures are in one of the heights only: nothing cancels */
    const struct tie *tie = &session_analysis(first.session)->tie[0][0];
    ck_assert(tie->u_absolute_mm > tie->u_own_mm);
    ck_assert(across->channel[0].u_session_mm[0] == tie->u_absolute_mm);
    ck_assert(across->channel[0].u_session_mm[1] == 2.0);
    across_destroy(across);
    drive_end(&first);
    drive_end(&second);
}
END_TEST

START_TEST(what_cannot_be_compared_is_refused)
{
    struct drive first, second;
    struct problem problem = {0};
    ride(&first, 1, 900, NULL);
    ride(&second, 2, 900, (const char *[]){"rider R-02 \"another\"", NULL});
    struct across_session sessions[ACROSS_SESSIONS_MAX + 1] = {as_session(&first, 1),
                                                               as_session(&second, 2)};
    ck_assert_ptr_null(across_make(sessions, 1, -1, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "no free hold"));
    hold(&first, 900);
    hold(&second, 900);
    ck_assert_ptr_null(across_make(sessions, 2, -1, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "R-02"));
    ck_assert_ptr_null(across_make(sessions, 1, 1, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "no setup 2"));
    ck_assert_ptr_null(across_make(sessions, ACROSS_SESSIONS_MAX + 1, -1, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "at most"));
    drive_end(&first);
    drive_end(&second);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("across sessions");
    TCase *tests = tcase_create("across");
    tcase_add_test(tests, a_setup_of_another_day_is_lower_in_true_height);
    tcase_add_test(tests, the_same_parts_are_one_setup);
    tcase_add_test(tests, a_session_by_itself_has_no_doubt_of_the_bottom_bracket);
    tcase_add_test(tests, what_is_not_tied_is_said);
    tcase_add_test(tests, a_day_told_from_the_board_is_apart_from_one_over_the_bottom_bracket);
    tcase_add_test(tests, a_tape_on_one_day_leaves_the_other_days_measures);
    tcase_add_test(tests, what_cannot_be_compared_is_refused);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
