/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Checks of the sensors within a session. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include "analysis/check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct drive drive;
static struct view *view;

static void start(void)
{
    drive_start(&drive, 7);
    drive_describe(&drive);
    drive.breathing_mm = 0.0; /* plates do not breathe */
    drive_samples(&drive, 60);
    view = calloc(1, sizeof *view);
}

static void end(void)
{
    free(view);
    drive_end(&drive);
}

static const struct check_record *last_check(void)
{
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_gt(record->check_count, 0);
    return &record->check[record->check_count - 1];
}

/* Samples until this phase's readings begin. */
static void until_recording(int phase)
{
    for (int i = 0; i < 2000; i++) {
        int now = -1;
        bool recording = false;
        const struct check_plan *plan = session_check(drive.session, &now, &recording);
        ck_assert_ptr_nonnull(plan);
        if (now == phase && recording) {
            return;
        }
        drive_samples(&drive, 1);
    }
    ck_abort_msg("phase %d does not begin", phase);
}

START_TEST(still_of_all_sensors)
{
    start();
    drive_do(&drive, "check still 20s");
    ck_assert_int_eq(session_phase(drive.session), VIEW_CHECK);
    drive_finish(&drive);
    const struct check_record *check = last_check();
    ck_assert_msg(check->verdict == CHECK_PASSED, "%s", check->words);
    ck_assert_int_eq(check->kind, CHECK_STILL);
    ck_assert_int_eq(check->channel, -1);
    ck_assert_double_eq_tol(check_value(check, CHECK_NOISE, 0, 0), 1.5, 0.15);
    ck_assert_double_eq_tol(check_value(check, CHECK_RANGE, 0, 0), 260, 0.2);
    ck_assert_double_eq_tol(check_value(check, CHECK_RANGE, 1, 0), 165, 0.2);
    ck_assert_double_eq_tol(check_value(check, CHECK_QUANTUM, 0, 0), 0.1, 1e-9);
    const struct capture_record *capture = &session_records(drive.session)->capture[check->capture];
    ck_assert_int_eq(capture->kind, CAPTURE_CHECK);
    ck_assert_int_eq(capture->last_sample - capture->first_sample, 1000);
    end();
}
END_TEST

/* Everything that is wrong is told, what hides the rest first: a window at 25 mm (under 35), 8 mm
 * of noise (over 5), and one reading in ten missing (over 5 in 100). */
START_TEST(all_that_is_wrong_is_told_in_order)
{
    static const char *const words[] = {"head: noise ", "something lies on its window", "too noisy",
                                        "readings drop out"};
    start();
    drive.body_mm[0] = drive.sensor_mm[0] + 25.0;
    drive.noise_mm = 8.0;
    drive_do(&drive, "check still head 20s");
    for (int i = 0; i < 120 && session_phase(drive.session) == VIEW_CHECK; i++) {
        drive.quality = i % 10 == 0 ? READING_MISSING : READING_GOOD;
        drive_samples(&drive, 10);
    }
    drive.quality = READING_GOOD;
    drive_finish(&drive);
    const struct check_record *check = last_check();
    ck_assert_int_eq(check->verdict, CHECK_FAILED);
    const char *at = check->words;
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        const char *next = strstr(at, words[i]);
        ck_assert_msg(next != NULL, "'%s' is not behind '%s'", words[i], at);
        at = next;
    }
    end();
}
END_TEST

/* Of pairs that come together the first is what hides the other. */
static void move_jump(int i)
{
    drive.body_mm[0] = drive.sensor_mm[0] + (i / 3 % 2 == 0 ? 15.0 : 33.0);
}

static void move_jump_far(int i)
{
    drive.body_mm[0] = drive.sensor_mm[0] + (i / 3 % 2 == 0 ? 300.0 : 420.0);
}

static void move_away(int i)
{
    drive.body_mm[0] = drive.sensor_mm[0] + 300.0 + 0.1 * i + 4.0 * sin(i / 10.0);
}

