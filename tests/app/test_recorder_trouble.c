/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "recorder_fixture.h"

#include "app/recorder.h"
#include "rig/decoder.h"
#include "store/store.h"
#include "support/dead_files.h"
#include "support/full_session.h"
#include "support/test_main.h"

#include <fcntl.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* A store that is locked, refuses a record, or is taken away: nothing is lost. */

START_TEST(a_locked_store_is_waited_for)
{
    struct session_record *record = full_session(1);
    struct store *other = store_open(path, STORE_RECORD, &problem);
    struct recorder *recorder = start_recorder(0);
    struct recorder_state state;
    full_session_effects(record, 1, take_effect, recorder);
    push(1, 6000);
    EVENTUALLY(recorder, state, state.in_trouble && state.samples_waiting == 6000);
    ck_assert(!state.store_open);
    ck_assert_ptr_nonnull(strstr(state.sentence, "there (process"));
    ck_assert_str_eq(state.text, "not stored: 6000 samples wait in memory");
    store_close(other);
    EVENTUALLY(recorder, state, state.samples_stored == 6000);
    ck_assert(!state.in_trouble);
    ck_assert_str_eq(state.sentence, "");
    ck_assert(recorder_finish(recorder, &problem));
    recorder_destroy(recorder);
    check_stored(6000);
    free(record);
}
END_TEST

