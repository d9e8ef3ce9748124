/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Two holds without the rider having sat up in between are one hold. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include "analysis/hold_use.h"
#include "session/view.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static struct drive drive;
static struct view view;

static const struct hold_record *hold_of(int hold)
{
    return &drive_snapshot(&drive)->record.hold[hold];
}

static enum hold_use use_of(int hold)
{
    const struct snapshot *snapshot = drive_snapshot(&drive);
    return hold_use_of(&snapshot->record, &snapshot->analysis, hold, 0);
}

static void look(void)
{
    session_fill_view(drive.session, &view);
}

/* So far up for so long, then back. */
static void come_up(double up_mm, double up_s)
{
    drive.body_mm[0] += up_mm;
    drive.body_mm[1] += up_mm;
    drive_samples(&drive, (int)lround(up_s * 50.0));
    drive.body_mm[0] -= up_mm;
    drive.body_mm[1] -= up_mm;
}

static void hold(const char *command)
{
    drive_do(&drive, command);
    drive_finish(&drive);
}

/* A hold, then what the rider does for some seconds, by hand. */
static void begin(uint64_t seed)
{
    drive_start(&drive, seed);
    drive.stays_down = true;
    drive.noise_mm = 0.5;
    drive.breathing_mm = 1.0;
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as it came\"");
    hold("hold 30s free");
    ck_assert_int_eq(hold_of(0)->resit, RESIT_UNKNOWN); /* there is none before it */
    drive_samples(&drive, 100);
}

START_TEST(sitting_up_is_seen)
{
    static const struct {
        double up_mm, up_s;
        enum resit found;
    } cases[] = {{43.0, 1.2, RESIT_SEEN},       {37.0, 1.2, RESIT_NOT_SEEN},
                 {200.0, 1.06, RESIT_SEEN},     {200.0, 0.94, RESIT_NOT_SEEN},
                 {-200.0, 3.0, RESIT_NOT_SEEN}, {0.0, 0.0, RESIT_NOT_SEEN}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        begin(31);
        come_up(cases[i].up_mm, cases[i].up_s);
        hold("hold 30s free");
        ck_assert_msg(hold_of(1)->resit == cases[i].found, "%g mm for %g s", cases[i].up_mm,
                      cases[i].up_s);
        ck_assert_int_eq(use_of(1),
                         cases[i].found == RESIT_SEEN ? HOLD_USED : HOLD_UNUSED_SAME_SIT);
        drive_end(&drive);
    }
}
END_TEST

/* In 2 s and 0.8 nobody sits up and back, in 2 and 1.2 it would be seen. */
START_TEST(of_less_than_three_seconds_nothing_is_said)
{
    static const struct {
        const char *settle;
        enum resit found;
    } cases[] = {{"hold 30s free settle=0.8s", RESIT_UNKNOWN},
                 {"hold 30s free settle=1.2s", RESIT_NOT_SEEN}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        begin(32);
        hold(cases[i].settle);
        ck_assert_msg(hold_of(1)->resit == cases[i].found, "%s", cases[i].settle);
        drive_end(&drive);
    }
}
END_TEST

/* A rider who leaves the beams, a link that is down, a plate, another build: not known, so not
 * marked. */
START_TEST(what_cannot_be_seen_is_not_marked)
{
    begin(33);
    drive.quality = READING_MISSING;
    drive_samples(&drive, 60);
    drive.quality = READING_GOOD;
    hold("hold 30s free");
    ck_assert_int_eq(hold_of(1)->resit, RESIT_UNKNOWN);
    ck_assert_int_eq(use_of(1), HOLD_USED);
    drive_samples(&drive, 100);
    drive.time_us += 1200000;
    hold("hold 30s free");
    ck_assert_int_eq(hold_of(2)->resit, RESIT_UNKNOWN);
    hold("plate 5s");
    hold("hold 30s free");
    ck_assert_int_eq(hold_of(3)->resit, RESIT_UNKNOWN);
    drive_do(&drive, "build");
    hold("hold 30s free");
    ck_assert_int_eq(hold_of(4)->resit, RESIT_UNKNOWN);
    hold("hold 30s free sat=unknown");
    ck_assert_int_eq(hold_of(5)->resit, RESIT_UNKNOWN);
    hold("hold 30s free sat=anew");
    ck_assert_int_eq(hold_of(6)->resit, RESIT_SAID);
    drive_refused(&drive, "hold 30s free sat=maybe", "anew, unknown");
    drive_end(&drive);
}
END_TEST

START_TEST(it_is_told_and_answered)
{
    begin(34);
    hold("hold 30s free");
    look();
    ck_assert_msg(strstr(view.message, "no re-sit was seen: one with the hold before") != NULL,
                  "%s", view.message);
    ck_assert_int_eq(use_of(1), HOLD_UNUSED_SAME_SIT);
    ck_assert_int_eq(drive_snapshot(&drive)->analysis.free_holds[0], 1);
    drive_do(&drive, "restore 2");
    ck_assert_int_eq(hold_of(1)->resit, RESIT_SAID);
    ck_assert_int_eq(use_of(1), HOLD_USED);
    ck_assert_int_eq(drive_snapshot(&drive)->analysis.free_holds[0], 2);
    drive_do(&drive, "undo");
    ck_assert_int_eq(use_of(1), HOLD_UNUSED_SAME_SIT);
    /* a third without a re-sit is the same hold still; without the first, the second stands for all
     */
    hold("hold 30s free");
    ck_assert_int_eq(use_of(2), HOLD_UNUSED_SAME_SIT);
    drive_do(&drive, "reject 1 \"talked\"");
    ck_assert_int_eq(use_of(1), HOLD_USED);
    ck_assert_int_eq(use_of(2), HOLD_UNUSED_SAME_SIT);
    drive_do(&drive, "reject 2 \"talked\"");
    ck_assert_int_eq(use_of(2), HOLD_USED);
    drive_refused(&drive, "restore 4", "");
    drive_end(&drive);
}
END_TEST

