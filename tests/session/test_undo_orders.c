/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Acts in any order, taken out, taken back and put back: what is stored and replayed is the same.
 */
#include "session/acts_tried.h"
#include "support/kept_session.h"
#include "support/session_text.h"
#include "support/test_main.h"

#include "base/text.h"
#include "support/test_seed.h"

#include <stdlib.h>
#include <string.h>

/* As it is read from the store again. */
static char *read_again(struct kept_session *kept)
{
    char *text = kept_session_text(kept);
    ck_assert_msg(!kept->full && !kept->misplaced, "not all of it could be kept");
    ck_assert_msg(kept->damage[0] == '\0', "a record was found damaged: %s", kept->damage);
    return text;
}

static void begin_kept(struct drive *drive, struct kept_session *kept)
{
    const struct session_origin origin = {.wall_ms = 1767981600000, .seed = 5};
    drive_start(drive, 78);
    session_destroy(drive->session);
    kept_session_begin(kept);
    drive->session = session_create(&origin, kept_session_take, kept);
}

/* Every act there is, some of which are refused where they have no sense. */
static void do_some(struct drive *drive, struct random_source *random, int samples_most,
                    bool joined)
{
    static const char *const more[] = {
        "setup 3 \"stem\" stem_length=90",
        "setup 1",
        "setup 2",
        "hold 10s free settle=1s",
        "target at_least=10s at_most=20s settle=1s",
        "plate head=412.5 chest=370",
        "stop",
        "target keep",
        "band suggested",
        "rating same",
        "moved no",
        "sensor chest x=33",
        "sensor head gain=1.01",
        "check beam head",
        "known 7 \"old\"",
        "correct 1 saddle_height=700",
        "choose 1",
        "choose 0",
        "reject 2 \"no\"",
        "restore 1",
        "remove 2",
        "remove 3",
        "same 3 2",
        "same 2 3",
        "renumber 3 5",
        "renumber 5 3",
        "setup 2 \"as 1\"",
        "and note \"together\"", /* the last */
    };
    int count = (int)(sizeof more / sizeof more[0]) - (joined ? 0 : 1);
    int pick = (int)(random_uniform(random) * (TRIES + count));
    session_command(drive->session, pick < TRIES ? tries[pick].line : more[pick - TRIES], NULL);
    drive_samples(drive, (int)(random_uniform(random) * samples_most));
}

static void assert_stored(struct drive *drive, struct kept_session *kept, const char *when)
{
    char *records = records_text(session_records(drive->session)), *stored = read_again(kept);
    assert_same_text(stored, records, when);
    free(records);
    free(stored);
}

/* Setups 1, 2, 3, and 1 once more; a plate, a rating and a target of 2 and of 3. */
static void begin_three_setups(struct drive *drive, struct kept_session *kept)
{
    static const char *const acts[] = {
        "setup 1 \"as it came\"",
        "setup 2 \"pads down\" pad_rise=40",
        "plate head=412.5 chest=370",
        "rating effort=3",
        "setup 3 \"spacers out\" spacers=10",
        "plate head=402.5 chest=360",
        "rating effort=5",
        "setup 1",
    };
    begin_kept(drive, kept);
    drive_describe(drive);
    for (size_t i = 0; i < sizeof acts / sizeof acts[0]; i++) {
        drive_do(drive, acts[i]);
        drive_samples(drive, 10);
    }
}

/* What is taken out of the middle moves the places of all behind it: what points at them points at
 * the same as before, in memory and in the store. */
START_TEST(a_setup_is_taken_out_of_the_middle)
{
    struct kept_session *kept = malloc(sizeof *kept);
    struct drive drive;
    begin_three_setups(&drive, kept);
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(record->setup_count, 3);
    ck_assert_int_eq(record->build_count, 4);
    ck_assert_int_eq(record->build[2].setup, 2);
    char *before = session_text(&drive);
    drive_do(&drive, "remove 2");
    ck_assert_int_eq(record->setup_count, 2);
    ck_assert_int_eq(record->setup[1].number, 3);
    static const int setup_of_build[] = {0, 1, 0};
    ck_assert_int_eq(record->build_count, 3);
    for (int b = 0; b < 3; b++) {
        ck_assert_int_eq(record->build[b].setup, setup_of_build[b]);
    }
    ck_assert_int_eq(record->tie_reading_count, 2); /* of two sensors; they were four */
    for (int t = 0; t < 2; t++) {
        ck_assert_int_eq(record->tie_reading[t].build, 1);
    }
    ck_assert_int_eq(record->rating_count, 1);
    ck_assert_int_eq(record->rating[0].setup, 1);
    assert_stored(&drive, kept, "removed");
    char *removed = session_text(&drive);
    drive_do(&drive, "undo");
    char *back = session_text(&drive);
    assert_same_text(back, before, "taken back");
    assert_stored(&drive, kept, "taken back");
    drive_do(&drive, "redo");
    char *again = session_text(&drive);
    assert_same_text(again, removed, "put back");
    drive_do(&drive, "undo");
    /* what comes next has the place behind all that ever were */
    drive_do(&drive, "setup 4 \"stem\" stem_length=90");
    drive_do(&drive, "plate head=412.5 chest=370");
    ck_assert_int_eq(record->setup_count, 4);
    ck_assert_int_eq(kept->record.setup_count, 4);
    ck_assert_int_eq(kept->record.build_count, 5);
    assert_stored(&drive, kept, "a setup more");
    drive_do(&drive, "correct 3 \"spacers quite out\" spacers=0");
    assert_stored(&drive, kept, "put right");
    free(before);
    free(removed);
    free(back);
    free(again);
    drive_end(&drive);
    free(kept);
}
END_TEST

