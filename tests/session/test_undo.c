/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What can be taken back, and put back again: every command of the session. */
#include "session/acts_tried.h"
#include "support/session_text.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int try_of(const char *word)
{
    for (int i = 0; i < TRIES; i++) {
        if (strcmp(tries[i].word, word) == 0) {
            return i;
        }
    }
    return -1;
}

START_TEST(each_command_can_be_taken_back_or_says_why_not)
{
    static const char *const stay[] = {"rig", "resume", "end", "undo", "redo"};
    int staying = 0;
    for (int i = 0; i < session_command_count(); i++) {
        const char *why = NULL, *word = session_command_word(i, &why);
        if (why != NULL) {
            ck_assert_msg(strlen(why) > 10, "%s says not why", word);
            ck_assert_str_eq(word, stay[staying++]);
        } else {
            ck_assert_msg(try_of(word) >= 0, "no test takes '%s' back", word);
        }
    }
    ck_assert_int_eq(staying, (int)(sizeof stay / sizeof stay[0]));
}
END_TEST

/* A screen asks for a snapshot where its number is another: whenever a record is. */
START_TEST(what_is_done_and_taken_back_makes_another_snapshot)
{
    static const char *const again[] = {NULL, "undo", "redo"};
    struct drive drive;
    begin(&drive);
    for (int b = 0; b < 3 && tries[_i].before[b] != NULL; b++) {
        drive_do(&drive, tries[_i].before[b]);
        drive_samples(&drive, strncmp(tries[_i].before[b], "hold 10s", 8) == 0 ? 600 : 50);
    }
    for (size_t i = 0; i < sizeof again / sizeof again[0]; i++) {
        const char *line = again[i] != NULL ? again[i] : tries[_i].line;
        char *before = records_text(session_records(drive.session));
        uint64_t serial = session_snapshot_serial(drive.session);
        drive_do(&drive, line);
        drive_samples(&drive, i == 0 ? tries[_i].samples : 0);
        char *after = records_text(session_records(drive.session));
        ck_assert_msg(strcmp(before, after) == 0 ||
                          session_snapshot_serial(drive.session) != serial,
                      "%s: %s", tries[_i].line, line);
        free(before);
        free(after);
    }
    drive_end(&drive);
}
END_TEST

START_TEST(what_was_done_is_taken_back_and_put_back)
{
    int i = _i;
    struct drive drive;
    begin(&drive);
    for (int b = 0; b < 3 && tries[i].before[b] != NULL; b++) {
        drive_do(&drive, tries[i].before[b]);
        drive_samples(&drive, strncmp(tries[i].before[b], "hold 10s", 8) == 0 ? 600 : 50);
    }
    char *before = session_text(&drive);
    drive_do(&drive, tries[i].line);
    drive_samples(&drive, tries[i].samples);
    char *after = session_text(&drive);
    /* what is heard shows in holds alone */
    ck_assert_msg(strcmp(before, after) != 0 || strcmp(tries[i].word, "sound") == 0,
                  "'%s' did nothing", tries[i].line);
    int events = drive_snapshot(&drive)->event_count;
    drive_do(&drive, "undo");
    const struct snapshot *snapshot = drive_snapshot(&drive);
    ck_assert_int_eq(snapshot->event_count, events + 1);
    ck_assert_str_eq(snapshot->event[events].what, "taken back");
    char *taken_back = session_text(&drive);
    assert_same_text(taken_back, before, tries[i].line);
    drive_do(&drive, "redo");
    char *put_back = session_text(&drive);
    assert_same_text(put_back, after, tries[i].line);
    drive_do(&drive, "undo");
    free(put_back);
    put_back = session_text(&drive);
    assert_same_text(put_back, before, tries[i].line);
    free(before);
    free(after);
    free(taken_back);
    free(put_back);
    drive_end(&drive);
}
END_TEST

static void assert_said(struct drive *drive, const char *words)
{
    uint64_t serial;
    const char *said = session_message(drive->session, &serial);
    ck_assert_msg(strstr(said, words) != NULL, "'%s' lacks '%s'", said, words);
}

START_TEST(what_is_named_in_part_leaves_no_blanks)
{
    struct drive drive;
    drive_start(&drive, 77);
    drive_do(&drive, "rider R-13");
    drive_do(&drive, "undo");
    drive_do(&drive, "redo");
    assert_said(&drive, "(R-13)");
    drive_end(&drive);
}
END_TEST

/* How many holds are asked for follows from the minutes, and from what was on the bike: none of it
 * is a record. */
START_TEST(what_is_asked_for_comes_back_too)
{
    static const char *const acts[] = {"minutes 25", "setup 2 \"pads down\" pad_rise=40"};
    for (size_t i = 0; i < sizeof acts / sizeof acts[0]; i++) {
        struct drive drive;
        begin(&drive);
        drive_do(&drive, "minutes 240");
        drive_do(&drive, "target head=884 chest=771 sure=yes");
        drive_do(&drive, "band head=+10/-20 chest=+8/none");
        drive_do(&drive, "pass rating");
        if (i == 1) { /* four hours have gone by: less is asked for on what comes next */
            drive.time_us += (int64_t)225 * 60 * 1000000;
            drive_samples(&drive, 10);
        }
        char *before = session_text(&drive);
        ck_assert_ptr_nonnull(strstr(before, "free hold 1 of"));
        drive_do(&drive, acts[i]);
        char *after = session_text(&drive);
        ck_assert_str_ne(strstr(before, "free hold 1 of"), strstr(after, "free hold 1 of"));
        drive_do(&drive, "undo");
        char *taken_back = session_text(&drive);
        assert_same_text(taken_back, before, acts[i]);
        drive_do(&drive, "redo");
        char *put_back = session_text(&drive);
        assert_same_text(put_back, after, acts[i]);
        free(before);
        free(after);
        free(taken_back);
        free(put_back);
        drive_end(&drive);
    }
}
END_TEST

