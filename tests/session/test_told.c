/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the rider is told by sounds, and that each is recorded. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include <string.h>

static struct view view; /* big: each test runs in a process of its own */

/* A target, a band of +10 and -20 about the head's, and a hold of 30 s that has begun. */
static void begin_hold(struct drive *drive, const char *hold)
{
    drive_start(drive, 31);
    drive->noise_mm = 0.5;
    drive->breathing_mm = 0.0;
    drive_describe(drive);
    drive_do(drive, "target settle=0s until=8mm");
    drive_finish(drive);
    drive_do(drive, "band head=+10/-20");
    drive_do(drive, hold);
    drive_samples(drive, 5);
    ck_assert_int_eq(session_phase(drive->session), VIEW_HOLD);
}

static const struct session_record *records(struct drive *drive)
{
    return session_records(drive->session);
}

/* Raised for 10 s from 5 s on: told at 5 s + the head's delay of 2 s, and 5 s later, then in again
 * after its delay of half a second. */
START_TEST(a_guided_hold_tells_and_each_sound_is_recorded)
{
    struct drive drive;
    begin_hold(&drive, "hold 30s guided settle=0s");
    int64_t first = drive.number;
    drive_samples(&drive, 250);
    ck_assert_int_eq(records(&drive)->cue_sound_count, 0);
    drive.body_mm[0] += 40.0;
    drive_samples(&drive, 500);
    drive.body_mm[0] -= 40.0;
    drive_samples(&drive, 150);
    ck_assert_int_eq(records(&drive)->cue_sound_count, 3);
    static const enum cue_sound kinds[] = {CUE_SOUND_LOWER, CUE_SOUND_LOWER, CUE_SOUND_IN};
    static const double at_s[] = {7.2, 12.2, 15.8};
    for (int i = 0; i < 3; i++) {
        const struct cue_sound_record *sound = &records(&drive)->cue_sound[i];
        ck_assert_int_eq(sound->kind, kinds[i]);
        ck_assert_int_eq(sound->channel, 0);
        ck_assert_int_eq(sound->hold, 0);
        double told_s = (double)(sound->sample - first) / 50.0;
        ck_assert_msg(told_s > at_s[i] - 0.3 && told_s < at_s[i] + 0.3, "sound %d at %.2f s", i,
                      told_s);
    }
    session_fill_view(drive.session, &view);
    ck_assert_uint_eq(view.heard_serial, 3);
    ck_assert_int_eq(view.heard, CUE_SOUND_IN);
    drive_end(&drive);
}
END_TEST

START_TEST(a_free_hold_tells_nothing_unless_it_is_asked_for)
{
    static const struct {
        const char *setting, *hold;
        int sounds;
    } rows[] = {{"sound guided", "hold 30s free settle=0s", 0},
                {"sound all", "hold 30s free settle=0s", 1},
                {"sound all", "hold 30s guided settle=0s", 1},
                {"sound off", "hold 30s guided settle=0s", 0}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct drive drive;
        begin_hold(&drive, rows[i].hold);
        drive_do(&drive, rows[i].setting);
        drive.body_mm[0] -= 40.0;
        drive_samples(&drive, 200);
        ck_assert_int_eq(records(&drive)->cue_sound_count, rows[i].sounds);
        if (rows[i].sounds > 0) {
            ck_assert_int_eq(records(&drive)->cue_sound[0].kind, CUE_SOUND_RAISE);
        }
        drive_end(&drive);
    }
}
END_TEST

START_TEST(none_is_over_the_tones_of_the_start_and_the_end)
{
    struct drive drive;
    drive_start(&drive, 32);
    drive.noise_mm = 0.5;
    drive.breathing_mm = 0.0;
    drive_describe(&drive);
    drive_do(&drive, "target settle=0s until=8mm");
    drive_finish(&drive);
    drive_do(&drive, "band head=+10/-20");
    drive.body_mm[0] += 40.0;
    drive_samples(&drive, 300); /* out before the hold begins */
    drive_do(&drive, "hold 30s guided settle=0s");
    int64_t first = drive.number;
    drive_samples(&drive, 1350); /* 27 s: told at 1.5, 6.5, 21.5 */
    ck_assert_int_eq(records(&drive)->cue_sound_count, 3);
    double first_s = (double)(records(&drive)->cue_sound[0].sample - first) / 50.0;
    ck_assert_double_eq_tol(first_s, 1.52, 0.03);
    drive.body_mm[0] -= 40.0;
    drive_finish(&drive);
    ck_assert_int_eq(records(&drive)->cue_sound_count, 3); /* it is in again at 28 s */
    drive_end(&drive);
}
END_TEST

/* A part that is out is told anew after 5 s and after 15 more: the third time 26.35 s into a hold
 * of 30 s, or 26.65 s, and 3.5 s before its end none is to come any more. */
START_TEST(the_last_one_is_three_and_a_half_seconds_before_the_end)
{
    for (int late = 0; late <= 1; late++) {
        struct drive drive;
        begin_hold(&drive, "hold 30s guided settle=0s");
        int64_t first = drive.number - 5;
        drive_samples(&drive, 206 + 15 * late);
        drive.body_mm[0] += 40.0;
        drive_finish(&drive);
        ck_assert_int_eq(records(&drive)->cue_sound_count, 3 - late);
        double told_s = (double)(records(&drive)->cue_sound[1].sample - first) / 50.0;
        ck_assert_double_eq_tol(told_s, 11.35 + 0.3 * late, 0.1);
        drive_end(&drive);
    }
}
END_TEST

START_TEST(the_setting_goes_round_and_rubbish_is_refused)
{
    struct drive drive;
    drive_start(&drive, 33);
    drive_describe(&drive);
    static const char *const said[] = {"in all holds, free ones too", "no more", "in guided holds"};
    for (int i = 0; i < 3; i++) {
        drive_do(&drive, "sound next");
        session_fill_view(drive.session, &view);
        ck_assert_msg(strstr(view.message, said[i]) != NULL, "'%s'", view.message);
    }
    drive_refused(&drive, "sound", "guided");
    drive_refused(&drive, "sound loud", "guided");
    drive_refused(&drive, "sound when=all", "guided");
    drive_refused(&drive, "sound all off", "guided");
    drive_end(&drive);
}
END_TEST

START_TEST(a_spent_budget_says_why)
{
    struct drive drive;
    begin_hold(&drive, "hold 900s guided settle=0s");
    bool said = false;
    drive_samples(&drive, 100);
    for (int i = 0; i < 14; i++) {
        drive.body_mm[0] += 40.0;
        drive_samples(&drive, 150);
        drive.body_mm[0] -= 40.0;
        drive_samples(&drive, 100);
        session_fill_view(drive.session, &view);
        said = said || strstr(view.message, "no more sounds for 5 min") != NULL;
        ck_assert(said == (i >= 12));
    }
    ck_assert_int_eq(records(&drive)->cue_sound_count, 24); /* 12 told, 12 in again */
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("what the rider is told");
    TCase *tcase = tcase_create("told");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, a_guided_hold_tells_and_each_sound_is_recorded);
    tcase_add_test(tcase, a_free_hold_tells_nothing_unless_it_is_asked_for);
    tcase_add_test(tcase, none_is_over_the_tones_of_the_start_and_the_end);
    tcase_add_test(tcase, the_last_one_is_three_and_a_half_seconds_before_the_end);
    tcase_add_test(tcase, the_setting_goes_round_and_rubbish_is_refused);
    tcase_add_test(tcase, a_spent_budget_says_why);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