/* A note said with a check is an act of its own: the check ends behind what came meanwhile, and
 * takes nothing of that with it. */
START_TEST(what_goes_on_takes_nothing_with_it)
{
    struct kept_session *kept = malloc(sizeof *kept);
    struct drive drive;
    begin_three_setups(&drive, kept);
    const struct session_record *record = session_records(drive.session);
    drive_do(&drive, "check still 5s");
    drive_do(&drive, "and note \"said with it\"");
    drive_samples(&drive, 50);
    drive_do(&drive, "matters head=5");
    drive_do(&drive, "and note \"said meanwhile\"");
    drive_finish(&drive);
    ck_assert_int_eq(record->check_count, 1);
    ck_assert_int_eq(record->note_count, 2);
    drive_do(&drive, "undo");
    ck_assert_int_eq(record->check_count, 0);
    ck_assert_int_eq(record->note_count, 2);
    assert_stored(&drive, kept, "the check");
    drive_do(&drive, "undo");
    ck_assert_int_eq(record->note_count, 1);
    assert_stored(&drive, kept, "what came meanwhile");
    drive_end(&drive);
    free(kept);
}
END_TEST

/* What the others are compared against, and what is chosen, are kept by number: they follow it. */
START_TEST(a_number_that_is_named_elsewhere_is_changed_there)
{
    struct kept_session *kept = malloc(sizeof *kept);
    struct drive drive;
    begin_three_setups(&drive, kept);
    const struct session_record *record = session_records(drive.session);
    drive_do(&drive, "choose 3");
    drive_do(&drive, "renumber 3 7");
    ck_assert_int_eq(record->settings.chosen_setup, 7);
    ck_assert_int_eq(record->settings.baseline_setup, 1);
    assert_stored(&drive, kept, "chosen");
    drive_do(&drive, "renumber 1 8");
    ck_assert_int_eq(record->settings.chosen_setup, 7);
    ck_assert_int_eq(record->settings.baseline_setup, 8);
    assert_stored(&drive, kept, "baseline");
    drive_do(&drive, "renumber 2 9");
    ck_assert_int_eq(record->settings.chosen_setup, 7);
    ck_assert_int_eq(record->settings.baseline_setup, 8);
    assert_stored(&drive, kept, "neither");
    drive_end(&drive);
    free(kept);
}
END_TEST

/* The first, when another is what the others are compared against: its builds go and nothing else,
 * though one was taken out before. */
START_TEST(the_first_setup_is_taken_out)
{
    struct kept_session *kept = malloc(sizeof *kept);
    struct drive drive;
    begin_three_setups(&drive, kept);
    const struct session_record *record = session_records(drive.session);
    drive_do(&drive, "remove 2");
    drive_do(&drive, "baseline 3");
    drive_do(&drive, "remove 1");
    ck_assert_int_eq(record->setup_count, 1);
    ck_assert_int_eq(record->setup[0].number, 3);
    ck_assert_int_eq(record->build_count, 1);
    ck_assert_int_eq(record->build[0].setup, 0);
    ck_assert_int_eq(record->tie_reading_count, 2);
    assert_stored(&drive, kept, "removed");
    drive_do(&drive, "undo");
    drive_do(&drive, "undo");
    drive_do(&drive, "undo");
    ck_assert_int_eq(record->setup_count, 3);
    ck_assert_int_eq(record->build_count, 4);
    assert_stored(&drive, kept, "taken back");
    drive_end(&drive);
    free(kept);
}
END_TEST

static void assert_live_is_anew(struct drive *drive, const char *when)
{
    char difference[200];
    ck_assert_msg(session_is_as_anew(drive->session, difference, sizeof difference),
                  "after '%s': %s", when, difference);
}