/* How many acts there are to be taken back after these. */
static int acts_of(const char *one, const char *other)
{
    struct drive drive;
    int acts = 0;
    begin(&drive);
    drive_do(&drive, one);
    if (other != NULL) {
        drive_do(&drive, other);
    }
    while (session_command(drive.session, "undo", NULL)) {
        acts++;
    }
    drive_end(&drive);
    return acts;
}

/* What is due in practice is no record: each of its values by itself makes another act of it, and
 * the same again makes none. */
START_TEST(each_value_of_practice_is_an_act)
{
    static const char *const values[][2] = {
        {"row=2", "row=3"},
        {"length=45s", "length=50s"},
        {"pieces=6", "pieces=5"},
        {"base=no", "base=yes"},
        {"held=no", "held=yes"},
        {"carried=yes", "carried=no"},
        {"carried=yes", "carried=3"},
        {"ride=no", "ride=yes"},
        {"morning=yes", "morning=no"},
        {"board=930", "board=931"},
        {"board_was=head:412.5", "board_was=head:412"},
        {"board_was=head:412.5", "board_was=chest:412.5"},
        {"board_was=head:412.5", "board_was=head:412.5,chest:371"},
        {"target=\"head=884\"", "target=\"head=885\""},
        {"band=\"head=+10/-15\"", "band=\"head=+10/-14\""},
        {"power=210W", "power=211W"}};
    static const char *const all[] = {"row=2",
                                      "length=45s",
                                      "pieces=6",
                                      "base=no",
                                      "held=no",
                                      "carried=yes",
                                      "ride=no",
                                      "morning=yes",
                                      "board=930",
                                      "board_was=head:412.5",
                                      "power=210W",
                                      "target=\"head=884\"",
                                      "band=\"head=+10/-15\""};
    for (size_t v = 0; v < sizeof values / sizeof values[0]; v++) {
        char usual[400] = "practice", other[400] = "practice";
        for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
            bool changed = strcmp(all[i], values[v][0]) == 0;
            snprintf(usual + strlen(usual), sizeof usual - strlen(usual), " %s", all[i]);
            snprintf(other + strlen(other), sizeof other - strlen(other), " %s",
                     changed ? values[v][1] : all[i]);
        }
        ck_assert_str_ne(usual, other);
        int once = acts_of(usual, NULL);
        ck_assert_int_eq(acts_of(usual, usual), once);
        ck_assert_msg(acts_of(usual, other) == once + 1, "%s", other);
    }
}
END_TEST

/* Forty holds of a minute would stand still for a fifth of a second at each undo. What is put there
 * in place of a hold's result stays: it is not made again where nothing of the hold is touched. */
START_TEST(what_is_not_touched_is_not_worked_out_anew)
{
    static const struct {
        const char *line;
        bool touches;
    } acts[] = {{"note \"phone\"", false},
                {"rating effort=4", false},
                {"reject 1 \"phone\"", false},
                {"hold 10s free settle=0s", false},
                {"sensor head gain=1.01", true}};
    for (size_t a = 0; a < sizeof acts / sizeof acts[0]; a++) {
        struct drive drive;
        begin(&drive);
        drive_do(&drive, "hold 20s free settle=0s");
        drive_finish(&drive);
        drive_do(&drive, "note \"made once by undo\"");
        drive_do(&drive, "undo");
        struct analysis *analysis = (struct analysis *)session_analysis(drive.session);
        double start_s = analysis->hold[0].start_s;
        analysis->hold[0].start_s = start_s + 1000.0;
        drive_do(&drive, acts[a].line);
        drive_finish(&drive);
        drive_do(&drive, "undo");
        drive_do(&drive, "redo");
        ck_assert_msg((analysis->hold[0].start_s == start_s) == acts[a].touches, "%s",
                      acts[a].line);
        drive_end(&drive);
    }
}
END_TEST

/* No more acts are known than the last two thousand: what belongs to an older one is taken back
 * with none of them. */
START_TEST(what_is_older_than_all_that_is_known_stays)
{
    struct drive drive;
    int undone = 0;
    begin(&drive);
    drive_do(&drive, "hold 5s free settle=0s");
    drive_samples(&drive, 100);
    for (int i = 0; i < 2100; i++) {
        drive_do(&drive, i % 2 == 0 ? "sound off" : "sound all");
    }
    drive_finish(&drive);
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(record->hold[0].status, HOLD_COMPLETE);
    while (session_command(drive.session, "undo", NULL)) {
        undone++;
    }
    ck_assert_int_eq(undone, 1999);
    ck_assert_int_eq(record->hold_count, 1);
    ck_assert_int_eq(record->hold[0].status, HOLD_COMPLETE);
    ck_assert_int_eq(record->capture[0].last_sample - record->capture[0].first_sample, 250);
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("undo");
    TCase *tcase = tcase_create("undo");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, each_command_can_be_taken_back_or_says_why_not);
    tcase_add_loop_test(tcase, what_is_done_and_taken_back_makes_another_snapshot, 0, TRIES);
    tcase_add_loop_test(tcase, what_was_done_is_taken_back_and_put_back, 0, TRIES);
    tcase_add_test(tcase, what_is_named_in_part_leaves_no_blanks);
    tcase_add_test(tcase, what_is_asked_for_comes_back_too);
    tcase_add_test(tcase, each_value_of_practice_is_an_act);
    tcase_add_test(tcase, what_is_not_touched_is_not_worked_out_anew);
    tcase_add_test(tcase, what_is_older_than_all_that_is_known_stays);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
