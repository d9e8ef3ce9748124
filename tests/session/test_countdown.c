/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A countdown that is stopped, and what undo and redo make of it. */
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

/* Each way to begin something: what is stopped in its countdown, begins again where the stop is
 * taken back, and is the last act as long as nothing else is done. */
static const char *const beginnings[] = {"hold 60s free settle=5s told=none", "target settle=5s",
                                         "check step head block=25 pause=key",
                                         "calibrate head 200 400 pause=key", "ride 20s settle=5s"};
#define BEGINNINGS ((int)(sizeof beginnings / sizeof beginnings[0]))

static void begin_and_stop(struct drive *drive, int beginning)
{
    begin(drive);
    drive->stays_down = true;
    drive_do(drive, "target head=884 sure=yes");
    drive_do(drive, "note \"done before\"");
    drive_do(drive, beginnings[beginning]);
    drive_samples(drive, 100);
    ck_assert_int_ne(session_phase(drive->session), VIEW_LIVE);
    drive_do(drive, "stop");
    ck_assert_int_eq(session_phase(drive->session), VIEW_LIVE);
}

START_TEST(a_countdown_that_was_stopped_begins_again)
{
    struct drive drive;
    begin_and_stop(&drive, _i);
    const struct session_record *record = session_records(drive.session);
    char *stopped = session_text(&drive);
    drive_samples(&drive, 3000); /* a minute */
    for (int again = 0; again < 2; again++) {
        drive_do(&drive, "undo");
        assert_said(&drive, "taken back: the stop; once more: ");
        ck_assert_int_ne(session_phase(drive.session), VIEW_LIVE);
        ck_assert_int_eq(record->note_count, 1);
        drive_samples(&drive, 100);
        drive_do(&drive, "stop");
    }
    char *text = session_text(&drive);
    assert_same_text(text, stopped, beginnings[_i]);
    drive_do(&drive, "undo");
    drive_do(&drive, "undo"); /* the countdown itself */
    assert_said(&drive, "stopped");
    ck_assert_int_eq(session_phase(drive.session), VIEW_LIVE);
    ck_assert_int_eq(record->note_count, 1);
    drive_do(&drive, "redo");
    assert_said(&drive, "put back: '");
    ck_assert_int_ne(session_phase(drive.session), VIEW_LIVE);
    drive_do(&drive, "undo");
    drive_do(&drive, "undo");
    ck_assert_int_eq(record->note_count, 0);
    drive_do(&drive, "redo");
    drive_do(&drive, "redo");
    ck_assert_int_eq(record->note_count, 1);
    ck_assert_int_ne(session_phase(drive.session), VIEW_LIVE);
    drive_do(&drive, "stop");
    free(text);
    text = session_text(&drive);
    assert_same_text(text, stopped, beginnings[_i]);
    free(stopped);
    free(text);
    drive_end(&drive);
}
END_TEST

/* Begun again, it is recorded as any other: the whole countdown, then the whole hold. */
START_TEST(what_begins_again_is_a_hold_like_others)
{
    struct drive drive;
    begin_and_stop(&drive, 0);
    drive_do(&drive, "undo");
    int64_t from = drive.number;
    drive_finish(&drive);
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(record->hold_count, 1);
    ck_assert_int_eq(record->hold[0].status, HOLD_COMPLETE);
    ck_assert_int_eq(record->hold[0].told, TOLD_NONE);
    ck_assert_int_eq(record->capture[0].first_sample, from + 250);
    ck_assert_int_eq(record->capture[0].last_sample, from + 250 + 3000);
    drive_do(&drive, "undo");
    assert_said(&drive, "taken back: ");
    ck_assert_int_eq(record->hold_count, 0);
    drive_do(&drive, "redo");
    ck_assert_int_eq(record->hold_count, 1);
    drive_end(&drive);
}
END_TEST

/* Said once, and the next undo goes on as usual; what was done since leaves nothing of it. */
START_TEST(a_countdown_that_was_stopped_long_ago_leaves_nothing)
{
    struct drive drive;
    begin_and_stop(&drive, _i);
    const struct session_record *record = session_records(drive.session);
    drive_samples(&drive, 50 * 76);
    drive_do(&drive, "undo");
    assert_said(&drive, "the countdown that was stopped has left nothing to take back; the next");
    ck_assert_int_eq(session_phase(drive.session), VIEW_LIVE);
    ck_assert_int_eq(record->note_count, 1);
    drive_do(&drive, "undo");
    ck_assert_int_eq(record->note_count, 0);
    drive_do(&drive, "redo");
    ck_assert_int_eq(record->note_count, 1);
    drive_end(&drive);

    begin_and_stop(&drive, _i);
    record = session_records(drive.session);
    drive_do(&drive, "note \"done since\"");
    drive_do(&drive, "undo");
    ck_assert_int_eq(record->note_count, 1);
    drive_do(&drive, "undo");
    ck_assert_int_eq(record->note_count, 0);
    drive_end(&drive);
}
END_TEST

/* What was noted in the countdown stands; the setup that a hold was the first of, too, until the
 * hold is taken back. */
START_TEST(what_came_with_a_countdown_stays)
{
    struct drive drive;
    drive_start(&drive, 77);
    drive_do(&drive, "rig bench rate=50 channels=head,chest");
    drive.stays_down = true;
    drive_samples(&drive, 100);
    const struct session_record *record = session_records(drive.session);
    int before = record->build_count;
    for (int noted = 0; noted < 2; noted++) {
        drive_do(&drive, "hold 60s free settle=5s");
        ck_assert_int_eq(record->build_count, before + 1);
        if (noted == 1) {
            drive_do(&drive, "note \"said meanwhile\"");
        }
        drive_do(&drive, "stop");
        drive_do(&drive, "undo");
        ck_assert_int_ne(session_phase(drive.session), VIEW_LIVE);
        ck_assert_int_eq(record->note_count, noted);
        ck_assert_int_eq(record->build_count, before + 1);
        drive_do(&drive, "undo");
        ck_assert_int_eq(session_phase(drive.session), VIEW_LIVE);
        ck_assert_int_eq(record->note_count, noted);
        ck_assert_int_eq(record->build_count, before + noted);
        drive_do(&drive, "redo");
        ck_assert_int_ne(session_phase(drive.session), VIEW_LIVE);
        ck_assert_int_eq(record->build_count, before + 1);
        drive_do(&drive, "undo");
        ck_assert_int_eq(record->build_count, before + noted);
    }
    drive_do(&drive, "undo");
    ck_assert_int_eq(record->note_count, 0);
    drive_do(&drive, "undo");
    ck_assert_int_eq(record->build_count, before);
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("countdown");
    TCase *tcase = tcase_create("countdown");
    tcase_set_timeout(tcase, 60);
    tcase_add_loop_test(tcase, a_countdown_that_was_stopped_begins_again, 0, BEGINNINGS);
    tcase_add_test(tcase, what_begins_again_is_a_hold_like_others);
    tcase_add_loop_test(tcase, a_countdown_that_was_stopped_long_ago_leaves_nothing, 0, BEGINNINGS);
    tcase_add_test(tcase, what_came_with_a_countdown_stays);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
