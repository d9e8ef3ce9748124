/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The file: what it is made of, who may open it, and what is left alone. */
#include "fixture.h"

#include "base/text.h"

#include <string.h>
#include <sys/stat.h>

START_TEST(closing_leaves_one_file)
{
    struct session_record *record = full_session(1);
    struct stat file;
    char other[300];
    struct store *store = open_store(STORE_RECORD);
    write_session(store, record);
    store_close(store);
    static const char *const endings[] = {"-wal", "-shm", "-journal", ".lock"};
    for (size_t i = 0; i < 4; i++) {
        snprintf(other, sizeof other, "%s%s", path, endings[i]);
        ck_assert_msg(stat(other, &file) != 0, "%s is still there", other);
    }
    /* where a reader is still there the log stays, and nothing is lost */
    struct store *reader = open_store(STORE_READ);
    int64_t id = 0;
    store = open_store(STORE_RECORD);
    MUST(store_find_session(reader, "1", &id, &problem));
    struct session_record *second = full_session(2);
    write_session(store, second);
    store_close(store);
    check_loaded(reader, 2, second);
    store_close(reader);
    ck_assert_int_eq(number_of("SELECT count(*) FROM session"), 2);
    free(record);
    free(second);
}
END_TEST

START_TEST(a_second_writer_is_refused_and_readers_are_not)
{
    struct session_record *record = full_session(1);
    struct store *store = open_store(STORE_RECORD);
    write_session(store, record);
    ck_assert_ptr_null(store_open(path, STORE_RECORD, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "another session is being recorded there"));
    ck_assert_ptr_null(store_open(path, STORE_WRITE, &problem));
    char name[300];
    snprintf(name, sizeof name, "%s/other-name.db", folder);
    ck_assert_int_eq(symlink(path, name), 0);
    ck_assert_ptr_null(store_open(name, STORE_RECORD, &problem));
    struct store *reader = open_store(STORE_READ);
    check_loaded(reader, 1, record);
    /* a reader doesn't stop the recording */
    write_session(store, record);
    struct effect *effect = calloc(1, sizeof *effect);
    effect->kind = EFFECT_SESSION;
    ck_assert(!store_begin(reader, &problem) || !store_write_effect(reader, effect, &problem));
    free(effect);
    store_close(reader);
    store_close(store);
    store = open_store(STORE_WRITE);
    store_close(store);
    store_close(open_store(STORE_RECORD));
    free(record);
}
END_TEST

/* Opening is refused in all modes, with this in the sentence, and the file is as it was. */
static void check_left_alone(const char *words)
{
    static char before[65536], after[65536];
    FILE *file = fopen(path, "rb");
    size_t length = fread(before, 1, sizeof before, file);
    fclose(file);
    for (int mode = STORE_RECORD; mode <= STORE_WRITE; mode++) {
        struct store *store = store_open(path, (enum store_mode)mode, &problem);
        ck_assert_ptr_null(store);
        ck_assert_msg(strstr(problem.sentence, words) != NULL, "%s", problem.sentence);
        ck_assert_ptr_nonnull(strstr(problem.sentence, path));
    }
    file = fopen(path, "rb");
    ck_assert_uint_eq(fread(after, 1, sizeof after, file), length);
    fclose(file);
    ck_assert_mem_eq(before, after, length);
    char command[400];
    snprintf(command, sizeof command, "test \"$(ls -A '%s' | wc -l)\" = 1", folder);
    ck_assert_int_eq(system(command), 0);
}

START_TEST(a_store_is_free_but_while_it_is_written)
{
    MUST(store_is_free(path, &problem));
    struct store *store = open_store(STORE_RECORD);
    ck_assert(!store_is_free(path, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "another session is being recorded there"));
    struct store *reader = open_store(STORE_READ);
    store_close(store);
    MUST(store_is_free(path, &problem));
    store_close(reader);
}
END_TEST

START_TEST(a_file_that_is_no_store_is_left_alone)
{
    FILE *file = fopen(path, "w");
    for (int i = 0; i < 500; i++) {
        fprintf(file, "a letter, line %d\n", i);
    }
    fclose(file);
    check_left_alone("not a Holdline store");
}
END_TEST

START_TEST(another_programs_database_is_left_alone)
{
    run_sql("CREATE TABLE recipe (name TEXT); INSERT INTO recipe VALUES ('soup')");
    check_left_alone("another program");
}
END_TEST

