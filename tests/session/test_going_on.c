/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What was stopped or taken back while it was in progress, and goes on or does not. */
#include "session/acts_tried.h"
#include "support/session_text.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

static void assert_said(struct drive *drive, const char *words)
{
    uint64_t serial;
    const char *said = session_message(drive->session, &serial);
    ck_assert_msg(strstr(said, words) != NULL, "'%s' lacks '%s'", said, words);
}

START_TEST(a_stop_goes_on_while_its_readings_are_there)
{
    struct drive drive;
    begin(&drive);
    drive_do(&drive, "hold 60s free settle=0s");
    drive_samples(&drive, 500);
    drive_do(&drive, "stop");
    drive_samples(&drive, 500);
    drive_do(&drive, "undo"); /* 20 s of it by now */
    ck_assert_int_eq(session_phase(drive.session), VIEW_HOLD);
    drive_samples(&drive, 2100);
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(record->hold[0].status, HOLD_COMPLETE);
    ck_assert_int_eq(record->capture[0].last_sample - record->capture[0].first_sample, 3000);

    drive_do(&drive, "hold 20s free settle=0s");
    drive_samples(&drive, 500);
    drive_do(&drive, "stop");
    drive_samples(&drive, 600); /* past its end */
    drive_do(&drive, "undo");
    ck_assert_int_eq(record->hold[1].status, HOLD_COMPLETE);
    ck_assert_int_eq(record->capture[1].last_sample - record->capture[1].first_sample, 1000);
    drive_end(&drive);
}
END_TEST

/* Sat up for two seconds behind the stop: those readings are no part of the hold. Moved by
 * less, or for less than a second, it goes on. */
START_TEST(a_hold_does_not_go_on_over_a_rider_who_sat_up)
{
    static const struct {
        double up_mm, up_s;
        bool goes_on;
    } cases[] = {{300.0, 2.0, false}, {45.0, 1.2, false}, {30.0, 2.0, true}, {300.0, 0.8, true}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct drive drive;
        begin(&drive);
        drive.stays_down = true;
        drive_do(&drive, "hold 60s free settle=0s");
        drive_samples(&drive, 1000);
        drive_do(&drive, "note \"phone\"");
        drive_do(&drive, "stop");
        drive.body_mm[0] += cases[i].up_mm;
        drive_samples(&drive, (int)(cases[i].up_s * 50.0));
        drive.body_mm[0] -= cases[i].up_mm;
        drive_samples(&drive, 100);
        drive_do(&drive, "undo");
        ck_assert_msg(session_phase(drive.session) == (cases[i].goes_on ? VIEW_HOLD : VIEW_LIVE),
                      "%g mm for %g s", cases[i].up_mm, cases[i].up_s);
        if (!cases[i].goes_on) {
            assert_said(&drive, "the rider has sat up since; the next undo takes");
            ck_assert_int_eq(session_records(drive.session)->hold[0].status, HOLD_STOPPED);
        }
        drive_end(&drive);
    }
}
END_TEST

/* Taken back before anybody could have got up, it goes on also where it had no level yet; later
 * not, nor where the body was not seen since. */
START_TEST(a_hold_does_not_go_on_where_nothing_tells_whether_the_rider_sat_up)
{
    static const struct {
        int samples, since;
        uint8_t quality;
        bool goes_on;
    } cases[] = {{8, 40, READING_GOOD, true},
                 {8, 60, READING_GOOD, false},
                 {1000, 60, READING_GOOD, true},
                 {1000, 60, READING_MISSING, false},
                 {1000, 40, READING_MISSING, true}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct drive drive;
        begin(&drive);
        drive.stays_down = true;
        drive_do(&drive, "hold 60s free settle=0s");
        drive_samples(&drive, cases[i].samples);
        drive_do(&drive, "stop");
        drive.quality = cases[i].quality;
        drive_samples(&drive, cases[i].since);
        drive_do(&drive, "undo");
        ck_assert_msg(session_phase(drive.session) == (cases[i].goes_on ? VIEW_HOLD : VIEW_LIVE),
                      "case %zu", i);
        if (!cases[i].goes_on) {
            assert_said(&drive, "whether the rider has sat up since is not known");
        }
        drive_end(&drive);
    }
}
END_TEST

