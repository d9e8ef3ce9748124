/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/session_drive.h"
#include "support/test_main.h"

#include "base/text.h"
#include "record/effect.h"
#include "record/sound.h"
#include "support/test_seed.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What can be taken back, and put back again: every command of the session. */

/* An act of each command, with what must be there before. A command that is missing here is
 * refused by the test, unless it is of those that stay and says why. */
static const struct {
    const char *word;
    const char *before[3], *line;
    int samples; /* until it has come to something */
} tries[] = {
    {"rider", {NULL}, "rider R-09 \"someone else\" watch_for=\"left knee\"", 0},
    {"bike", {NULL}, "bike \"another\" stack=560 spacers=25", 0},
    {"sensor", {NULL}, "sensor head carrier=stand x=10 y=20 mark=\"ear\"", 0},
    {"setup", {NULL}, "setup 2 \"pads down\" pad_rise=40", 0},
    {"build", {"setup 1"}, "build", 0},
    {"correct",
     {"setup 2 \"pads down\" pad_rise=40"},
     "correct 2 \"pads further down\" pad_rise=35",
     0},
    {"plate", {NULL}, "plate 5s height=930", 400},
    {"tape", {NULL}, "tape head=632 sure=yes", 0},
    {"target", {NULL}, "target head=884 chest=771 known_to=4mm sure=yes", 0},
    {"band", {"target head=884 chest=771 sure=yes"}, "band head=+10/-20 chest=+8/none", 0},
    {"cue", {"band head=+10/-20"}, "cue head on_delay=3s", 0},
    {"hold", {NULL}, "hold 20s free settle=2s", 1200},
    {"keep", {NULL}, "keep 10s", 0},
    {"mark", {NULL}, "mark slid", 0},
    {"reject", {"keep 10s"}, "reject 1 \"phone rang\"", 0},
    {"restore", {"keep 10s", "reject 1 \"phone rang\""}, "restore 1", 0},
    {"rating", {NULL}, "rating effort=4 neck=2", 0},
    {"note", {NULL}, "note \"saddle nose slides\"", 0},
    {"matters", {NULL}, "matters head=5", 0},
    {"baseline", {"setup 2 pad_rise=40"}, "baseline 2", 0},
    {"choose", {"setup 2 pad_rise=40"}, "choose 2", 0},
    {"slope", {NULL}, "slope 18", 0},
    {"minutes", {NULL}, "minutes 45", 0},
    {"known", {NULL}, "known 4 \"of last year\" spacers=5", 0},
    {"placing", {NULL}, "placing", 0},
    {"limits", {NULL}, "limits spacers=30 pad_rise=5..65", 0},
    {"check", {NULL}, "check still 20s", 1300},
    {"calibrate", {NULL}, "calibrate head 200 400 600 2s pause=1s", 700},
    {"moved", {"build"}, "moved yes", 0},
    {"slipped", {"build"}, "slipped yes setup=1 build=2", 0},
    {"learnt", {NULL}, "learnt rider", 0},
    {"sound", {NULL}, "sound off", 0},
    {"pass", {"minutes 60"}, "pass checks", 0},
    {"remove", {"setup 22 pad_rise=40", "setup 3 spacers=5"}, "remove 22", 0},
    {"same",
     {"setup 2 pad_rise=40", "hold 10s free settle=0s", "setup 3 \"again\""},
     "same 3 2",
     0},
    {"renumber", {"setup 22 pad_rise=40"}, "renumber 22 2", 0},
    {"stop", {"hold 60s free settle=0s"}, "stop", 0},
};
#define TRIES ((int)(sizeof tries / sizeof tries[0]))

static void begin(struct drive *drive)
{
    drive_start(drive, 77);
    drive_describe(drive);
    drive_do(drive, "setup 1 \"as it came\"");
    drive_samples(drive, 800);
}