START_TEST(another_programs_log_database_is_left_alone)
{
    run_sql("PRAGMA application_id = 77; CREATE TABLE recipe (name TEXT)");
    check_left_alone("another program");
}
END_TEST

START_TEST(a_newer_store_is_left_alone)
{
    store_close(open_store(STORE_RECORD));
    run_sql("PRAGMA user_version = 9999; VACUUM");
    char sql[64];
    snprintf(sql, sizeof sql, "newer Holdline (store version 9999");
    check_left_alone(sql);
}
END_TEST

START_TEST(paths_that_cannot_be)
{
    char bad[300];
    ck_assert_ptr_null(store_open(folder, STORE_RECORD, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "a folder"));
    ck_assert_ptr_null(store_open("/dev/null", STORE_RECORD, &problem));
    ck_assert_ptr_null(store_open("", STORE_RECORD, &problem));
    ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
    ck_assert_ptr_null(store_open(path, STORE_READ, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "there is no store at"));
    ck_assert_ptr_null(store_open(path, STORE_WRITE, &problem));
    snprintf(bad, sizeof bad, "%s/no/such/folder.db", folder);
    ck_assert_ptr_null(store_open(bad, STORE_RECORD, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "folder.db: its folder is not there: make it"));
    char command[400];
    snprintf(command, sizeof command, "test -z \"$(ls -A '%s')\"", folder);
    ck_assert_int_eq(system(command), 0);
}
END_TEST

/* As somebody who may read and not write: the superuser may do everything. */
START_TEST(a_folder_that_may_not_be_written_is_told)
{
    struct session_record *record = full_session(1);
    char new_path[300];
    make_store(path, 1, 1);
    ck_assert_int_eq(chmod(path, 0444), 0);
    ck_assert_int_eq(chmod(folder, 0555), 0);
    if (getuid() == 0 && seteuid(65534) != 0) {
        printf("skipped: a read-only folder, as another user can't be taken on\n");
        free(record);
        return;
    }
    snprintf(new_path, sizeof new_path, "%s/new.db", folder);
    ck_assert_ptr_null(store_open(new_path, STORE_RECORD, &problem));
    ck_assert_msg(strstr(problem.sentence, "may not be written by you") != NULL, "%s",
                  problem.sentence);
    ck_assert_ptr_null(store_open(path, STORE_RECORD, &problem));
    ck_assert_msg(strstr(problem.sentence, "may not be written by you") != NULL, "%s",
                  problem.sentence);
    ck_assert_ptr_null(store_open(path, STORE_WRITE, &problem));
    /* a sealed store is read all the same */
    struct store *store = open_store(STORE_READ);
    check_loaded(store, 1, record);
    store_close(store);
    ck_assert(getuid() != 0 || seteuid(0) == 0);
    ck_assert_int_eq(chmod(folder, 0755), 0);
    /* the folder may be written, the file may not */
    ck_assert(getuid() != 0 || (chown(folder, 65534, 65534) == 0 && seteuid(65534) == 0));
    ck_assert_ptr_null(store_open(path, STORE_RECORD, &problem));
    ck_assert_msg(strstr(problem.sentence, "may not be written") != NULL, "%s", problem.sentence);
    ck_assert(getuid() != 0 || seteuid(0) == 0);
    free(record);
}
END_TEST

START_TEST(an_empty_file_becomes_a_store)
{
    FILE *file = fopen(path, "w");
    fclose(file);
    ck_assert_ptr_null(store_open(path, STORE_READ, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "is empty"));
    store_close(open_store(STORE_RECORD));
    store_close(open_store(STORE_READ));
}
END_TEST