/* Taken back, the hold before it is another. */
START_TEST(a_hold_that_was_taken_back_is_not_watched_from)
{
    begin(35);
    drive_do(&drive, "undo");
    drive_samples(&drive, 300);
    hold("hold 30s free");
    ck_assert_int_eq(drive_snapshot(&drive)->record.hold_count, 1);
    ck_assert_int_eq(hold_of(0)->resit, RESIT_UNKNOWN);
    drive_end(&drive);
}
END_TEST

/* The rider sat up in a hold that was then taken back: that was between the two that stand. Where
 * the rider stayed down, nothing was seen. */
START_TEST(it_is_looked_for_in_a_hold_that_was_taken_back)
{
    static const struct {
        double up_mm;
        enum resit found;
    } cases[] = {{150.0, RESIT_SEEN}, {0.0, RESIT_NOT_SEEN}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        begin(37);
        drive_do(&drive, "hold 30s free settle=3s");
        drive_samples(&drive, 400);
        come_up(cases[i].up_mm, 1.5);
        drive_do(&drive, "undo");
        hold("hold 30s free settle=3s");
        ck_assert_int_eq(hold_of(1)->resit, cases[i].found);
        drive_end(&drive);
    }
}
END_TEST

static void one_sample(double head_mm, double chest_mm, bool chest_seen)
{
    struct sample sample = {.number = ++drive.number, .time_us = drive.time_us += 20000};
    double noise_mm = random_normal(&drive.random);
    sample.range_tenth_mm[0] = (int32_t)lround(10.0 * (head_mm + noise_mm - drive.sensor_mm[0]));
    sample.range_tenth_mm[1] = (int32_t)lround(10.0 * (chest_mm - noise_mm - drive.sensor_mm[1]));
    sample.quality[0] = READING_GOOD;
    sample.quality[1] = chest_seen ? READING_GOOD : READING_MISSING;
    session_sample(drive.session, &sample);
}

/* A chest that nobody saw in the hold before has no height there to be over. */
START_TEST(who_came_into_the_beam_did_not_sit_up)
{
    drive_start(&drive, 38);
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as it came\"");
    drive_do(&drive, "hold 30s free settle=1s");
    for (int i = 0; i < 50 * 34; i++) {
        one_sample(900.0, 780.0, false);
    }
    ck_assert_int_eq(hold_of(0)->status, HOLD_COMPLETE);
    ck_assert(!drive_snapshot(&drive)->analysis.hold[0].has[1] ||
              drive_snapshot(&drive)->analysis.hold[0].summary[1].status != MEASURE_OK);
    for (int i = 0; i < 50 * 3; i++) {
        one_sample(900.0, 780.0, true);
    }
    drive_do(&drive, "hold 30s free settle=2s");
    for (int i = 0; i < 50 * 34; i++) {
        one_sample(900.0, 780.0, true);
    }
    ck_assert_int_eq(hold_of(1)->resit, RESIT_NOT_SEEN);
    drive_end(&drive);
}
END_TEST

START_TEST(the_countdown_asks_for_it_until_it_is_seen)
{
    static const char *const steps[] = {"rider",  "minutes", "bike",  "places",
                                        "checks", "warm_up", "target"};
    char line[32];
    begin(36);
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        snprintf(line, sizeof line, "pass %s", steps[i]);
        drive_do(&drive, line);
    }
    look();
    ck_assert_str_eq(view.next_step,
                     "free hold 2 of 4 on this build, 30 s: hands off, sit up, back");
    drive_do(&drive, view.next_command);
    drive_samples(&drive, 20);
    look();
    ck_assert(view.sit_up);
    ck_assert_ptr_nonnull(strstr(view.next_step, "hands off, sit up, back"));
    come_up(150.0, 1.5);
    look();
    ck_assert(!view.sit_up);
    ck_assert_ptr_null(strstr(view.next_step, "sit up"));
    drive_finish(&drive);
    ck_assert_int_eq(hold_of(1)->resit, RESIT_SEEN);
    come_up(150.0, 1.5);
    look();
    ck_assert_str_eq(view.next_step, "free hold 3 of 4 on this build, 30 s");
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("resit");
    TCase *tests = tcase_create("resit");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, sitting_up_is_seen);
    tcase_add_test(tests, of_less_than_three_seconds_nothing_is_said);
    tcase_add_test(tests, what_cannot_be_seen_is_not_marked);
    tcase_add_test(tests, it_is_told_and_answered);
    tcase_add_test(tests, a_hold_that_was_taken_back_is_not_watched_from);
    tcase_add_test(tests, it_is_looked_for_in_a_hold_that_was_taken_back);
    tcase_add_test(tests, who_came_into_the_beam_did_not_sit_up);
    tcase_add_test(tests, the_countdown_asks_for_it_until_it_is_seen);
    return test_main(suite);
}
