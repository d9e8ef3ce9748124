/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "recorder_fixture.h"

#include "app/recorder.h"
#include "store/store.h"
#include "support/full_session.h"
#include "support/test_main.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mount.h>
#include <sys/stat.h>
#include <unistd.h>

/* A disk that fills up: it is told in time, and nothing is lost. */

/* A disk of one megabyte; false (and said) where none can be had. */
static bool make_small_disk(char *disk, size_t size)
{
    snprintf(disk, size, "%s/disk", folder);
    ck_assert_int_eq(mkdir(disk, 0700), 0);
    if (mount("tmpfs", disk, "tmpfs", 0, "size=1m") != 0) {
        printf("skipped: a full disk needs the right to mount one (%s)\n", strerror(errno));
        return false;
    }
    return true;
}

static void fill_disk(const char *file)
{
    static const char block[4096];
    int descriptor = open(file, O_WRONLY | O_CREAT | O_APPEND, 0600);
    ck_assert_int_ge(descriptor, 0);
    while (write(descriptor, block, sizeof block) > 0) {
    }
    close(descriptor);
}

static off_t size_of(const char *file)
{
    struct stat status;
    ck_assert_int_eq(stat(file, &status), 0);
    return status.st_size;
}

static void write_effect(void *context, const struct effect *effect)
{
    ck_assert_msg(store_write_effect(context, effect, &problem), "%s", problem.sentence);
}

static void make_store_at(const char *file, const struct session_record *record)
{
    struct store *store = store_open(file, STORE_RECORD, &problem);
    ck_assert_msg(store != NULL, "%s", problem.sentence);
    ck_assert(store_begin(store, &problem));
    full_session_effects(record, 0, write_effect, store);
    ck_assert(store_commit(store, &problem));
    store_close(store);
}

START_TEST(a_full_disk_loses_nothing)
{
    struct session_record *record = full_session(1);
    char disk[200], ballast[256];
    if (!make_small_disk(disk, sizeof disk)) {
        free(record);
        return;
    }
    snprintf(path, sizeof path, "%s/test.db", disk);
    snprintf(ballast, sizeof ballast, "%s/ballast", disk);
    struct recorder *recorder = start_stored(record, 0, 500);
    struct recorder_state state;
    fill_disk(ballast);
    push(501, 12000);
    EVENTUALLY(recorder, state, state.in_trouble);
    ck_assert_msg(strstr(state.sentence, "no space left") != NULL, "%s", state.sentence);
    ck_assert(!state.samples_lost);
    unlink(ballast);
    EVENTUALLY(recorder, state, state.samples_stored == 12000 && !state.in_trouble);
    ck_assert_msg(recorder_finish(recorder, &problem), "%s", problem.sentence);
    recorder_destroy(recorder);
    check_stored(12000);
    umount(disk);
    free(record);
}
END_TEST

START_TEST(a_disk_that_is_nearly_full_is_told)
{
    struct session_record *record = full_session(1);
    char disk[200], ballast[256];
    if (!make_small_disk(disk, sizeof disk)) {
        free(record);
        return;
    }
    snprintf(path, sizeof path, "%s/test.db", disk);
    snprintf(ballast, sizeof ballast, "%s/ballast", disk);
    make_store_at(path, record);
    fill_disk(ballast);
    ck_assert_int_eq(truncate(ballast, size_of(ballast) - 40000), 0); /* 4 % of the disk */
    struct recorder *recorder = start_recorder(0);
    struct recorder_state state;
    EVENTUALLY(recorder, state, strcmp(state.text, "all stored, 0 MB left on its disk") == 0);
    ck_assert(recorder_finish(recorder, &problem));
    recorder_destroy(recorder);
    umount(disk);
    free(record);
}
END_TEST

START_TEST(a_disk_full_to_the_end_saves_the_rest_elsewhere)
{
    struct session_record *record = full_session(1);
    char disk[200], ballast[256], saved[512];
    if (!make_small_disk(disk, sizeof disk)) {
        free(record);
        return;
    }
    snprintf(path, sizeof path, "%s/test.db", disk);
    snprintf(ballast, sizeof ballast, "%s/ballast", disk);
    setenv("HOME", folder, 1);
    struct recorder *recorder = start_stored(record, 0, 500);
    struct recorder_state state;
    fill_disk(ballast);
    push(501, 12000);
    EVENTUALLY(recorder, state, state.in_trouble && state.samples_taken == 12000);
    uint64_t stored = state.samples_stored;
    ck_assert(!recorder_finish(recorder, &problem));
    recorder_destroy(recorder);
    find_file(folder, "unsaved", saved, sizeof saved);
    char command[700];
    snprintf(command, sizeof command, "test $(grep -c '^\\$' '%s') = %llu", saved,
             12000 - (unsigned long long)stored);
    ck_assert_msg(system(command) == 0, "%s", command);
    check_stored((int64_t)stored);
    umount(disk);
    free(record);
}
END_TEST

static Suite *recorder_suite(void)
{
    Suite *suite = suite_create("recorder on a full disk");
    TCase *tests = tcase_create("full disk");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_test(tests, a_full_disk_loses_nothing);
    tcase_add_test(tests, a_disk_that_is_nearly_full_is_told);
    tcase_add_test(tests, a_disk_full_to_the_end_saves_the_rest_elsewhere);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return test_main(recorder_suite());
}