START_TEST(the_default_path_follows_the_environment)
{
    char got[4096], expected[300];
    setenv("HOLDLINE_STORE", "/somewhere/else.db", 1);
    MUST(store_default_path(got, sizeof got, &problem));
    ck_assert_str_eq(got, "/somewhere/else.db");
    store_option_words(got, sizeof got, "/somewhere/else.db");
    ck_assert_str_eq(got, "");
    store_option_words(got, sizeof got, "my own.db");
    ck_assert_str_eq(got, " --store 'my own.db'");
    unsetenv("HOLDLINE_STORE");
    setenv("XDG_DATA_HOME", folder, 1);
    MUST(store_default_path(got, sizeof got, &problem));
    snprintf(expected, sizeof expected, "%s/holdline/holdline.db", folder);
    ck_assert_str_eq(got, expected);
    /* its folders are made, for the person alone */
    struct store *store = store_open(got, STORE_RECORD, &problem);
    ck_assert_ptr_nonnull(store);
    store_close(store);
    struct stat file;
    snprintf(expected, sizeof expected, "%s/holdline", folder);
    ck_assert_int_eq(stat(expected, &file), 0);
    ck_assert_int_eq((int)(file.st_mode & 0777), 0700);
    unsetenv("XDG_DATA_HOME");
    setenv("HOME", "/home/nobody", 1);
    MUST(store_default_path(got, sizeof got, &problem));
    ck_assert_str_eq(got, "/home/nobody/.local/share/holdline/holdline.db");
    unsetenv("HOME");
    ck_assert(!store_default_path(got, sizeof got, &problem));
    setenv("HOLDLINE_STORE", "/somewhere/else.db", 1);
    ck_assert(!store_default_path(got, 5, &problem));
}
END_TEST

START_TEST(a_store_in_memory_serves_replays)
{
    struct session_record *record = full_session(1);
    struct store *store = store_open(":memory:", STORE_RECORD, &problem);
    ck_assert_ptr_nonnull(store);
    write_session(store, record);
    check_loaded(store, 1, record);
    store_close(store);
    free(record);
}
END_TEST

/* On disk, sealed, with the delays and times of a real hour: at most 34 bytes a sample of two
 * channels and 54 of eight. */
static double bytes_a_sample(int channels)
{
    struct session_record *record = full_session(1);
    struct store *store = open_store(STORE_RECORD);
    struct stat empty, full;
    const int64_t count = 180000;
    record->placing[1].channel_count = channels;
    MUST(store_begin(store, &problem));
    full_session_effects(record, 0, write_effect, store);
    MUST(store_commit(store, &problem));
    store_close(store);
    ck_assert_int_eq(stat(path, &empty), 0);
    store = open_store(STORE_RECORD);
    run_sql("UPDATE session SET ended = 0");
    MUST(store_resume(store, 1, &problem));
    for (int64_t number = 1; number <= count;) {
        MUST(store_begin(store, &problem));
        for (int i = 0; i < 1000; i++, number++) {
            struct sample sample;
            full_session_sample(number, channels, 50.0, &sample);
            MUST(store_write_samples(store, &sample, 1, &problem));
        }
        MUST(store_commit(store, &problem));
    }
    store_close(store);
    ck_assert_int_eq(stat(path, &full), 0);
    free(record);
    return (double)(full.st_size - empty.st_size) / (double)count;
}

START_TEST(two_channels_take_34_bytes)
{
    double bytes = bytes_a_sample(2);
    ck_assert_msg(bytes <= 34.0 && bytes > 20.0, "%f bytes a sample", bytes);
}
END_TEST

START_TEST(eight_channels_take_54_bytes)
{
    double bytes = bytes_a_sample(8);
    ck_assert_msg(bytes <= 54.0 && bytes > 30.0, "%f bytes a sample", bytes);
}
END_TEST

static Suite *file_suite(void)
{
    Suite *suite = suite_create("store file");
    TCase *tests = tcase_create("store file");
    tcase_set_timeout(tests, 30);
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_test(tests, a_store_is_free_but_while_it_is_written);
    tcase_add_test(tests, closing_leaves_one_file);
    tcase_add_test(tests, a_second_writer_is_refused_and_readers_are_not);
    tcase_add_test(tests, a_file_that_is_no_store_is_left_alone);
    tcase_add_test(tests, another_programs_database_is_left_alone);
    tcase_add_test(tests, another_programs_log_database_is_left_alone);
    tcase_add_test(tests, a_newer_store_is_left_alone);
    tcase_add_test(tests, paths_that_cannot_be);
    tcase_add_test(tests, a_folder_that_may_not_be_written_is_told);
    tcase_add_test(tests, an_empty_file_becomes_a_store);
    tcase_add_test(tests, the_default_path_follows_the_environment);
    tcase_add_test(tests, a_store_in_memory_serves_replays);
    tcase_add_test(tests, two_channels_take_34_bytes);
    tcase_add_test(tests, eight_channels_take_54_bytes);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return test_main(file_suite());
}