/* A target that was thrown away, a hold that was taken back while it was ridden. */
START_TEST(nothing_else_goes_on_over_a_rider_who_sat_up)
{
    static const char *const lines[][3] = {
        {"target at_least=60s at_most=60s settle=0s", "stop", "undo"},
        {"target at_least=60s at_most=60s settle=0s", "undo", "redo"},
        {"hold 60s free settle=0s", "undo", "redo"}};
    for (size_t i = 0; i < 2 * sizeof lines / sizeof lines[0]; i++) {
        struct drive drive;
        const char *const *line = lines[i / 2];
        begin(&drive);
        drive.stays_down = true;
        drive_do(&drive, line[0]);
        drive_samples(&drive, 1000);
        enum view_phase phase = session_phase(drive.session);
        drive_do(&drive, line[1]);
        drive.body_mm[0] += i % 2 == 0 ? 300.0 : 0.0;
        drive_samples(&drive, 100);
        drive.body_mm[0] -= i % 2 == 0 ? 300.0 : 0.0;
        drive_do(&drive, line[2]);
        ck_assert_msg(session_phase(drive.session) == (i % 2 == 0 ? VIEW_LIVE : phase), "case %zu",
                      i);
        if (i % 2 == 0) {
            assert_said(&drive, "the rider has sat up since");
            drive_do(&drive, "hold 10s free settle=0s"); /* nothing is in progress */
        }
        drive_end(&drive);
    }
}
END_TEST

static bool at_hand_elsewhere(void *context, int64_t first, int64_t last,
                              const struct sample **samples, size_t *count)
{
    static struct sample made[50 * 300];
    (void)context;
    ck_assert_int_le(last - first, 50 * 300 - 1);
    for (int64_t n = first; n <= last; n++) {
        made[n - first] = (struct sample){.number = n, .time_us = 4200000 + (n - 1) * 20000};
        made[n - first].range_tenth_mm[0] = made[n - first].range_tenth_mm[1] = 2600;
    }
    *samples = made;
    *count = (size_t)(last - first + 1);
    return true;
}

/* A session that is replayed has all its samples at hand: what was refused is refused again. What
 * was taken back before it can still be put back. */
START_TEST(what_was_refused_is_refused_when_it_is_replayed)
{
    for (int at_hand = 0; at_hand < 2; at_hand++) {
        struct drive drive;
        begin(&drive);
        if (at_hand == 1) {
            session_keep_elsewhere(drive.session, at_hand_elsewhere, NULL);
        }
        drive_do(&drive, "hold 60s free settle=0s");
        drive_samples(&drive, 500);
        drive_do(&drive, "stop");
        drive_do(&drive, "note \"phone\"");
        drive_samples(&drive, 50 * 76);
        drive_do(&drive, "undo");
        ck_assert_int_eq(session_records(drive.session)->note_count, 0);
        drive_do(&drive, "undo");
        assert_said(&drive, "can't be taken back any more");
        ck_assert_int_eq(session_records(drive.session)->hold[0].status, HOLD_STOPPED);
        drive_do(&drive, "redo");
        ck_assert_int_eq(session_records(drive.session)->note_count, 1);
        drive_end(&drive);
    }
}
END_TEST

