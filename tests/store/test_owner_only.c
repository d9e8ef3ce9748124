/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fixture.h"

#include "store/care.h"

#include <dirent.h>
#include <fcntl.h>
#include <sys/stat.h>

/* What a store makes is its owner's alone, and nothing is written through a link. */

/* Fails where others have a right on any file of the folder. Gives how many there are. */
static int look_at_folder(void)
{
    int count = 0;
    DIR *listing = opendir(folder);
    ck_assert_ptr_nonnull(listing);
    for (struct dirent *entry = readdir(listing); entry != NULL; entry = readdir(listing)) {
        struct stat file;
        char name[600];
        snprintf(name, sizeof name, "%s/%s", folder, entry->d_name);
        ck_assert_int_eq(lstat(name, &file), 0);
        if (S_ISREG(file.st_mode)) {
            ck_assert_msg((file.st_mode & 077) == 0, "%s is of mode %o", name,
                          (unsigned)file.st_mode & 0777);
            count++;
        }
    }
    closedir(listing);
    return count;
}

START_TEST(all_a_store_makes_is_its_owners)
{
    char copy[300];
    umask(_i == 0 ? 0 : 022);
    snprintf(copy, sizeof copy, "%s/copy.db", folder);
    struct session_record *record = full_session(1);
    struct store *store = open_store(STORE_RECORD);
    write_session(store, record);
    struct store *reader = open_store(STORE_READ);
    MUST(store_backup(reader, copy, NULL, &problem));
    /* store, log, its index, lock, copy, list of copies */
    ck_assert_int_eq(look_at_folder(), 6);
    store_close(reader);
    store_close(store);
    ck_assert_int_eq(look_at_folder(), 3);
    free(record);
}
END_TEST

START_TEST(a_store_of_before_is_closed_to_others)
{
    char command[600];
    umask(022);
    snprintf(command, sizeof command, "cp '%s' '%s' && chmod 666 '%s'",
             source_path("tests/store/data/version-1.db"), path, path);
    ck_assert_int_eq(system(command), 0);
    store_close(open_store(STORE_WRITE));
    ck_assert_int_eq(look_at_folder(),
                     3); /* with the copy before it was brought up, and the list */
}
END_TEST

static char victim[300];

static void make_victim(void)
{
    snprintf(victim, sizeof victim, "%s/victim", folder);
    int descriptor = open(victim, O_CREAT | O_WRONLY, 0600);
    ck_assert_int_eq(write(descriptor, "kept", 4), 4);
    close(descriptor);
}

static void victim_is_whole(void)
{
    struct stat file;
    ck_assert_int_eq(lstat(victim, &file), 0);
    ck_assert_int_eq(file.st_size, 4);
}

START_TEST(nothing_is_written_through_a_link)
{
    static const char *const endings[] = {".lock", "-wal", "-journal", "-shm"};
    make_victim();
    for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
        for (int hard = 0; hard < (i == 0 ? 2 : 1); hard++) {
            char name[300];
            snprintf(name, sizeof name, "%s%s", path, endings[i]);
            ck_assert_int_eq(hard == 0 ? symlink(victim, name) : link(victim, name), 0);
            struct store *store = store_open(path, STORE_RECORD, &problem);
            if (i == 0) {
                ck_assert_ptr_null(store);
                ck_assert_msg(strstr(problem.sentence, "no plain file of your own") != NULL, "%s",
                              problem.sentence);
                ck_assert_int_ne(access(path, F_OK), 0);
            }
            store_close(store);
            victim_is_whole();
            unlink(name);
            unlink(path);
        }
    }
    /* nor is a store made where a link points */
    unlink(victim);
    ck_assert_int_eq(symlink(victim, path), 0);
    ck_assert_ptr_null(store_open(path, STORE_RECORD, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "a link to what is not there"));
    ck_assert_int_ne(access(victim, F_OK), 0);
}
END_TEST

START_TEST(a_copy_and_the_list_of_copies_follow_no_link)
{
    char copy[300], name[400];
    make_store(path, 1, 1);
    make_victim();
    snprintf(copy, sizeof copy, "%s/copy.db", folder);
    struct store *reader = open_store(STORE_READ);
    ck_assert_int_eq(symlink(victim, copy), 0);
    ck_assert(!store_backup(reader, copy, NULL, &problem));
    unlink(copy);
    snprintf(name, sizeof name, "%s.part", copy);
    ck_assert_int_eq(symlink(victim, name), 0);
    MUST(store_backup(reader, copy, NULL, &problem));
    victim_is_whole();
    snprintf(name, sizeof name, "%s.backups", path);
    unlink(name);
    unlink(copy);
    ck_assert_int_eq(symlink(victim, name), 0);
    MUST(store_backup(reader, copy, NULL, &problem));
    victim_is_whole();
    store_close(reader);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("owner only");
    TCase *tests = tcase_create("owner only");
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_loop_test(tests, all_a_store_makes_is_its_owners, 0, 2);
    tcase_add_test(tests, a_store_of_before_is_closed_to_others);
    tcase_add_test(tests, nothing_is_written_through_a_link);
    tcase_add_test(tests, a_copy_and_the_list_of_copies_follow_no_link);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
