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

/* All that comes after it, and the session then. The act is taken back as soon as so many samples
 * have come; act or none: what must be there before it, and the samples, are the same. */
static char *played(int act, bool done, int samples)
{
    struct drive drive;
    begin(&drive);
    drive.stays_down = true; /* the rider does the same, whatever is asked */
    for (int b = 0; b < 3 && tries[act].before[b] != NULL; b++) {
        drive_do(&drive, tries[act].before[b]);
        drive_samples(&drive, strncmp(tries[act].before[b], "hold 10s", 8) == 0 ? 600 : 50);
    }
    if (done) {
        drive_do(&drive, tries[act].line);
    }
    drive_samples(&drive, samples);
    if (done) {
        drive_do(&drive, "undo");
    }
    drive_samples(&drive, 50 * 70 - samples); /* to the end of what was begun before */
    for (size_t i = 0; i < sizeof after / sizeof after[0]; i++) {
        session_command(drive.session, after[i], NULL);
        drive_samples(&drive, 50 * 30);
    }
    char *text = session_text(&drive);
    blot_uuids(text);
    drive_end(&drive);
    return text;
}

/* Seven seconds after it was begun: what settles for two is being ridden then. */
START_TEST(nothing_is_left_of_what_was_taken_back)
{
    char *with = played(_i, true, 350), *without = played(_i, false, 350);
    assert_same_text(with, without, tries[_i].line);
    free(with);
    free(without);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("undo_traces");
    TCase *tests = tcase_create("undo_traces");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_loop_test(tests, nothing_is_left_of_what_was_taken_back, 0, TRIES);
    return test_main(suite);
}