/* As if it had not been: with the readings since, to the same end. */
START_TEST(what_was_thrown_away_is_ridden_on_when_put_back)
{
    struct drive drive;
    begin(&drive);
    const struct session_record *record = session_records(drive.session);
    drive_do(&drive, "target at_least=30s at_most=30s settle=0s");
    drive_samples(&drive, 1400); /* 28 s */
    drive_do(&drive, "undo");
    ck_assert_int_eq(session_phase(drive.session), VIEW_LIVE);
    ck_assert_int_eq(record->target_count, 0);
    drive_samples(&drive, 50);
    drive_do(&drive, "redo");
    ck_assert_int_eq(session_phase(drive.session), VIEW_TARGET);
    ck_assert(!record->target[0].kept);
    drive_samples(&drive, 100);
    ck_assert_int_eq(session_phase(drive.session), VIEW_LIVE);
    ck_assert(record->target[0].kept);
    int capture = record->target[0].capture;
    ck_assert_int_eq(record->capture[capture].last_sample - record->capture[capture].first_sample,
                     1500);

    drive_do(&drive, "hold 30s free settle=0s");
    drive_samples(&drive, 500);
    drive_do(&drive, "undo");
    drive_samples(&drive, 1200); /* past its end */
    drive_do(&drive, "redo");
    ck_assert_int_eq(record->hold[0].status, HOLD_COMPLETE);
    capture = record->hold[0].capture;
    ck_assert_int_eq(record->capture[capture].last_sample - record->capture[capture].first_sample,
                     1500);
    assert_said(&drive, "put back: ");
    assert_said(&drive, "; since then hold 1 kept");

    /* from now on it is a hold like others: put back as it was, without being ridden again */
    struct hold_record kept = record->hold[0];
    drive_do(&drive, "undo");
    ck_assert_int_eq(record->hold_count, 0);
    drive_do(&drive, "redo");
    uint64_t serial;
    ck_assert_ptr_null(strstr(session_message(drive.session, &serial), "since then"));
    ck_assert_int_eq(record->hold[0].status, HOLD_COMPLETE);
    ck_assert_int_eq(record->hold[0].capture, kept.capture);
    drive_end(&drive);
}
END_TEST

/* What ended a target is taken back, and put back, also when it has come to its own end since. */
START_TEST(a_target_that_was_thrown_away_is_so_again)
{
    static const char *const ends[] = {"stop", "target keep"};
    for (size_t i = 0; i < 3 * sizeof ends / sizeof ends[0]; i++) {
        struct drive drive;
        begin(&drive);
        drive.stays_down = true;
        const struct session_record *record = session_records(drive.session);
        bool thrown_away = i / 3 == 0, twice = i % 3 == 2;
        if (twice) {
            drive_do(&drive, "target head=884 sure=yes");
        }
        drive_do(&drive, "target at_least=60s at_most=60s settle=0s");
        drive_samples(&drive, 1600);
        drive_do(&drive, "note \"said meanwhile\"");
        drive_do(&drive, ends[i / 3]);
        char *ended = session_text(&drive);
        drive_samples(&drive, 100);
        drive_do(&drive, "undo");
        assert_said(&drive, "; the target is captured on");
        drive_samples(&drive, i % 3 == 0 ? 100 : 50 * 200); /* past its end, and out of memory */
        if (i % 3 == 0) {
            ck_assert_int_eq(session_phase(drive.session), VIEW_TARGET);
        } else {
            ck_assert_int_eq(session_phase(drive.session), VIEW_LIVE);
            ck_assert(record->target[twice].kept);
        }
        char *whole = session_text(&drive);
        drive_do(&drive, "redo");
        assert_said(&drive, thrown_away ? "; the target is thrown away" : "; the target is kept");
        char *again = session_text(&drive);
        assert_same_text(again, ended, ends[i / 3]);
        drive_do(&drive, "undo");
        free(again);
        again = session_text(&drive);
        assert_same_text(again, whole, "taken back once more");
        if (i % 3 != 0) {
            assert_said(&drive, "; the target is kept");
            drive_do(&drive, "undo"); /* the target, which is the last */
            ck_assert_int_eq(record->target_count, twice);
            ck_assert_int_eq(record->note_count, 1);
        }
        free(ended);
        free(whole);
        free(again);
        drive_end(&drive);
    }
}
END_TEST