START_TEST(what_hides_another_is_told_before_it)
{
    static const struct {
        void (*move)(int i);
        double body_mm, noise_mm;
        const char *first, *second;
    } cases[] = {
        {NULL, 25, 0, "every reading is the same", "something lies on its window"},
        {move_jump, 0, 0.3, "something lies on its window", "readings jump between two levels"},
        {move_jump_far, 0, 8, "readings jump between two levels", "too noisy"},
        {move_away, 0, 0.5, "it wanders", "it drifts"},
    };
    for (size_t c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        start();
        drive.body_mm[0] = drive.sensor_mm[0] + cases[c].body_mm;
        drive.noise_mm = cases[c].noise_mm;
        drive_do(&drive, "check still head 60s");
        for (int i = 0; i < 400 && session_phase(drive.session) == VIEW_CHECK; i++) {
            if (cases[c].move != NULL) {
                cases[c].move(i);
            }
            drive_samples(&drive, 10);
        }
        const char *words = last_check()->words, *first = strstr(words, cases[c].first);
        ck_assert_msg(first != NULL && strstr(first, cases[c].second) != NULL, "%zu: %s", c, words);
        end();
    }
}
END_TEST

/* What a rig that is played is told when a check is over: nothing stays in its way. */
START_TEST(a_played_rig_is_put_back)
{
    static const char *const lines[] = {"block off", "hand off", "distance off", "plate off"};
    for (int i = 0; i < 4; i++) {
        ck_assert_str_eq(check_rig_after[i], lines[i]);
    }
    ck_assert_ptr_null(check_rig_after[4]);
}
END_TEST

START_TEST(a_step_waits_to_be_told)
{
    start();
    drive_do(&drive, "check step head block=25 10s block_u=0.05 pause=key");
    session_fill_view(drive.session, view);
    ck_assert(view->check.running && view->check.waits_for_go && !view->check.recording);
    ck_assert_str_eq(view->next_command, "check go");
    drive_samples(&drive, 500);
    session_fill_view(drive.session, view);
    ck_assert(view->check.waits_for_go);
    drive_do(&drive, "check go");
    drive_samples(&drive, 60);
    session_fill_view(drive.session, view);
    ck_assert(view->check.recording);
    ck_assert_double_eq_tol(view->check.left_s, 8.8, 0.1);
    ck_assert_double_eq_tol(view->check.range_mm[0], 260, 1);
    drive_refused(&drive, "check go", "nothing waits");
    drive_refused(&drive, "hold 60s free", "in progress");
    drive_samples(&drive, 500);
    session_fill_view(drive.session, view);
    ck_assert_int_eq(view->check.phase, 1);
    ck_assert_double_eq_tol(view->check.former_mm[0], 260, 1);
    ck_assert_ptr_nonnull(strstr(view->check.ask, "lay the block of 25 mm"));
    drive.body_mm[0] -= 25.0;
    drive_do(&drive, "check go");
    drive_finish(&drive);
    const struct check_record *check = last_check();
    ck_assert_msg(check->verdict == CHECK_PASSED, "%s", check->words);
    ck_assert_double_eq_tol(check_value(check, CHECK_BLOCK_STEP, 0, 0), 25, 0.5);
    session_fill_view(drive.session, view);
    ck_assert(!view->check.running);
    int latest[CHECK_LATEST_MAX];
    ck_assert_int_eq(check_latest(session_records(drive.session), 0, latest), 1);
    ck_assert_int_eq(check->channel, 0);
    ck_assert_double_eq(check->asked_mm[0], 25);
    double at_s = check_time_s(session_records(drive.session), check);
    ck_assert_double_eq_tol(at_s, view->session_s, 1e-3); /* just now */
    end();
}
END_TEST

static void step_of(double block_reads_mm)
{
    drive_do(&drive, "check step head block=50 10s pause=2s");
    until_recording(0);
    for (int phase = 0; phase == 0;) {
        bool recording;
        drive_samples(&drive, 1);
        session_check(drive.session, &phase, &recording);
    }
    drive.body_mm[0] -= block_reads_mm;
    drive_finish(&drive);
    drive.body_mm[0] += block_reads_mm;
}

