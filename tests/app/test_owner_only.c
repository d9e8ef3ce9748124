/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/program.h"
#include "support/test_main.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Whatever the program makes is its user's alone. */

static const char *folder;

static void begin(void)
{
    char command[600];
    folder = program_folder();
    snprintf(command, sizeof command, "umask 077 && cp -r '%s'/* '%s'", source_path("sessions"),
             folder);
    ck_assert_int_eq(system(command), 0);
    umask(0); /* the program gets it, too */
}

static void end(void)
{
    program_folder_remove(folder);
}

static void must(const char *const *arguments)
{
    struct program_result result = program_run(folder, "", arguments);
    ck_assert_msg(result.status == 0, "%s: %s%s", arguments[0], result.output, result.errors);
    program_free(&result);
}

/* How many files there are, all of them of mode 0600; folders of 0700. */
static int look_at(const char *path)
{
    int count = 0;
    DIR *listing = opendir(path);
    ck_assert_ptr_nonnull(listing);
    for (struct dirent *entry = readdir(listing); entry != NULL; entry = readdir(listing)) {
        struct stat file;
        char name[1024];
        snprintf(name, sizeof name, "%s/%s", path, entry->d_name);
        ck_assert_int_eq(lstat(name, &file), 0);
        if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0) {
            continue;
        }
        ck_assert_msg((file.st_mode & 077) == 0, "%s is of mode %o", name,
                      (unsigned)file.st_mode & 0777);
        count += S_ISDIR(file.st_mode) ? look_at(name) : 1;
    }
    closedir(listing);
    return count;
}

START_TEST(stores_exports_and_copies_are_their_users_alone)
{
    static const char *const exports[] = {
        "a.txt",          "a.json",       "a.html",      "a.csv",       "a.svg", "a-sheet.html",
        "a-readings.csv", "a-setups.csv", "a-steps.csv", "a-holds.svg", "a.pdf"};
    char data[256];
    snprintf(data, sizeof data, "%s/data", folder);
    int before = look_at(folder);
    setenv("XDG_DATA_HOME", data, 1);
    unsetenv("HOLDLINE_STORE");
    const char *const run[] = {"run", "spacers-out.session", NULL};
    const char *const backup[] = {"store", "backup", NULL};
    must(run);
    must(backup);
    for (size_t i = 0; i < sizeof exports / sizeof exports[0]; i++) {
        const char *const one[] = {"export", "last", exports[i], NULL};
        must(one);
    }
    /* store, copy, list of copies */
    ck_assert_int_eq(look_at(folder), before + 3 + (int)(sizeof exports / sizeof exports[0]));
}
END_TEST

/* An export that replaces a file that everybody may read. */
START_TEST(an_export_over_another_is_no_longer_everybodys)
{
    char path[256];
    struct stat file;
    const char *const run[] = {"run", "spacers-out.session", "--store", "test.db", NULL};
    const char *const replace[] = {"export",  "last",    "out.txt", "--replace",
                                   "--store", "test.db", NULL};
    must(run);
    program_write_file(folder, "out.txt", "before");
    snprintf(path, sizeof path, "%s/out.txt", folder);
    ck_assert_int_eq(chmod(path, 0644), 0);
    must(replace);
    ck_assert_int_eq(stat(path, &file), 0);
    ck_assert_uint_eq(file.st_mode & 0777, 0600);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("owner only");
    TCase *tests = tcase_create("owner only");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, stores_exports_and_copies_are_their_users_alone);
    tcase_add_test(tests, an_export_over_another_is_no_longer_everybodys);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