START_TEST(a_commit_locked_by_another_program_is_tried_again)
{
    struct session_record *record = full_session(1);
    struct recorder *recorder = start_stored(record, 0, 100);
    struct recorder_state state;
    sqlite3 *other = NULL;
    ck_assert_int_eq(sqlite3_open(path, &other), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(other, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
    push(101, 2000);
    EVENTUALLY(recorder, state, state.in_trouble);
    ck_assert_ptr_nonnull(strstr(state.sentence, "locked by another program"));
    ck_assert_str_eq(state.brief, "test.db: it is locked by another program: close that");
    sqlite3_exec(other, "ROLLBACK", NULL, NULL, NULL);
    sqlite3_close(other);
    EVENTUALLY(recorder, state, state.samples_stored == 2000 && !state.in_trouble);
    ck_assert(recorder_finish(recorder, &problem));
    recorder_destroy(recorder);
    check_stored(2000);
    free(record);
}
END_TEST

START_TEST(a_file_that_fails_again_and_again_is_opened_anew)
{
    struct session_record *record = full_session(1);
    struct recorder *recorder = start_stored(record, 0, 500);
    struct recorder_state state;
    dead_files_begin(path); /* for good */
    push(501, 2000);
    EVENTUALLY(recorder, state, state.in_trouble);
    EVENTUALLY(recorder, state, state.samples_stored == 2000 && !state.in_trouble);
    ck_assert_str_eq(state.text, "all stored");
    ck_assert(recorder_finish(recorder, &problem));
    recorder_destroy(recorder);
    check_stored(2000);
    ck_assert_int_eq(number_in_store(path, "SELECT count(*) FROM session"), 1);
    free(record);
}
END_TEST

START_TEST(a_refused_record_holds_nobody_up)
{
    struct session_record *record = full_session(1);
    struct recorder *recorder = start_recorder(0);
    struct recorder_state state;
    struct effect *effect = calloc(1, sizeof *effect);
    effect->kind = EFFECT_BUILD;
    effect->index = 50;
    effect->record.build = record->build[0];
    effect->record.build.uuid.bytes[15] = 0xdd;
    effect->record.build.setup = 30; /* there is none */
    full_session_effects(record, 1, take_effect, recorder);
    recorder_take_effect(recorder, effect);
    push(1, 700);
    EVENTUALLY(recorder, state, state.samples_stored == 700 && state.in_trouble);
    ck_assert_uint_eq(state.effects_waiting, 1);
    /* what it points at comes after all */
    effect->kind = EFFECT_SETUP;
    effect->index = 30;
    effect->record.setup = record->setup[0];
    effect->record.setup.uuid.bytes[15] = 0xcc;
    recorder_take_effect(recorder, effect);
    EVENTUALLY(recorder, state, state.effects_waiting == 0 && !state.in_trouble);
    ck_assert(recorder_finish(recorder, &problem));
    recorder_destroy(recorder);
    ck_assert_int_eq(number_in_store(path, "SELECT count(*) FROM build"), 5);
    free(effect);
    free(record);
}
END_TEST

struct salvaged {
    int64_t count;
    uint64_t lost; /* of the stream, told by its sequence */
};

static void check_salvaged(void *context, const struct raw_sample *raw)
{
    struct salvaged *salvaged = context;
    struct sample sample;
    full_session_sample(++salvaged->count, 2, 1000.0, &sample);
    ck_assert(raw->has_rig_time && raw->has_sequence);
    salvaged->lost += sample.lost_before;
    ck_assert_uint_eq(raw->sequence, (uint64_t)sample.number + salvaged->lost);
    ck_assert_int_eq(raw->rig_time_us, sample.time_us);
    for (int c = 0; c < 2; c++) {
        ck_assert_int_eq(raw->range_tenth_mm[c], sample.range_tenth_mm[c]);
        ck_assert_uint_eq(raw->quality[c], sample.quality[c]);
    }
}

/* How it is taken in is told at the end, and of that session later; of another, or where the file
 * does not say whose it is, it is not. */
static void check_found_again(const struct session_record *record, const char *saved)
{
    char wanted[1024], command[1024], mend[1024];
    struct store_session session = {.uuid = record->uuid, .started_ms = record->started_ms};
    snprintf(wanted, sizeof wanted, "holdline import --store %s %s", path, saved);
    ck_assert_msg(strstr(problem.sentence, wanted) != NULL, "%s", problem.sentence);
    ck_assert(recorder_find_saved(path, &session, command, sizeof command));
    ck_assert_str_eq(command, wanted);
    session.uuid.bytes[15] ^= 1;
    ck_assert(!recorder_find_saved(path, &session, command, sizeof command));
    session.uuid.bytes[15] ^= 1;
    session.started_ms += 86400000;
    ck_assert(!recorder_find_saved(path, &session, command, sizeof command));
    session.started_ms -= 86400000;
    snprintf(mend, sizeof mend, "sed '/^# session/d' '%s' > '%.*s-2.rig'", saved,
             (int)strlen(saved) - 4, saved);
    ck_assert_int_eq(system(mend), 0);
    ck_assert(recorder_find_saved(path, &session, command, sizeof command));
    ck_assert_str_eq(command, wanted);
}

START_TEST(what_cannot_be_stored_is_saved_beside)
{
    struct session_record *record = full_session(1);
    char saved[512];
    static char bytes[400000];
    record->placing_count = 1;
    snprintf(path, sizeof path, "%s/file/test.db", folder); /* no such folder, ever */
    setenv("HOME", folder, 1);
    struct recorder *recorder = start_recorder(0);
    struct recorder_state state;
    full_session_effects(record, 2, take_effect, recorder);
    push(1, 5000);
    EVENTUALLY(recorder, state, state.in_trouble && state.samples_waiting == 5000);
    ck_assert(!recorder_finish(recorder, &problem));
    recorder_destroy(recorder);
    find_file(folder, "test.db.unsaved-2026-01-11", saved, sizeof saved);
    ck_assert_msg(strstr(problem.sentence, saved) != NULL, "%s", problem.sentence);
    ck_assert_ptr_nonnull(strstr(problem.sentence, "5000 samples"));
    check_found_again(record, saved);
    FILE *file = fopen(saved, "rb");
    size_t length = fread(bytes, 1, sizeof bytes, file);
    fclose(file);
    ck_assert_uint_lt(length, sizeof bytes);
    struct decoder_options options = {.dialect = ""};
    struct decoder *decoder = decoder_create(&options, &problem);
    struct salvaged salvaged = {0};
    ck_assert(decoder_feed(decoder, bytes, length, check_salvaged, &salvaged, &problem));
    ck_assert(decoder_finish(decoder, check_salvaged, &salvaged, &problem));
    ck_assert_int_eq(salvaged.count, 5000);
    ck_assert_str_eq(decoder_info(decoder)->channel_name[1], "chest");
    ck_assert_str_eq(decoder_info(decoder)->id, "bench-0");
    ck_assert_uint_eq(salvaged.lost, 46);
    decoder_destroy(decoder);
    bytes[length] = '\0';
    ck_assert_ptr_nonnull(strstr(bytes, "# command 2 after sample 14: note \"command 2\""));
    free(record);
}
END_TEST

static void damage_holds(void)
{
    int64_t root = number_in_store(path, "SELECT rootpage FROM sqlite_schema WHERE name = 'hold'");
    int64_t page = number_in_store(path, "PRAGMA page_size");
    FILE *file = fopen(path, "r+b");
    ck_assert_ptr_nonnull(file);
    fseek(file, (long)((root - 1) * page + 3), SEEK_SET); /* how many rows the page holds */
    fputc(0x7f, file);
    fclose(file);
}

START_TEST(a_damaged_store_is_told_and_nothing_is_lost)
{
    struct session_record *first = full_session(1), *second = full_session(2);
    struct recorder *recorder = start_recorder(0);
    struct recorder_state state;
    char saved[512];
    full_session_effects(first, 1, take_effect, recorder);
    push(1, 2000);
    ck_assert_msg(recorder_finish(recorder, &problem), "%s", problem.sentence);
    recorder_destroy(recorder);
    damage_holds();
    recorder = start_recorder(0);
    full_session_effects(second, 1, take_effect, recorder);
    push(1, 3000);
    EVENTUALLY(recorder, state, state.in_trouble && state.samples_waiting == 3000);
    ck_assert_str_eq(state.text, "not stored: 3000 samples wait in memory");
    ck_assert_msg(strstr(state.brief, "test.db is damaged, nothing goes in: begin "
                                      "again with --store ANOTHER") != NULL,
                  "%s", state.brief);
    ck_assert(!recorder_finish(recorder, &problem));
    recorder_destroy(recorder);
    find_file(folder, "test.db.unsaved-2026-01-1", saved, sizeof saved);
    ck_assert_msg(strstr(problem.sentence, saved) != NULL, "%s", problem.sentence);
    ck_assert_ptr_nonnull(strstr(problem.sentence, "3000 samples"));
    ck_assert_int_eq(number_in_store(path, "SELECT count(*) FROM session"), 1);
    free(first);
    free(second);
}
END_TEST

START_TEST(a_deleted_store_is_put_back)
{
    struct session_record *record = full_session(1);
    struct recorder *recorder = start_stored(record, 1, 2000);
    struct recorder_state state;
    ck_assert_int_eq(unlink(path), 0);
    push(2001, 2500);
    EVENTUALLY(recorder, state, state.samples_stored == 2500);
    ck_assert_msg(!state.in_trouble, "%s", state.sentence);
    ck_assert_str_eq(state.text, "all stored (file put back)");
    check_stored(2500);
    /* all of its files */
    char command[300];
    snprintf(command, sizeof command, "rm '%s'*", path);
    ck_assert_int_eq(system(command), 0);
    push(2501, 3000);
    EVENTUALLY(recorder, state, state.samples_stored == 3000);
    ck_assert_msg(recorder_finish(recorder, &problem), "%s", problem.sentence);
    recorder_destroy(recorder);
    check_stored(3000);
    ck_assert_int_eq(number_in_store(path, "SELECT count(*) FROM session"), 1);
    free(record);
}
END_TEST

START_TEST(a_store_replaced_by_another_file_is_told)
{
    struct session_record *record = full_session(1);
    struct recorder *recorder = start_stored(record, 1, 2000);
    struct recorder_state state;
    char other[300];
    snprintf(other, sizeof other, "%s/moved.db", folder);
    ck_assert_int_eq(rename(path, other), 0);
    FILE *file = fopen(path, "w");
    fputs("a letter", file);
    fclose(file);
    push(2001, 2500);
    EVENTUALLY(recorder, state, state.in_trouble);
    ck_assert_msg(strstr(state.sentence, "is there already") != NULL, "%s", state.sentence);
    ck_assert_int_eq(unlink(path), 0);
    EVENTUALLY(recorder, state, state.samples_stored == 2500 && !state.in_trouble);
    ck_assert(recorder_finish(recorder, &problem));
    recorder_destroy(recorder);
    check_stored(2500);
    free(record);
}
END_TEST

START_TEST(a_deleted_folder_loses_nothing)
{
    struct session_record *record = full_session(1);
    char command[300];
    snprintf(path, sizeof path, "%s/inner", folder);
    ck_assert_int_eq(mkdir(path, 0700), 0);
    snprintf(path, sizeof path, "%s/inner/test.db", folder);
    setenv("HOME", folder, 1);
    struct recorder *recorder = start_stored(record, 1, 2000);
    struct recorder_state state;
    snprintf(command, sizeof command, "rm -r '%s/inner'", folder);
    ck_assert_int_eq(system(command), 0);
    push(2001, 2500);
    EVENTUALLY(recorder, state, state.in_trouble);
    ck_assert(!recorder_finish(recorder, &problem));
    recorder_destroy(recorder);
    snprintf(path, sizeof path, "%s/test.db.rescued", folder);
    ck_assert_msg(strstr(problem.sentence, path) != NULL, "%s", problem.sentence);
    check_stored(2000);
    find_file(folder, "unsaved", command, sizeof command);
    ck_assert_msg(strstr(problem.sentence, "500 samples") != NULL, "%s", problem.sentence);
    free(record);
}
END_TEST

/* What was rescued before has the name already, in every folder. */
START_TEST(a_second_rescue_has_a_name_of_its_own)
{
    struct session_record *record = full_session(1);
    char taken[300], other[300];
    setenv("HOME", folder, 1);
    setenv("TMPDIR", folder, 1);
    snprintf(taken, sizeof taken, "%s/test.db.rescued", folder);
    FILE *file = fopen(taken, "w");
    fputs("of another day", file);
    fclose(file);
    struct recorder *recorder = start_stored(record, 1, 2000);
    struct recorder_state state;
    snprintf(other, sizeof other, "%s/moved.db", folder);
    ck_assert_int_eq(rename(path, other), 0);
    ck_assert_int_eq(mkdir(path, 0700), 0); /* no store can be put back there */
    ck_assert_int_eq(unlink(other), 0);
    push(2001, 2500);
    EVENTUALLY(recorder, state, state.in_trouble);
    ck_assert(!recorder_finish(recorder, &problem));
    recorder_destroy(recorder);
    snprintf(path, sizeof path, "%s/test.db.rescued-2", folder);
    ck_assert_msg(strstr(problem.sentence, path) != NULL, "%s", problem.sentence);
    check_stored(2000);
    unsetenv("TMPDIR");
    free(record);
}
END_TEST

static Suite *recorder_suite(void)
{
    Suite *suite = suite_create("recorder in trouble");
    TCase *tests = tcase_create("trouble");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_test(tests, a_locked_store_is_waited_for);
    tcase_add_test(tests, a_commit_locked_by_another_program_is_tried_again);
    tcase_add_test(tests, a_file_that_fails_again_and_again_is_opened_anew);
    tcase_add_test(tests, a_refused_record_holds_nobody_up);
    tcase_add_test(tests, what_cannot_be_stored_is_saved_beside);
    tcase_add_test(tests, a_damaged_store_is_told_and_nothing_is_lost);
    tcase_add_test(tests, a_deleted_store_is_put_back);
    tcase_add_test(tests, a_store_replaced_by_another_file_is_told);
    tcase_add_test(tests, a_deleted_folder_loses_nothing);
    tcase_add_test(tests, a_second_rescue_has_a_name_of_its_own);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return test_main(recorder_suite());
}
