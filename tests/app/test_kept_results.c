/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What was worked out once is read again, and never where it may be another's. */

#include "support/program.h"
#include "support/test_main.h"

#include <dirent.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define RUN(folder, ...) program_run(folder, NULL, (const char *const[]){__VA_ARGS__, NULL})

static const char *folder;
static char cache[512];

static const char script[] =
    "session 2026-01-10T18:00:00Z seed=7\nrider R-07\n"
    "bike \"training bike\" stack=545 reach=410 head_angle=73 headset_cap=10 spacers=20"
    " stem_length=100 stem_angle=-6 pad_rise=60\n"
    "sensor head carrier=base_bar x=110 y=40\n"
    "setup 1\ntarget until=3mm at_least=20s at_most=20s settle=0s\nband head=+10/-20\n"
    "hold 21s free settle=1s\nsetup 2 spacers=0\nhold 21s guided settle=1s\nend\n";

static char *told(const char *const *words)
{
    struct program_result result = program_run(folder, NULL, words);
    ck_assert_msg(result.status == 0, "exit status %d: %s", result.status, result.errors);
    char *text = strdup(result.output);
    program_free(&result);
    return text;
}
#define TOLD(...) told((const char *const[]){__VA_ARGS__, NULL})

/* The file that is kept, or "" where there is none. */
static const char *kept(void)
{
    static char path[1024];
    char sub[600];
    path[0] = '\0';
    snprintf(sub, sizeof sub, "%s/holdline", cache);
    DIR *all = opendir(sub);
    const struct dirent *entry;
    while (all != NULL && (entry = readdir(all)) != NULL) {
        if (entry->d_name[0] != '.') {
            snprintf(path, sizeof path, "%s/%s", sub, entry->d_name);
        }
    }
    if (all != NULL) {
        closedir(all);
    }
    return path;
}

static void make(void)
{
    folder = program_folder();
    snprintf(cache, sizeof cache, "%s/cache", folder);
    ck_assert_int_eq(setenv("XDG_CACHE_HOME", cache, 1), 0);
    program_write_file(folder, "script.txt", script);
    struct program_result result =
        RUN(folder, "run", "script.txt", "virtual:?speed=max", "--store", "s.db");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
}

static void remove_all(void)
{
    program_folder_remove(folder);
}

static void forget_kept(void)
{
    if (kept()[0] != '\0') {
        ck_assert_int_eq(unlink(kept()), 0);
    }
}

START_TEST(what_is_kept_gives_the_same)
{
    static const char *const commands[][5] = {{"show", "1", "--store", "s.db", NULL},
                                              {"compare", "1", "--store", "s.db", NULL},
                                              {"show", "1", "--json", "--store", "s.db"}};
    for (size_t i = 0; i < 3; i++) {
        const char *words[6] = {commands[i][0], commands[i][1], commands[i][2],
                                commands[i][3], commands[i][4], NULL};
        forget_kept();
        char *anew = told(words);
        struct stat status;
        ck_assert_int_eq(stat(kept(), &status), 0);
        ck_assert_int_eq(status.st_mode & 0777, 0600);
        char *again = told(words);
        ck_assert_str_eq(anew, again);
        free(anew);
        free(again);
    }
}
END_TEST

/* A kept file that was changed by one byte, or cut, is not believed. */
START_TEST(what_is_damaged_is_worked_out_again)
{
    forget_kept();
    char *anew = TOLD("show", "1", "--store", "s.db");
    struct stat status;
    ck_assert_int_eq(stat(kept(), &status), 0);
    for (off_t at = 0; at < status.st_size; at += status.st_size / 7 + 1) {
        FILE *file = fopen(kept(), "r+b");
        ck_assert_ptr_nonnull(file);
        fseeko(file, at, SEEK_SET);
        int byte = fgetc(file);
        fseeko(file, at, SEEK_SET);
        fputc(byte ^ 0x41, file);
        fclose(file);
        char *again = TOLD("show", "1", "--store", "s.db");
        ck_assert_str_eq(anew, again);
        free(again);
    }
    ck_assert_int_eq(truncate(kept(), status.st_size / 2), 0);
    char *again = TOLD("show", "1", "--store", "s.db");
    ck_assert_str_eq(anew, again);
    free(again);
    free(anew);
}
END_TEST

/* A sample that is another is seen: the store's file has changed. */
START_TEST(a_store_that_changed_is_read_again)
{
    char path[600];
    sqlite3 *db = NULL;
    free(TOLD("show", "1", "--store", "s.db"));
    snprintf(path, sizeof path, "%s/s.db", folder);
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    ck_assert_int_eq(
        sqlite3_exec(db, "UPDATE sample SET v1 = v1 + 7 WHERE n = 1300", NULL, NULL, NULL),
        SQLITE_OK);
    sqlite3_close(db);
    for (int i = 0; i < 2; i++) { /* and nothing is kept of what is damaged */
        struct program_result result = RUN(folder, "show", "1", "--store", "s.db");
        ck_assert_int_eq(result.status, 1);
        program_free(&result);
    }
}
END_TEST

START_TEST(a_rider_who_is_forgotten_is_forgotten_here_too)
{
    free(TOLD("show", "1", "--store", "s.db"));
    ck_assert_str_ne(kept(), "");
    free(TOLD("store", "forget", "R-07", "--yes", "--store", "s.db"));
    ck_assert_str_eq(kept(), "");
}
END_TEST

/* A folder that can't be had is no failure. */
START_TEST(without_a_folder_it_is_worked_out)
{
    forget_kept();
    char *anew = TOLD("show", "1", "--store", "s.db");
    ck_assert_int_eq(setenv("XDG_CACHE_HOME", "/proc/nowhere", 1), 0);
    char *again = TOLD("show", "1", "--store", "s.db");
    ck_assert_str_eq(anew, again);
    free(anew);
    free(again);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("kept_results");
    TCase *tests = tcase_create("kept_results");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, make, remove_all);
    tcase_add_test(tests, what_is_kept_gives_the_same);
    tcase_add_test(tests, what_is_damaged_is_worked_out_again);
    tcase_add_test(tests, a_store_that_changed_is_read_again);
    tcase_add_test(tests, a_rider_who_is_forgotten_is_forgotten_here_too);
    tcase_add_test(tests, without_a_folder_it_is_worked_out);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