/* 49.5 mm read for 50 are 1 %: of 260 mm, where the head was, 2.6 mm of every height. */
START_TEST(a_scale_is_in_what_all_heights_share)
{
    start();
    drive_do(&drive, "setup 1 \"as it came\"");
    const struct tie *tie = &session_analysis(drive.session)->tie[0][0];
    double before_mm = tie->u_absolute_mm, own_mm = tie->u_own_mm;
    ck_assert_double_gt(before_mm, own_mm);
    step_of(49.5);
    double added_mm = sqrt(tie->u_absolute_mm * tie->u_absolute_mm - before_mm * before_mm);
    ck_assert_double_eq_tol(added_mm, 2.6, 0.5);
    ck_assert_double_gt(tie->u_own_mm, own_mm);
    ck_assert_double_eq(tie->u_build_mm, 0.0);
    drive_do(&drive, "undo");
    ck_assert_double_eq(tie->u_absolute_mm, before_mm);
    end();
}
END_TEST

/* Heights over the bottom bracket from a plate that the sensor read: the difference of two ranges.
 * But where nothing ties that plate's build to the first, heights are from the parts still. */
START_TEST(a_scale_is_in_no_height_by_plate)
{
    start();
    drive_do(&drive, "setup 1 \"as it came\"");
    const struct analysis *analysis = session_analysis(drive.session);
    step_of(49.5);
    double parts_mm = analysis->tie[0][0].u_absolute_mm;
    drive_do(&drive, "plate head=260 height=900");
    ck_assert_double_eq(analysis->tie[0][0].u_absolute_mm, 1.0); /* a plate's */
    drive_do(&drive, "undo");
    drive_do(&drive, "setup 2 \"bars moved\" moved=yes");
    drive_do(&drive, "plate head=260 height=900");
    ck_assert_double_eq(analysis->tie[0][0].u_absolute_mm, parts_mm);
    end();
}
END_TEST

START_TEST(a_changed_sensor_marks_what_lies_between)
{
    start();
    step_of(50.0);
    ck_assert_int_eq(last_check()->verdict, CHECK_PASSED);
    step_of(50.4);
    ck_assert_int_eq(last_check()->verdict, CHECK_PASSED);
    step_of(47.7); /* within the limit of 2.5 mm itself, but not what it was */
    ck_assert_int_eq(last_check()->verdict, CHECK_FAILED);
    ck_assert_ptr_nonnull(strstr(last_check()->words, "in doubt"));
    step_of(60.0);
    ck_assert_int_eq(last_check()->verdict, CHECK_FAILED);
    ck_assert_ptr_nonnull(strstr(last_check()->words, "calibrate"));
    ck_assert_double_eq_tol(check_value(last_check(), CHECK_SCALE_ERROR, 0, 0), 20, 1);
    end();
}
END_TEST

/* A block whose face is 31 mm from the sensor: what it reads there says nothing of its scale. */
START_TEST(what_is_too_near_is_no_error_of_scale)
{
    start();
    drive.body_mm[0] -= 179.0; /* 81 mm from the sensor */
    drive_samples(&drive, 50);
    step_of(42.0);
    ck_assert_int_eq(last_check()->verdict, CHECK_UNCERTAIN);
    ck_assert_msg(strstr(last_check()->words, "31 mm from the sensor, and nearer than 50 mm") !=
                      NULL,
                  "%s", last_check()->words);
    ck_assert_ptr_null(strstr(last_check()->words, "calibrate"));
    drive.body_mm[0] -= 43.0; /* the plate itself is 38 mm from it */
    drive_samples(&drive, 50);
    step_of(10.0); /* not against what was read too near before */
    ck_assert_int_eq(last_check()->verdict, CHECK_UNCERTAIN);
    ck_assert_msg(strstr(last_check()->words, "the plate is 38 mm from the sensor") != NULL, "%s",
                  last_check()->words);
    step_of(0.0); /* it says one and the same */
    ck_assert_int_eq(last_check()->verdict, CHECK_UNCERTAIN);
    ck_assert_ptr_nonnull(strstr(last_check()->words, "the plate is 38 mm from the sensor"));
    drive.body_mm[0] += 63.0; /* 51 mm: it is the scale's */
    step_of(42.0);
    ck_assert_int_eq(last_check()->verdict, CHECK_FAILED);
    ck_assert_ptr_nonnull(strstr(last_check()->words, "calibrate"));
    end();
}
END_TEST

