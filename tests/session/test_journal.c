/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/session_drive.h"
#include "support/test_main.h"

#include "base/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The events of a snapshot: what has happened, in the order and at the times of the stream. */

static const struct snapshot *shown(struct drive *drive)
{
    return drive_snapshot(drive);
}

/* The latest event of this name. */
static const struct event *latest(const struct snapshot *snapshot, const char *what)
{
    for (int i = snapshot->event_count - 1; i >= 0; i--) {
        if (strcmp(snapshot->event[i].what, what) == 0) {
            return &snapshot->event[i];
        }
    }
    ck_abort_msg("no event '%s'", what);
    return NULL;
}

static void assert_text(const struct snapshot *snapshot, const char *what, const char *text)
{
    ck_assert_str_eq(latest(snapshot, what)->text, text);
}

static bool text_has(const struct snapshot *snapshot, const char *what, const char *part)
{
    return strstr(latest(snapshot, what)->text, part) != NULL;
}

START_TEST(everything_is_told_in_order)
{
    struct drive drive;
    drive_start(&drive, 31);
    drive_describe(&drive);
    drive_samples(&drive, 500);
    drive_do(&drive, "setup 1 \"as it came\"");
    drive_samples(&drive, 500);
    drive_do(&drive, "plate head=412.5 chest=370");
    drive_do(&drive, "tape head=632 sure=yes");
    drive_samples(&drive, 50);
    drive_do(&drive, "target at_least=30s at_most=40s settle=0s");
    drive_finish(&drive);
    drive_do(&drive, "band head=+10/-20 chest=+8/none");
    drive_do(&drive, "hold 20s free settle=5s");
    drive_samples(&drive, 600); /* 5 s to settle, then 7 s */
    drive_do(&drive, "mark drank");
    ck_assert(text_has(shown(&drive), "hold 1", "being recorded"));
    drive_finish(&drive);
    drive_do(&drive, "note \"saddle nose -5\"");
    drive_do(&drive, "rating effort=4 sees_ahead=strained numb_hands=no could_stay=40");
    drive_do(&drive, "setup 2 \"pads down\" pad_rise=40");
    drive_do(&drive, "setup 1");
    drive_do(&drive, "choose 2");

    const struct snapshot *snapshot = shown(&drive);
    for (int i = 1; i < snapshot->event_count; i++) {
        ck_assert(snapshot->event[i].at_s >= snapshot->event[i - 1].at_s);
    }
    assert_text(snapshot, "plate", "head 412.5, chest 370.0 mm away, setup 1 build 1");
    assert_text(snapshot, "tape", "head 632.0 mm over the bottom bracket, setup 1 build 1");
    ck_assert(text_has(snapshot, "target", "head ") && text_has(snapshot, "target", "\u00B1"));
    assert_text(snapshot, "band", "head +10 -20, chest +8 none mm");
    ck_assert(text_has(snapshot, "hold 1", "free 20 s, setup 1: head "));
    ck_assert(text_has(snapshot, "hold 1", "% in band)"));
    ck_assert_int_eq(latest(snapshot, "hold 1")->hold, 1);
    assert_text(snapshot, "mark", "drank, in hold 1");
    ck_assert_int_eq(latest(snapshot, "mark")->hold, 1);
    /* 50 samples a second: the mark came 7 s after the hold began */
    ck_assert_double_eq_tol(latest(snapshot, "mark")->at_s - latest(snapshot, "hold 1")->at_s, 7.0,
                            0.05);
    assert_text(snapshot, "note", "saddle nose -5");
    assert_text(snapshot, "rating",
                "setup 1: effort 4, numb hands no, sees ahead strained, could stay 40 min");
    ck_assert(text_has(snapshot, "setup 2", "pads down: pad rise"));
    assert_text(snapshot, "setup 1", "build 2: as it came");
    assert_text(snapshot, "chosen", "setup 2: the rider goes home with it");
    drive_end(&drive);
}
END_TEST