START_TEST(any_order_of_acts_is_stored_and_replayed_alike)
{
    struct random_source random;
    struct kept_session *kept = malloc(sizeof *kept), *again = malloc(sizeof *again);
    struct drive drive, replayed;
    random_seed(&random, test_seed((uint64_t)_i + 300));
    begin_kept(&drive, kept);
    drive_describe(&drive);
    drive_samples(&drive, 600);
    for (int i = 0; i < 120; i++) {
        double what = random_uniform(&random);
        if (what < 0.3 || (i > 60 && i < 80)) {
            session_command(drive.session, "undo", NULL);
        } else if (what < 0.4) {
            session_command(drive.session, "redo", NULL);
        } else {
            do_some(&drive, &random, 300, true);
        }
    }
    drive_finish(&drive);
    char *live = session_text(&drive), *records = records_text(session_records(drive.session));
    char *stored = read_again(kept);
    assert_same_text(stored, records, "stored");

    begin_kept(&replayed, again);
    for (int i = 0; i < kept->count; i++) {
        drive_samples(&replayed, (int)(kept->command[i].after_sample - replayed.number));
        drive_do(&replayed, kept->command[i].text);
    }
    drive_samples(&replayed, (int)(drive.number - replayed.number));
    char *once_more = session_text(&replayed);
    assert_same_text(once_more, live, "replayed");
    ck_assert_int_eq(kept->count, again->count);
    free(live);
    free(records);
    free(stored);
    free(once_more);
    drive_end(&drive);
    drive_end(&replayed);
    free(kept);
    free(again);
}
END_TEST

/* The same while the rider moves, and now and then isn't seen. */
START_TEST(what_is_live_follows_from_records_and_samples)
{
    struct random_source random;
    struct kept_session *kept = malloc(sizeof *kept);
    struct drive drive;
    random_seed(&random, test_seed((uint64_t)_i + 700));
    begin_kept(&drive, kept);
    drive_describe(&drive);
    drive_samples(&drive, 600);
    for (int i = 0; i < 120; i++) {
        double what = random_uniform(&random);
        drive.body_mm[0] += 40.0 * (random_uniform(&random) - 0.5);
        drive.quality = random_uniform(&random) < 0.05 ? READING_MISSING : READING_GOOD;
        if (what < 0.25) {
            session_command(drive.session, "undo", NULL);
        } else if (what < 0.35) {
            session_command(drive.session, "redo", NULL);
        } else {
            do_some(&drive, &random, 900, true);
        }
        if (session_phase(drive.session) == VIEW_LIVE) {
            assert_live_is_anew(&drive,
                                kept->count > 0 ? kept->command[kept->count - 1].text : "nothing");
        }
    }
    drive_end(&drive);
    free(kept);
}
END_TEST

/* Without whether the rider is to sit up first: that is seen in the samples since the last hold,
 * and not known of the hold before once that one is taken back. */
static char *records_and_settings(struct drive *drive)
{
    char *text = session_text(drive), *asked = strstr(text, ": hands off, sit up");
    if (asked != NULL) {
        text_copy(asked, strlen(asked) + 1, "\n"); /* the last line's end */
    }
    return text;
}

/* All the way back, each step to what was before it, and all the way there again. */
START_TEST(all_of_it_goes_back_step_by_step)
{
    enum { STEPS = 40 };
    char *was[STEPS + 1];
    int steps = 0;
    struct random_source random;
    struct drive drive;
    random_seed(&random, test_seed((uint64_t)_i + 500));
    begin(&drive);
    was[0] = records_and_settings(&drive);
    for (int i = 0; i < STEPS; i++) {
        do_some(&drive, &random, 1, false);
        drive_finish(&drive);
        char *now = records_and_settings(&drive);
        if (strcmp(now, was[steps]) != 0) {
            was[++steps] = now;
        } else {
            free(now);
        }
    }
    for (int i = steps; i > 0; i--) {
        char *now = records_and_settings(&drive);
        for (int tries_left = 3; strcmp(now, was[i - 1]) != 0 && tries_left > 0; tries_left--) {
            free(now);
            drive_do(&drive, "undo");
            now = records_and_settings(&drive);
        }
        assert_same_text(now, was[i - 1], "a step back");
        free(now);
    }
    while (session_command(drive.session, "redo", NULL)) {
    }
    char *now = records_and_settings(&drive);
    assert_same_text(now, was[steps], "there again");
    free(now);
    for (int i = 0; i <= steps; i++) {
        free(was[i]);
    }
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("undo_orders");
    TCase *tcase = tcase_create("undo_orders");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, a_setup_is_taken_out_of_the_middle);
    tcase_add_test(tcase, a_number_that_is_named_elsewhere_is_changed_there);
    tcase_add_test(tcase, what_goes_on_takes_nothing_with_it);
    tcase_add_test(tcase, the_first_setup_is_taken_out);
    tcase_add_loop_test(tcase, any_order_of_acts_is_stored_and_replayed_alike, 0, 8);
    tcase_add_loop_test(tcase, what_is_live_follows_from_records_and_samples, 0, 8);
    tcase_add_loop_test(tcase, all_of_it_goes_back_step_by_step, 0, 8);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