START_TEST(a_calibration_is_taken_with_the_placing)
{
    /* a sensor that reads 1.04 times the true range and 6 mm: true = (reading - 6) / 1.04 */
    static const double known[] = {200, 400, 600, 400};
    start();
    drive_do(&drive, "calibrate head 200 400 600 400 5s pause=1s");
    for (int p = 0; p < 4; p++) {
        drive.body_mm[0] = drive.sensor_mm[0] + 1.04 * known[p] + 6.0;
        until_recording(p);
        drive_samples(&drive, 240);
    }
    drive_finish(&drive);
    const struct check_record *check = last_check();
    ck_assert_msg(check->verdict == CHECK_PASSED, "%s", check->words);
    const struct channel_record *channel = &session_records(drive.session)->placing[0].channel[0];
    ck_assert_double_eq_tol(channel->gain, 1.0 / 1.04, 0.001);
    ck_assert_double_eq_tol(channel->offset_mm, -6.0 / 1.04, 0.5);
    drive.body_mm[0] = drive.sensor_mm[0] + 1.04 * 300 + 6.0;
    drive_samples(&drive, 60);
    session_fill_view(drive.session, view);
    ck_assert_double_eq_tol(view->check.range_mm[0], 300, 0.7);
    ck_assert_double_eq_tol(view->check.sent_mm[0], 318, 0.7);
    /* no sensor is that wrong: the plate stood elsewhere */
    drive_do(&drive, "calibrate head 200 400 pause=1s");
    drive.body_mm[0] = drive.sensor_mm[0] + 200;
    until_recording(0);
    drive_samples(&drive, 245);
    drive.body_mm[0] = drive.sensor_mm[0] + 300;
    drive_finish(&drive);
    ck_assert_int_eq(last_check()->verdict, CHECK_FAILED);
    ck_assert_double_eq_tol(channel->gain, 1.0 / 1.04, 0.001);
    end();
}
END_TEST

/* Of each kind and sensor the latest, of this placing only. */
START_TEST(what_holds_now_is_listed)
{
    const struct session_record *record;
    int latest[CHECK_LATEST_MAX];
    start();
    session_fill_view(drive.session, view);
    ck_assert(isnan(snapshot_plate_mm(drive_snapshot(&drive), 0)) &&
              isnan(view->check.former_mm[0]));
    for (int i = 0; i < 3; i++) {
        drive_do(&drive, "check still head 5s");
        drive_finish(&drive);
        if (i == 1) {
            drive_do(&drive, "check still chest 5s");
            drive_finish(&drive);
        }
    }
    drive_do(&drive, "plate head=412.5 chest=300");
    session_fill_view(drive.session, view);
    record = session_records(drive.session);
    ck_assert_int_eq(check_latest(record, 0, latest), 2);
    ck_assert_int_eq(record->check[latest[0]].channel, 1);
    ck_assert_int_eq(latest[1], 3);
    ck_assert_int_eq(record->check[3].channel, 0);
    ck_assert_double_eq(snapshot_plate_mm(drive_snapshot(&drive), 0), 412.5);
    drive_do(&drive, "build");
    session_fill_view(drive.session, view);
    ck_assert(isnan(snapshot_plate_mm(drive_snapshot(&drive), 0)));
    ck_assert_int_eq(check_latest(record, 0, latest), 2);
    drive_do(&drive, "placing"); /* fixed anew: what was found says nothing of them now */
    ck_assert_int_eq(check_latest(record, drive_snapshot(&drive)->placing, latest), 0);
    end();
}
END_TEST

START_TEST(a_beam_that_does_not_respond)
{
    start();
    drive_do(&drive, "check beam head");
    until_recording(1);
    drive.body_mm[1] -= 60.0; /* the other one moves */
    drive_finish(&drive);
    const struct check_record *check = last_check();
    ck_assert_int_eq(check->verdict, CHECK_FAILED);
    ck_assert_ptr_nonnull(strstr(check->words, "head does not respond"));
    ck_assert_ptr_nonnull(strstr(check->words, "chest responds instead"));
    end();
}
END_TEST