/* What was taken back meanwhile can be put back when a hold or target has come to its end: a note,
 * the stop of a hold, though by then its readings are long gone. */
START_TEST(what_was_taken_back_while_it_went_on_is_put_back)
{
    static const char *const lines[] = {"target at_least=60s at_most=60s settle=0s",
                                        "hold 60s free settle=0s"};
    for (size_t i = 0; i < 2 * sizeof lines / sizeof lines[0]; i++) {
        struct drive drive;
        begin(&drive);
        drive.stays_down = true;
        drive_do(&drive, lines[i / 2]);
        drive_samples(&drive, 1600);
        drive_do(&drive, i % 2 == 0 ? "note \"said meanwhile\"" : "stop");
        char *before = records_text(session_records(drive.session));
        drive_do(&drive, "undo");
        drive_samples(&drive, 50 * 200);
        char *whole = session_text(&drive);
        drive_do(&drive, "redo");
        char *put_back = records_text(session_records(drive.session));
        ck_assert_int_eq(session_records(drive.session)->note_count, i % 2 == 0);
        if (i % 2 == 1) {
            assert_same_text(put_back, before, lines[i / 2]);
        }
        drive_do(&drive, "undo");
        char *again = session_text(&drive);
        assert_same_text(again, whole, "taken back once more");
        free(before);
        free(whole);
        free(put_back);
        free(again);
        drive_end(&drive);
    }
}
END_TEST

/* What was in progress when the session was ended, or cut short and taken up again, is over: taken
 * back, with all that came of it; of a countdown nothing is left. */
START_TEST(what_the_end_stopped_is_taken_back_whole)
{
    static const struct {
        const char *line;
        int samples;
        bool leaves;
    } cases[] = {
        {"hold 60s free settle=1s", 600, true}, {"hold 60s free settle=1s", 20, false},
        {"target settle=1s", 1200, true},       {"plate 20s height=930", 400, true},

        {"check still 20s", 600, true},         {"check step head block=25 pause=key", 20, false}};
    for (size_t i = 0; i < 2 * sizeof cases / sizeof cases[0]; i++) {
        struct drive drive;
        begin(&drive);
        drive.stays_down = true;
        drive_do(&drive, "note \"done before\"");
        char *before = records_text(session_records(drive.session));
        drive_do(&drive, cases[i / 2].line);
        drive_samples(&drive, cases[i / 2].samples);
        if (i % 2 == 0) {
            drive_do(&drive, "end");
        }
        drive_do(&drive, "resume");
        char *resumed = records_text(session_records(drive.session));
        drive_do(&drive, "undo");
        uint64_t serial;
        ck_assert_ptr_null(strstr(session_message(drive.session, &serial), "before it began"));
        char *after = records_text(session_records(drive.session));
        if (cases[i / 2].leaves) {
            assert_same_text(after, before, cases[i / 2].line);
            drive_do(&drive, "redo");
            free(after);
            after = records_text(session_records(drive.session));
            assert_same_text(after, resumed, cases[i / 2].line);
        } else {
            ck_assert_msg(session_records(drive.session)->note_count == 0, "%s", cases[i / 2].line);
        }
        free(before);
        free(resumed);
        free(after);
        drive_end(&drive);
    }
}
END_TEST

/* The stop is put back after over a minute in which it went on, and that was a mistake, too. */
START_TEST(what_went_on_for_long_goes_on_once_more)
{
    static const char *const lines[] = {"target at_least=200s at_most=200s settle=0s",
                                        "hold 200s free settle=0s"};
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        struct drive drive;
        begin(&drive);
        drive.stays_down = true;
        drive_do(&drive, lines[i]);
        drive_samples(&drive, 1600);
        enum view_phase phase = session_phase(drive.session);
        drive_do(&drive, "stop");
        drive_samples(&drive, 100);
        drive_do(&drive, "undo");
        drive_samples(&drive, 50 * 100);
        drive_do(&drive, "redo");
        ck_assert_int_eq(session_phase(drive.session), VIEW_LIVE);
        drive_samples(&drive, 50 * 30);
        drive_do(&drive, "undo");
        ck_assert_int_eq(session_phase(drive.session), phase);
        drive_finish(&drive);
        const struct capture_record *capture = &session_records(drive.session)->capture[0];
        ck_assert_int_eq(capture->last_sample - capture->first_sample, 50 * 200);
        drive_end(&drive);
    }
}
END_TEST

