/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A target's capture: how long it takes, and what stands when it is thrown away. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct drive drive;
static struct view *view;

static void begin(void)
{
    view = calloc(1, sizeof *view);
    ck_assert_ptr_nonnull(view);
    drive_start(&drive, 51);
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as it came\"");
    drive_samples(&drive, 100);
}

static void end(void)
{
    drive_end(&drive);
    free(view);
}

static void look(void)
{
    session_fill_view(drive.session, view);
}

static const struct session_record *record(void)
{
    return session_records(drive.session);
}

/* A still body: after 20 s it is seen that 30 s are enough, and after 30 s it is over. */
START_TEST(a_length_is_proposed)
{
    begin();
    drive_do(&drive, "target settle=0s");
    drive_samples(&drive, 50 * 19);
    look();
    ck_assert_int_eq(view->phase, VIEW_TARGET);
    ck_assert(!view->length_proposed);
    ck_assert_double_eq(view->planned_s, 20.0);
    drive_samples(&drive, 50 * 2);
    look();
    ck_assert(view->length_proposed && view->settled);
    ck_assert_double_eq(view->planned_s, 30.0);
    ck_assert(view->channel[0].mean_half_width_mm > 0.0 &&
              view->channel[0].mean_half_width_mm < 3.0);
    drive_samples(&drive, 50 * 8);
    look();
    ck_assert_int_eq(view->phase, VIEW_TARGET); /* known, and goes on to what was proposed */
    drive_samples(&drive, 50 * 2);
    look();
    ck_assert_int_eq(view->phase, VIEW_LIVE);
    ck_assert_msg(strstr(view->message, "target kept, known to \u00B1") != NULL, "%s",
                  view->message);
    const struct channel_target *head = &session_analysis(drive.session)->target[0][0];
    ck_assert(head->has && !head->not_settled && head->half_width_mm <= 3.0);
    end();
}
END_TEST

/* One that goes 12 mm up and down in 25 s takes as long as it may, and is known to what was
 * reached. */
START_TEST(a_restless_one_takes_longer)
{
    begin();
    drive_do(&drive, "target settle=0s at_most=70s");
    double middle_mm = drive.body_mm[0];
    for (int i = 0; i < 75 && session_phase(drive.session) != VIEW_LIVE; i++) {
        drive.body_mm[0] = middle_mm + 12.0 * sin(6.283185307 * i / 25.0);
        drive_samples(&drive, 50);
        look();
        if (i == 25) {
            ck_assert_double_eq(view->planned_s, 70.0);
        }
    }
    ck_assert_int_eq(session_phase(drive.session), VIEW_LIVE);
    double took_s = (double)(record()->capture[0].last_sample - record()->capture[0].first_sample);
    ck_assert_double_eq_tol(took_s / 50.0, 70.0, 0.1);
    ck_assert_msg(strstr(view->message, "(\u00B13 wanted)") != NULL, "%s", view->message);
    end();
}
END_TEST

/* A body that sinks by 60 mm as long as it is looked at has not settled: nothing says how well its
 * level is known, and the screen says why. */
START_TEST(one_that_has_not_settled_is_never_known)
{
    begin();
    drive_do(&drive, "target settle=0s until=50mm");
    for (int i = 0; i < 1000 && session_phase(drive.session) != VIEW_LIVE; i++) {
        drive.body_mm[0] -= i < 160 ? 1.5 * exp(-i / 40.0) : 0.0;
        drive_samples(&drive, 5);
        if (i == 240) { /* 24 s */
            look();
            ck_assert(view->length_proposed && !view->settled);
            ck_assert(isnan(view->channel[0].mean_half_width_mm));
            drive_do(&drive, "target keep");
            look();
            ck_assert_msg(strstr(view->message, "had not settled") != NULL, "%s", view->message);
        }
    }
    const struct channel_target *head = &session_analysis(drive.session)->target[0][0];
    ck_assert(head->has && head->not_settled && isnan(head->half_width_mm));
    end();
}
END_TEST

/* Stop and drop throw a capture away, and the target before it stands. */
START_TEST(one_that_is_thrown_away)
{
    static const char *const ways[] = {"stop", "target drop"};
    for (int i = 0; i < 2; i++) {
        begin();
        drive_do(&drive, "target head=884 chest=771 sure=yes");
        drive_do(&drive, "target settle=0s");
        drive_samples(&drive, 50 * 25);
        drive_do(&drive, ways[i]);
        look();
        ck_assert_int_eq(view->phase, VIEW_LIVE);
        ck_assert_str_eq(view->message, "target dropped: the one before it stands");
        ck_assert_int_eq(record()->target_count, 2);
        ck_assert(record()->target[0].kept && !record()->target[1].kept);
        ck_assert(view->channel[0].has_target);
        ck_assert_double_eq(view->channel[0].target_mm, 884.0);
        drive_do(&drive, "hold 10s guided settle=0s");
        drive_finish(&drive);
        ck_assert_int_eq(record()->hold[0].target, 0);
        end();
        begin();
        drive_do(&drive, "target settle=0s"); /* without one before it there is none */
        drive_samples(&drive, 50 * 25);
        drive_do(&drive, ways[i]);
        look();
        ck_assert(!view->channel[0].has_target);
        ck_assert_str_eq(view->message, "target dropped");
        drive_refused(&drive, "hold 10s guided", "needs a target");
        end();
    }
}
END_TEST

/* Its readings are over a minute old when a sensor's place is put right: heights of holds follow.
 */