/* All that is recorded of a session, as text: two that are alike have the same. */
static void write_records(FILE *stream, const struct session_record *record)
{
    for (int id = 0; id < STORED_TABLES; id++) {
        const struct stored_table *table = stored_tables[id];
        if (id == TABLE_COMMAND || table->shape == SHAPE_OWNED) {
            continue;
        }
        struct session_header header;
        session_record_header(record, &header);
        int count = 1;
        if (id != TABLE_SESSION) {
            memcpy(&count, (const char *)record + table->count_offset,
                   table->shape == SHAPE_RECORD ? sizeof count : 1);
            count = table->shape == SHAPE_RECORD ? count : count & 1;
        }
        fprintf(stream, "%s %d\n", table->name, count);
        for (int i = 0; i < count; i++) {
            const char *at = id == TABLE_SESSION
                                 ? (const char *)&header
                                 : (const char *)record + table->offset + (size_t)i * table->size;
            for (int f = 0; f < table->field_count; f++) {
                struct stored_value value;
                if (table->field[f].type == STORED_KEPT) {
                    continue;
                }
                stored_value(&table->field[f], at, 0, &value);
                fprintf(stream, " %s=%d/%lld/%.9g/%s", table->field[f].key, (int)value.is,
                        (long long)value.integer, value.is == STORED_IS_REAL ? value.real : 0.0,
                        value.is == STORED_IS_TEXT ? value.text : "");
            }
            fprintf(stream, "\n");
        }
    }
    for (int k = 0; k < BIKE_KEYS; k++) {
        fprintf(stream, " %g", record->bike.frame.value[k]);
        for (int s = 0; s < record->setup_count; s++) {
            fprintf(stream, " %g", record->setup[s].bike.value[k]);
        }
    }
    for (int c = 0; c < 2; c++) {
        fprintf(stream, "\nmatters %g", record->settings.matters_mm[c]);
        for (int p = 0; p < record->placing_count; p++) {
            const struct channel_record *channel = &record->placing[p].channel[c];
            fprintf(stream, " %s %s %d %g %g %g", channel->name, channel->mark, channel->mounted,
                    channel->mount.x_mm, channel->mount.y_mm, channel->gain);
        }
        for (int b = 0; b < record->band_count; b++) {
            const struct cue_settings *cue = &record->band[b].cue[c];
            fprintf(stream, " band %g %g %g", cue->band_above_mm, cue->band_below_mm,
                    cue->on_delay_s);
        }
    }
    fprintf(stream, "\nlimits %d\n", bike_limits_entered(&record->limits));
}

static char *records_of(const struct session_record *record)
{
    char *text = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&text, &size);
    write_records(stream, record);
    fclose(stream);
    return text;
}

/* The same, what follows from it, and what is in force. */
static char *all_of(struct drive *drive)
{
    const struct session_record *record = session_records(drive->session);
    const struct snapshot *snapshot = drive_snapshot(drive);
    char *text = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&text, &size);
    fprintf(stream, "in force %d %d %d %d\n", snapshot->placing, snapshot->build, snapshot->target,
            snapshot->band);
    write_records(stream, record);
    for (int c = 0; c < 2; c++) {
        for (int b = 0; b < record->build_count; b++) {
            const struct tie *tie = &snapshot->analysis.tie[b][c];
            fprintf(stream, " tie %d %.6f", (int)tie->kind, tie->shift_mm);
        }
        for (int h = 0; h < record->hold_count; h++) {
            bool over = record->hold[h].status != HOLD_RUNNING;
            fprintf(stream, " hold %.6f",
                    over ? snapshot->analysis.hold[h].summary[c].mean_mm : 0.0);
        }
        for (int t = 0; t < record->target_count; t++) {
            fprintf(stream, " target %.6f", snapshot->analysis.target[t][c].height_mm);
        }
    }
    struct view view = {.snapshot = snapshot};
    session_fill_view(drive->session, &view);
    fprintf(stream, "\nminutes %g\n", view.minutes_left + view.session_s / 60.0);
    fprintf(stream, "passed over until %s\n", view.next_step);
    fclose(stream);
    return text;
}