START_TEST(stopped_and_refused)
{
    start();
    drive_do(&drive, "check still 60s");
    drive_samples(&drive, 300);
    drive_do(&drive, "stop");
    ck_assert_int_eq(session_records(drive.session)->check_count, 0);
    ck_assert_int_eq(session_phase(drive.session), VIEW_LIVE);
    drive_do(&drive, "check step head block=25");
    drive_do(&drive, "stop"); /* in its pause */
    int captures = session_records(drive.session)->capture_count;
    drive_do(&drive, "hold 20s free settle=1s");
    ck_assert_int_eq(session_records(drive.session)->capture_count, captures + 1);
    drive_refused(&drive, "check still 5s", "in progress");
    drive_finish(&drive);
    drive_refused(&drive, "check", "say which");
    drive_refused(&drive, "check dance", "none of rider, beam, step, still");
    drive_refused(&drive, "check step", "say which sensor");
    drive_refused(&drive, "check step hip block=25", "'hip' is no time and no sensor");
    drive_refused(&drive, "check step head", "how thick");
    drive_refused(&drive, "check step head block=0", "between 1 and 500");
    drive_refused(&drive, "check still block=25", "does not know");
    drive_refused(&drive, "check still 0.1s", "no time from 1");
    drive_refused(&drive, "check rider head", "all sensors at once");
    drive_refused(&drive, "check beam head colour=red", "does not know 'colour='");
    drive_refused(&drive, "check beam head pause=x", "pause");
    drive_refused(&drive, "calibrate head 200", "two known distances");
    drive_refused(&drive, "calibrate head 200 200", "the same");
    drive_refused(&drive, "calibrate head 200 9000", "5 to 5000");
    drive_refused(&drive, "calibrate 200 400", "say which sensor");
    drive_refused(&drive, "calibrate head 100 101 102 103 104 105 106 107 108 109 110 111 112",
                  "no more than");
    drive_refused(&drive, "check go", "nothing waits");
    end();
}
END_TEST

START_TEST(too_few_readings)
{
    start();
    drive.quality = READING_MISSING;
    drive_do(&drive, "check still 10s");
    drive_finish(&drive);
    ck_assert_int_eq(last_check()->verdict, CHECK_UNCERTAIN);
    drive_do(&drive, "check rider 4s pause=1s");
    drive_finish(&drive);
    ck_assert_int_ne(last_check()->verdict, CHECK_PASSED);
    drive.quality = READING_GOOD;
    drive.noise_mm = 0.0; /* stuck */
    drive_do(&drive, "check step head block=25 pause=1s");
    drive_finish(&drive);
    ck_assert_int_eq(last_check()->verdict, CHECK_FAILED);
    end();
}
END_TEST

/* By its identifier; a clock that was set meanwhile makes one that is none of the session. */
START_TEST(a_check_has_a_time_within_a_week)
{
    static const struct {
        int64_t after_ms;
        double time_s;
    } cases[] = {{0, 0.0}, {1500, 1.5}, {604800000, 604800.0}, {604800001, NAN}, {-1, NAN}};
    struct session_record *record = calloc(1, sizeof *record);
    struct random_source random;
    ck_assert_ptr_nonnull(record);
    random_seed(&random, 1);
    record->started_ms = INT64_C(1768068000000);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct check_record check = {
            .uuid = uuid_make(&random, record->started_ms + cases[i].after_ms)};
        double time_s = check_time_s(record, &check);
        ck_assert(isnan(cases[i].time_s) ? isnan(time_s) : fabs(time_s - cases[i].time_s) < 1e-9);
    }
    free(record);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("check");
    TCase *tests = tcase_create("check");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, a_check_has_a_time_within_a_week);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, still_of_all_sensors);
    tcase_add_test(tests, all_that_is_wrong_is_told_in_order);
    tcase_add_test(tests, what_hides_another_is_told_before_it);
    tcase_add_test(tests, a_played_rig_is_put_back);
    tcase_add_test(tests, a_step_waits_to_be_told);
    tcase_add_test(tests, a_scale_is_in_what_all_heights_share);
    tcase_add_test(tests, a_scale_is_in_no_height_by_plate);
    tcase_add_test(tests, a_changed_sensor_marks_what_lies_between);
    tcase_add_test(tests, what_is_too_near_is_no_error_of_scale);
    tcase_add_test(tests, a_calibration_is_taken_with_the_placing);
    tcase_add_test(tests, what_holds_now_is_listed);
    tcase_add_test(tests, a_beam_that_does_not_respond);
    tcase_add_test(tests, stopped_and_refused);
    tcase_add_test(tests, too_few_readings);
    return test_main(suite);
}