START_TEST(one_that_was_thrown_away_long_ago_takes_nothing_from_the_rest)
{
    uint64_t serial;
    begin();
    drive_do(&drive, "target at_least=10s at_most=20s settle=1s");
    drive_samples(&drive, 700);
    drive_do(&drive, "target drop");
    drive_do(&drive, "hold 20s free settle=1s");
    drive_finish(&drive);
    drive_samples(&drive, 50 * 120);
    const struct hold_summary *held = &session_analysis(drive.session)->hold[0].summary[0];
    double before_mm = held->mean_mm;
    drive_do(&drive, "sensor head y=70"); /* was 40 */
    ck_assert_double_eq_tol(held->mean_mm, before_mm + 30.0, 1.0);
    ck_assert_int_eq(session_analysis(drive.session)->free_holds[0], 1);
    const char *said = session_message(drive.session, &serial);
    ck_assert_msg(strstr(said, "not there") == NULL, "%s", said);
    end();
}
END_TEST

/* Bands are proposed by how often they would have cued, in heights as they are: both follow what is
 * changed later, as if it had been so. */
START_TEST(bands_proposed_follow_what_is_changed)
{
    static const char *const acts[] = {"cue head on_delay=0.2s", "sensor head x=200"};
    for (size_t i = 0; i < sizeof acts / sizeof acts[0]; i++) {
        struct band_proposal before[BAND_PROPOSALS_MAX], now[BAND_PROPOSALS_MAX];
        begin();
        drive.breathing_mm = 9.0;
        drive_do(&drive, "target at_least=30s at_most=40s settle=1s");
        drive_finish(&drive);
        ck_assert_int_gt(drive_snapshot(&drive)->proposal_count[0], 0);
        memcpy(before, drive_snapshot(&drive)->proposal[0], sizeof before);
        uint64_t serial = session_snapshot_serial(drive.session);
        drive_do(&drive, acts[i]);
        ck_assert_uint_ne(session_snapshot_serial(drive.session), serial);
        memcpy(now, drive_snapshot(&drive)->proposal[0], sizeof now);
        drive_do(&drive, "undo"); /* which makes all anew */
        ck_assert(memcmp(before, drive_snapshot(&drive)->proposal[0], sizeof before) == 0);
        drive_do(&drive, "redo");
        ck_assert_msg(memcmp(now, drive_snapshot(&drive)->proposal[0], sizeof now) == 0, "%s",
                      acts[i]);
        ck_assert(i != 0 || memcmp(now, before, sizeof now) != 0);
        end();
    }
}
END_TEST

/* What was put back stands itself, not the one before it. */
START_TEST(which_one_stands_is_said_when_it_is_taken_back)
{
    uint64_t serial;
    begin();
    drive_do(&drive, "target head=884 chest=771 sure=yes");
    drive_do(&drive, "target head=880 chest=771 sure=yes");
    drive_do(&drive, "undo");
    ck_assert_ptr_nonnull(
        strstr(session_message(drive.session, &serial), "the target before stands"));
    drive_do(&drive, "redo");
    ck_assert_ptr_null(strstr(session_message(drive.session, &serial), "stands"));
    ck_assert_ptr_nonnull(strstr(session_message(drive.session, &serial), "put back: target"));
    end();
}
END_TEST

START_TEST(one_that_is_kept_early)
{
    begin();
    drive_do(&drive, "target settle=0s until=0.5mm");
    drive_samples(&drive, 50 * 5);
    drive_refused(&drive, "target keep", "too short yet to be known");
    drive_samples(&drive, 50 * 20);
    drive_do(&drive, "target keep");
    look();
    ck_assert_msg(strstr(view->message, "wanted)") != NULL, "%s", view->message);
    ck_assert(record()->target[0].kept);
    end();
}
END_TEST

/* Heights typed in each other's place are nearer to the other's: as far from the one as from the
 * other is not. Bodies that don't move, until halfway between their postures is a number. */
START_TEST(halfway_between_two_is_in_neither_s_place)
{
    double head = NAN, chest = NAN, half = NAN;
    char line[96];
    begin();
    drive.noise_mm = drive.breathing_mm = 0.0;
    for (int i = 0; i < 1000 && !(chest + half - chest == half && head - half == chest + half);
         i++) {
        drive_samples(&drive, 1);
        look();
        head = view->channel[0].slow_mm;
        chest = view->channel[1].slow_mm;
        half = (head - chest) / 2.0;
    }
    ck_assert_double_gt(half, 30.0);
    ck_assert_double_eq(head - half, chest + half);
    snprintf(line, sizeof line, "target head=%.17g chest=%.17g", chest, head - half + 0.1);
    drive_refused(&drive, line, "typed in each other's place?");
    snprintf(line, sizeof line, "target head=%.17g chest=%.17g", chest + half - 0.1, head);
    drive_refused(&drive, line, "typed in each other's place?");
    snprintf(line, sizeof line, "target head=%.17g chest=%.17g", chest, head - half);
    drive_do(&drive, line);
    snprintf(line, sizeof line, "target head=%.17g chest=%.17g", chest + half, head);
    drive_do(&drive, line);
    ck_assert_int_eq(record()->target_count, 2);
    end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("target");
    TCase *tests = tcase_create("target");
    tcase_add_test(tests, a_length_is_proposed);
    tcase_add_test(tests, a_restless_one_takes_longer);
    tcase_add_test(tests, one_that_has_not_settled_is_never_known);
    tcase_add_test(tests, one_that_is_thrown_away);
    tcase_add_test(tests, one_that_was_thrown_away_long_ago_takes_nothing_from_the_rest);
    tcase_add_test(tests, bands_proposed_follow_what_is_changed);
    tcase_add_test(tests, which_one_stands_is_said_when_it_is_taken_back);
    tcase_add_test(tests, one_that_is_kept_early);
    tcase_add_test(tests, halfway_between_two_is_in_neither_s_place);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
