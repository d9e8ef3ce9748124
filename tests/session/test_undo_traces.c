/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What was begun, or done, and taken back leaves nothing behind: all that comes after is as if it
 * had never been. */
#include "session/acts_tried.h"
#include "support/session_text.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

/* Each kind of thing that takes time, after which there is a result. */
static const char *const after[] = {
    "hold 10s free settle=2s",
    "target at_least=10s at_most=20s settle=1s",
    "target keep",
    "plate 5s height=930",
    "target head=884 chest=771 sure=yes",
    "band head=+10/-20 chest=+8/none",
    "hold 20s guided settle=1s",
    "ride 20s settle=2s",
    "check still 20s",
    "keep 10s",
    "setup 2 \"pads down\" pad_rise=40",
    "hold 10s free settle=2s",
    "rating effort=5",
    "setup 1",
    "hold 10s free settle=2s",
    "correct 1 saddle_height=700",
};

/* Each record's name follows from when it was made and how many there were. */
static void blot_uuids(char *text)
{
    for (char *at = strstr(text, "uuid="); at != NULL; at = strstr(at, "uuid=")) {
        at += strlen("uuid=");
        for (; *at != ' ' && *at != '\n' && *at != '\0'; at++) {
            *at = '-';
        }
    }
}

/* The session after all that, with an act that is taken back seven seconds later (what settles for
 * two is being ridden then) or without it. */
static char *played(const char *const before[3], const char *act, bool done)
{
    struct drive drive;
    begin(&drive);
    drive.stays_down = true; /* the rider does the same, whatever is asked */
    for (int b = 0; b < 3 && before[b] != NULL; b++) {
        drive_do(&drive, before[b]);
        drive_samples(&drive, strncmp(before[b], "hold 10s", 8) == 0 ? 600 : 300);
    }
    if (done) {
        drive_do(&drive, act);
    }
    drive_samples(&drive, 350);
    if (done) {
        drive_do(&drive, "undo");
    }
    drive_samples(&drive, 50 * 70); /* to the end of what was begun before */
    for (size_t i = 0; i < sizeof after / sizeof after[0]; i++) {
        session_command(drive.session, after[i], NULL);
        drive_samples(&drive, 50 * 30);
    }
    char *text = session_text(&drive);
    blot_uuids(text);
    drive_end(&drive);
    return text;
}

static void assert_no_trace(const char *const before[3], const char *act)
{
    char *with = played(before, act, true), *without = played(before, act, false);
    assert_same_text(with, without, act);
    free(with);
    free(without);
}

START_TEST(nothing_is_left_of_what_was_taken_back)
{
    assert_no_trace(tries[_i].before, tries[_i].line);
}
END_TEST

/* What is going on is stopped, thrown away or marked, and goes on when that is taken back. */
static const struct {
    const char *before[3], *line;
} meanwhile[] = {
    {{"hold 60s free settle=0s"}, "mark slid"},
    {{"target head=884 chest=771 sure=yes", "hold 60s guided settle=0s"}, "stop"},
    {{"target head=884 chest=771 sure=yes", "ride 60s settle=0s"}, "stop"},
    {{"target head=884 chest=771 sure=yes", "hold 60s piece settle=0s told=after"}, "stop"},
    {{"target at_least=30s at_most=60s settle=0s"}, "stop"},
    {{"target at_least=30s at_most=60s settle=0s"}, "target drop"},
    {{"plate 30s height=930"}, "stop"},
    {{"check still 60s"}, "stop"},
    {{"calibrate head 200 400 600 10s pause=5s"}, "stop"},
};

START_TEST(what_was_stopped_goes_on_as_if_it_had_not_been)
{
    assert_no_trace(meanwhile[_i].before, meanwhile[_i].line);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("undo_traces");
    TCase *tests = tcase_create("undo_traces");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_loop_test(tests, nothing_is_left_of_what_was_taken_back, 0, TRIES);
    tcase_add_loop_test(tests, what_was_stopped_goes_on_as_if_it_had_not_been, 0,
                        (int)(sizeof meanwhile / sizeof meanwhile[0]));
    return test_main(suite);
}