START_TEST(a_hold_tells_what_became_of_it)
{
    struct drive drive;
    drive_start(&drive, 32);
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as it came\"");
    drive_samples(&drive, 50);
    drive.stays_down = true;
    drive_do(&drive, "hold 30s free settle=5s");
    drive_samples(&drive, 50);
    int before = shown(&drive)->event_count;
    drive_do(&drive, "stop"); /* the countdown: nothing has happened */
    ck_assert_int_eq(shown(&drive)->event_count, before);
    drive_do(&drive, "target head=884 chest=771");
    drive_do(&drive, "hold 30s guided settle=0s");
    drive_samples(&drive, 1000);
    drive_do(&drive, "stop");
    ck_assert(text_has(shown(&drive), "hold 1", "guided 30 s"));
    ck_assert(text_has(shown(&drive), "hold 1", "; stopped early"));
    drive_do(&drive, "reject 1 \"phone rang\"");
    ck_assert(text_has(shown(&drive), "hold 1", "; LEFT OUT: phone rang"));
    ck_assert(latest(shown(&drive), "hold 1")->left_out);
    drive_do(&drive, "restore 1");
    ck_assert(!text_has(shown(&drive), "hold 1", "LEFT OUT"));
    ck_assert(!latest(shown(&drive), "hold 1")->left_out);
    drive_do(&drive, "keep 10s");
    ck_assert(text_has(shown(&drive), "hold 2", "; kept afterwards"));
    drive_do(&drive, "target at_least=10s at_most=20s settle=0s");
    drive_samples(&drive, 100);
    assert_text(shown(&drive), "target", "being taken");
    drive_do(&drive, "target drop");
    assert_text(shown(&drive), "target", "dropped");
    drive_end(&drive);
}
END_TEST

START_TEST(a_snapshot_is_made_anew_only_when_a_record_has_changed)
{
    struct drive drive;
    drive_start(&drive, 33);
    drive_describe(&drive);
    uint64_t serial = session_snapshot_serial(drive.session);
    ck_assert(drive_snapshot(&drive)->serial == serial);
    drive_samples(&drive, 500);
    ck_assert(session_snapshot_serial(drive.session) == serial);
    drive_do(&drive, "note \"one\"");
    ck_assert(session_snapshot_serial(drive.session) > serial);
    const struct snapshot *snapshot = drive_snapshot(&drive);
    ck_assert_str_eq(snapshot->event[snapshot->event_count - 1].text, "one");
    /* the end of a hold comes with a sample, and what follows from it too */
    drive_do(&drive, "hold 20s free settle=0s");
    drive_samples(&drive, 500);
    serial = session_snapshot_serial(drive.session);
    drive_finish(&drive);
    ck_assert(session_snapshot_serial(drive.session) > serial);
    snapshot = drive_snapshot(&drive);
    ck_assert_int_eq(snapshot->record.hold[0].status, HOLD_COMPLETE);
    ck_assert(snapshot->analysis.hold[0].has[0]);
    ck_assert_int_eq(snapshot->analysis.free_holds[0], 1);
    drive_end(&drive);
}
END_TEST

/* All that is told of records: not what was taken back and put back. */
static void write_events(char *text, size_t size, const struct snapshot *snapshot)
{
    size_t used = 0;
    for (int i = 0; i < snapshot->event_count; i++) {
        const struct event *event = &snapshot->event[i];
        if (strcmp(event->what, "taken back") != 0 && strcmp(event->what, "put back") != 0) {
            text_append(text, size, &used, "%s: %s\n", event->what, event->text);
        }
    }
    ck_assert_uint_lt(used + 1, size);
}

/* A record that was put back is the one that was there: what changes in it is told as a change, and
 * no second time as new. */
START_TEST(what_was_put_back_is_known)
{
    static const char *const acts[][2] = {
        {"setup 2 \"pads down\" pad_rise=40", "correct 2 pad_rise=35"},
        {"keep 10s", "reject 2 \"phone rang\""},
        {"rating effort=4", "rating effort=5"},
        {"note \"second\"", "note \"third\""},
    };
    for (size_t i = 0; i < sizeof acts / sizeof acts[0]; i++) {
        char text[2][4096];
        for (int back = 0; back < 2; back++) {
            struct drive drive;
            drive_start(&drive, 33);
            drive_describe(&drive);
            drive_do(&drive, "setup 1 \"as it came\"");
            drive_samples(&drive, 1000);
            drive_do(&drive, "keep 10s");
            drive_do(&drive, "note \"first\"");
            drive_do(&drive, acts[i][0]);
            for (int b = 0; b < back; b++) {
                drive_do(&drive, "undo");
                drive_do(&drive, "redo");
            }
            drive_do(&drive, acts[i][1]);
            write_events(text[back], sizeof text[back], shown(&drive));
            drive_end(&drive);
        }
        ck_assert_str_eq(text[1], text[0]);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("journal");
    TCase *tcase = tcase_create("journal");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, everything_is_told_in_order);
    tcase_add_test(tcase, a_hold_tells_what_became_of_it);
    tcase_add_test(tcase, a_snapshot_is_made_anew_only_when_a_record_has_changed);
    tcase_add_test(tcase, what_was_put_back_is_known);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
