/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Acts in any order, taken out, taken back and put back: what is stored and replayed is the same.
 */
#include "session/acts_tried.h"
#include "support/session_text.h"
#include "support/test_main.h"

#include "base/text.h"
#include "record/effect.h"
#include "record/sound.h"
#include "support/test_seed.h"

#include <stdlib.h>
#include <string.h>

/* What goes out, as a store keeps it, and the log. */
#define LINES 400
struct kept {
    struct session_record record;
    int count;
    char line[LINES][200];
    int64_t after[LINES];
};

static void keep(void *context, const struct effect *effect)
{
    struct kept *kept = context;
    const struct stored_table *table = stored_tables[effect_table(effect->kind)];
    char *record = (char *)&kept->record;
    if (effect->kind == EFFECT_COMMAND) {
        ck_assert_int_lt(kept->count, LINES);
        text_copy(kept->line[kept->count], sizeof kept->line[0], effect->record.command.text);
        kept->after[kept->count++] = effect->record.command.after_sample;
    } else if (effect->kind == EFFECT_SESSION) {
        session_record_take_header(&kept->record, &effect->record.session);
    } else if (table->shape == SHAPE_ONE) {
        memcpy(record + table->offset, &effect->record, table->size);
        *(bool *)(record + table->count_offset) = true;
    } else {
        int *count = (int *)(void *)(record + table->count_offset);
        ck_assert_int_lt(effect->index, table->most);
        memcpy(record + table->offset + (size_t)effect->index * table->size, &effect->record,
               table->size);
        *count = effect->index >= *count ? effect->index + 1 : *count;
    }
}

static void told(void *context, const struct record_damage *damage)
{
    (void)context;
    ck_abort_msg("a record was found damaged: %s", damage->why);
}

/* As it is read from the store again. */
static char *read_again(const struct kept *kept)
{
    struct session_record *record = malloc(sizeof *record);
    struct record_faults *faults = record_faults_create();
    memcpy(record, &kept->record, sizeof *record);
    for (int id = 0; id < STORED_TABLES; id++) {
        const struct stored_table *table = stored_tables[id];
        char *at = (char *)record;
        if (id == TABLE_COMMAND || id == TABLE_SESSION || table->shape == SHAPE_OWNED) {
            continue;
        }
        if (table->shape == SHAPE_ONE) {
            bool *has = (bool *)(at + table->count_offset);
            *has = *has && !stored_is_undone(table, at + table->offset);
        }
        for (int i = 0;
             table->shape == SHAPE_RECORD && i < *(int *)(void *)(at + table->count_offset); i++) {
            record_fault_there(faults, (enum stored_table_id)id, i);
        }
    }
    record_make_sound(record, faults, told, NULL);
    if (!record->has_bike) {
        bike_values_clear(&record->bike.frame);
    }
    char *text = records_text(record);
    record_faults_destroy(faults);
    free(record);
    return text;
}

static void begin_kept(struct drive *drive, struct kept *kept)
{
    const struct session_origin origin = {.wall_ms = 1767981600000, .seed = 5};
    drive_start(drive, 78);
    session_destroy(drive->session);
    memset(kept, 0, sizeof *kept);
    session_record_clear(&kept->record);
    drive->session = session_create(&origin, keep, kept);
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

static void assert_stored(struct drive *drive, const struct kept *kept, const char *when)
{
    char *records = records_text(session_records(drive->session)), *stored = read_again(kept);
    assert_same_text(stored, records, when);
    free(records);
    free(stored);
}

/* Setups 1, 2, 3, and 1 once more; a plate, a rating and a target of 2 and of 3. */
static void begin_three_setups(struct drive *drive, struct kept *kept)
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
    struct kept *kept = malloc(sizeof *kept);
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
    struct kept *kept = malloc(sizeof *kept);
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
    struct kept *kept = malloc(sizeof *kept);
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
    struct kept *kept = malloc(sizeof *kept);
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

/* What the session has by now is what follows from its records and samples, worked out anew. */
static void assert_live_is_anew(struct drive *drive, const char *when)
{
    struct problem problem = {0};
    const struct session_record *record = session_records(drive->session);
    const struct analysis *live = session_analysis(drive->session);
    struct analysis *anew = analysis_create();
    ck_assert_ptr_nonnull(anew);
    ck_assert_msg(analysis_make(record, session_samples, drive->session, anew, &problem), "%s: %s",
                  when, problem.sentence);
    for (int h = 0; h < record->hold_count; h++) {
        const struct hold_result *is = &live->hold[h], *wanted = &anew->hold[h];
        if (record->hold[h].status == HOLD_RUNNING) {
            continue;
        }
        ck_assert_msg(memcmp(is, wanted, sizeof *is) == 0,
                      "hold %d after '%s': %g s at %.4f, anew %g s at %.4f", h + 1, when,
                      is->duration_s, is->summary[0].mean_mm, wanted->duration_s,
                      wanted->summary[0].mean_mm);
    }
    for (int t = 0; t < record->target_count; t++) {
        ck_assert_msg(memcmp(live->target[t], anew->target[t], sizeof live->target[t]) == 0,
                      "target %d after '%s'", t + 1, when);
    }
    for (int b = 0; b < record->build_count; b++) {
        ck_assert_msg(memcmp(live->tie[b], anew->tie[b], sizeof live->tie[b]) == 0,
                      "tie of build %d after '%s'", b + 1, when);
    }
    for (int s = 0; s < record->setup_count; s++) {
        ck_assert_int_eq(live->free_holds[s], anew->free_holds[s]);
        ck_assert_int_eq(live->guided_holds[s], anew->guided_holds[s]);
    }
    analysis_destroy(anew);
}

START_TEST(any_order_of_acts_is_stored_and_replayed_alike)
{
    struct random_source random;
    struct kept *kept = malloc(sizeof *kept), *again = malloc(sizeof *again);
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
        drive_samples(&replayed, (int)(kept->after[i] - replayed.number));
        drive_do(&replayed, kept->line[i]);
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
    struct kept *kept = malloc(sizeof *kept);
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
            assert_live_is_anew(&drive, kept->count > 0 ? kept->line[kept->count - 1] : "nothing");
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