START_TEST(a_stop_long_ago_stays)
{
    struct drive drive;
    begin(&drive);
    drive_do(&drive, "hold 60s free settle=0s");
    drive_samples(&drive, 500);
    drive_do(&drive, "stop");
    drive_samples(&drive, 50 * 120); /* more than is kept in memory */
    drive_do(&drive, "undo");
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(record->hold[0].status, HOLD_STOPPED);
    struct view view = {.snapshot = drive_snapshot(&drive)};
    session_fill_view(drive.session, &view);
    ck_assert(view.message_is_problem && strstr(view.message, "not in memory") != NULL);
    drive_do(&drive, "undo"); /* the hold itself, then */
    ck_assert_int_eq(record->hold_count, 0);
    drive_do(&drive, "redo");
    ck_assert_int_eq(record->hold_count, 1);
    drive_end(&drive);
}
END_TEST

START_TEST(what_was_taken_back_is_said_though_the_hold_is_over_by_now)
{
    struct drive drive;
    begin(&drive);
    drive_do(&drive, "hold 30s free settle=0s");
    drive_samples(&drive, 500);
    drive_do(&drive, "stop");
    drive_samples(&drive, 2000);
    drive_do(&drive, "undo");
    assert_said(&drive, "taken back: the stop: hold 1 goes on");
    assert_said(&drive, "; since then hold 1 kept");
    drive_end(&drive);
}
END_TEST

static bool undo_drops(struct drive *drive)
{
    struct view view = {.snapshot = drive_snapshot(drive)};
    session_fill_view(drive->session, &view);
    return view.undo_drops;
}

/* A mark is taken back alone; what began, with what was ridden of it. */
START_TEST(what_is_being_ridden_is_known_to_be_thrown_away)
{
    struct drive drive;
    begin(&drive);
    drive_do(&drive, "hold 60s free settle=0s");
    drive_samples(&drive, 500);
    ck_assert(undo_drops(&drive));
    drive_do(&drive, "mark slid");
    ck_assert(!undo_drops(&drive));
    drive_do(&drive, "undo");
    ck_assert(undo_drops(&drive));
    drive_do(&drive, "stop");
    ck_assert(!undo_drops(&drive));
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("going_on");
    TCase *tcase = tcase_create("going_on");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, a_stop_goes_on_while_its_readings_are_there);
    tcase_add_test(tcase, a_hold_does_not_go_on_over_a_rider_who_sat_up);
    tcase_add_test(tcase, a_hold_does_not_go_on_where_nothing_tells_whether_the_rider_sat_up);
    tcase_add_test(tcase, nothing_else_goes_on_over_a_rider_who_sat_up);
    tcase_add_test(tcase, what_was_refused_is_refused_when_it_is_replayed);
    tcase_add_test(tcase, what_was_thrown_away_is_ridden_on_when_put_back);
    tcase_add_test(tcase, a_target_that_was_thrown_away_is_so_again);
    tcase_add_test(tcase, what_was_taken_back_while_it_went_on_is_put_back);
    tcase_add_test(tcase, what_the_end_stopped_is_taken_back_whole);
    tcase_add_test(tcase, what_went_on_for_long_goes_on_once_more);
    tcase_add_test(tcase, a_stop_long_ago_stays);
    tcase_add_test(tcase, what_was_taken_back_is_said_though_the_hold_is_over_by_now);
    tcase_add_test(tcase, what_is_being_ridden_is_known_to_be_thrown_away);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