/* Where two differ, the lines of it. */
static void assert_same(const char *is, const char *wanted, const char *when)
{
    size_t at = 0, line = 0;
    while (is[at] != '\0' && is[at] == wanted[at]) {
        line = is[at++] == '\n' ? at : line;
    }
    ck_assert_msg(is[at] == wanted[at], "%s, byte %zu of a line:\n%.700s\n--- not\n%.700s", when,
                  at - line, is + line, wanted + line);
}

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

START_TEST(what_was_done_is_taken_back_and_put_back)
{
    int i = _i;
    struct drive drive;
    begin(&drive);
    for (int b = 0; b < 3 && tries[i].before[b] != NULL; b++) {
        drive_do(&drive, tries[i].before[b]);
        drive_samples(&drive, strncmp(tries[i].before[b], "hold 10s", 8) == 0 ? 600 : 50);
    }
    char *before = all_of(&drive);
    drive_do(&drive, tries[i].line);
    drive_samples(&drive, tries[i].samples);
    char *after = all_of(&drive);
    /* what is heard shows in holds alone */
    ck_assert_msg(strcmp(before, after) != 0 || strcmp(tries[i].word, "sound") == 0,
                  "'%s' did nothing", tries[i].line);
    int events = drive_snapshot(&drive)->event_count;
    drive_do(&drive, "undo");
    const struct snapshot *snapshot = drive_snapshot(&drive);
    ck_assert_int_eq(snapshot->event_count, events + 1);
    ck_assert_str_eq(snapshot->event[events].what, "taken back");
    char *taken_back = all_of(&drive);
    assert_same(taken_back, before, tries[i].line);
    drive_do(&drive, "redo");
    char *put_back = all_of(&drive);
    assert_same(put_back, after, tries[i].line);
    drive_do(&drive, "undo");
    free(put_back);
    put_back = all_of(&drive);
    assert_same(put_back, before, tries[i].line);
    free(before);
    free(after);
    free(taken_back);
    free(put_back);
    drive_end(&drive);
}
END_TEST

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

/* ---- many acts, one after the other ------------------------------------------------------------
 */

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
    char *text = records_of(record);
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
    char *live = all_of(&drive), *records = records_of(session_records(drive.session));
    char *stored = read_again(kept);
    assert_same(stored, records, "stored");

    begin_kept(&replayed, again);
    for (int i = 0; i < kept->count; i++) {
        drive_samples(&replayed, (int)(kept->after[i] - replayed.number));
        drive_do(&replayed, kept->line[i]);
    }
    drive_samples(&replayed, (int)(drive.number - replayed.number));
    char *once_more = all_of(&replayed);
    assert_same(once_more, live, "replayed");
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
    was[0] = all_of(&drive);
    for (int i = 0; i < STEPS; i++) {
        do_some(&drive, &random, 1, false);
        drive_finish(&drive);
        char *now = all_of(&drive);
        if (strcmp(now, was[steps]) != 0) {
            was[++steps] = now;
        } else {
            free(now);
        }
    }
    for (int i = steps; i > 0; i--) {
        char *now = all_of(&drive);
        for (int tries_left = 3; strcmp(now, was[i - 1]) != 0 && tries_left > 0; tries_left--) {
            free(now);
            drive_do(&drive, "undo");
            now = all_of(&drive);
        }
        assert_same(now, was[i - 1], "a step back");
        free(now);
    }
    while (session_command(drive.session, "redo", NULL)) {
    }
    char *now = all_of(&drive);
    assert_same(now, was[steps], "there again");
    free(now);
    for (int i = 0; i <= steps; i++) {
        free(was[i]);
    }
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("undo");
    TCase *tcase = tcase_create("undo");
    tcase_set_timeout(tcase, 60);
    tcase_add_test(tcase, each_command_can_be_taken_back_or_says_why_not);
    tcase_add_loop_test(tcase, what_was_done_is_taken_back_and_put_back, 0, TRIES);
    tcase_add_test(tcase, a_stop_goes_on_while_its_readings_are_there);
    tcase_add_test(tcase, a_stop_long_ago_stays);
    tcase_add_loop_test(tcase, any_order_of_acts_is_stored_and_replayed_alike, 0, 8);
    tcase_add_loop_test(tcase, all_of_it_goes_back_step_by_step, 0, 8);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
