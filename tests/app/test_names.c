/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What sessions, files and commands are called on the command line, and what wrong calls get. */

#include "support/program.h"
#include "support/test_main.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define RUN(folder, ...) program_run(folder, NULL, (const char *const[]){__VA_ARGS__, NULL})

static const char *folder;

static void run_session(const char *start, const char *code)
{
    char script[200];
    snprintf(script, sizeof script,
             "session %s seed=7\nrider %s\nsetup 1\nhold 5s free settle=0s\n"
             "end\n",
             start, code);
    program_write_file(folder, "script.txt", script);
    struct program_result result =
        RUN(folder, "run", "script.txt", "virtual:?speed=max", "--store", "s.db");
    ck_assert_msg(result.status == 0, "%s", result.errors);
    program_free(&result);
}

static void make(void)
{
    setenv("TZ", "UTC", 1);
    folder = program_folder();
    run_session("2026-01-10T18:00:00Z", "R-07");
    run_session("2026-01-12T10:00:00Z", "R-21");
    run_session("2026-01-12T18:00:00Z", "R-07");
}

static void remove_all(void)
{
    program_folder_remove(folder);
}

/* status, a part of what is told on either stream. */
static void check(const char *const *words, int status, const char *output, const char *errors)
{
    struct program_result result = program_run(folder, NULL, words);
    ck_assert_msg(result.status == status && strstr(result.output, output) != NULL &&
                      strstr(result.errors, errors) != NULL,
                  "%s %s: status %d, '%.300s', '%s'", words[0], words[1] != NULL ? words[1] : "",
                  result.status, result.output, result.errors);
    program_free(&result);
}
#define CHECK(status, output, errors, ...)                                                         \
    check((const char *const[]){__VA_ARGS__, NULL}, status, output, errors)

START_TEST(sessions_are_found_by_day_and_near_codes_are_told)
{
    CHECK(0, "2026-01-10", "", "show", "2026-01-10", "--store", "s.db");
    CHECK(1, "", "on 2026-01-12 there are 2 sessions: say 2, 3", "show", "2026-01-12", "--store",
          "s.db");
    CHECK(1, "", "'holdline list' shows", "show", "2026-01-11", "--store", "s.db");
    CHECK(1, "", "did you mean R-21?", "show", "R-12", "--store", "s.db");
    CHECK(1, "", "did you mean R-07?", "export", "R-7", "a.csv", "--store", "s.db");
}
END_TEST

START_TEST(files_are_named_by_rider_and_day)
{
    CHECK(2, "", "export 2 R-21-2026-01-12.pdf", "export", "2", "--store", "s.db");
    CHECK(0, "", "written: R-21-2026-01-12-setups.csv", "export", "2", "--kind", "setups.csv",
          "--store", "s.db");
    CHECK(0, "", "R-07-2026-01-12.csv", "export", "1", "3", "--kind", "csv", "--store", "s.db");
    free(program_read_file(folder, "R-07-2026-01-10.csv", NULL));
    free(program_read_file(folder, "R-21-2026-01-12-setups.csv", NULL));
    CHECK(1, "", "is there already", "export", "1", "--kind", "csv", "--store", "s.db");
    /* The one that is there goes on to the next. */
    CHECK(1, "", "written: R-21-2026-01-12.csv", "export", "1", "2", "--kind", "csv", "--store",
          "s.db");
    CHECK(2, "", "'xyz' is no kind", "export", "1", "--kind", "xyz", "--store", "s.db");
    CHECK(2, "", "which kind goes to standard output", "export", "1", "-", "--store", "s.db");
    /* Standard output has the same bytes as the file. */
    char *file = program_read_file(folder, "R-21-2026-01-12.csv", NULL);
    struct program_result result =
        RUN(folder, "export", "2", "-", "--kind", "csv", "--store", "s.db");
    ck_assert_int_eq(result.status, 0);
    ck_assert_str_eq(result.output, file);
    program_free(&result);
    free(file);
}
END_TEST

START_TEST(help_and_version_have_their_usual_names)
{
    CHECK(0, "holdline COMMAND", "", "help");
    CHECK(0, "holdline show SESSION", "", "help", "show");
    CHECK(2, "", "did you mean 'holdline show'?", "help", "shwo");
    CHECK(0, "holdline 0.", "", "-V");
    CHECK(0, "holdline 0.", "", "show", "-V");
    program_write_file(folder, "typo.txt", "session 2026-01-10T18:00:00Z\nhlod 60s\n");
    CHECK(1, "", "typo.txt:2: there is no command 'hlod'; did you mean 'hold'?", "run", "typo.txt");
    program_write_file(folder, "typo.txt", "session 2026-01-10T18:00:00Z\nxyzzy\n");
    CHECK(1, "", "there is no command 'xyzzy'\n", "run", "typo.txt");
}
END_TEST

static int files(void)
{
    int count = 0;
    DIR *all = opendir(folder);
    ck_assert_ptr_nonnull(all);
    while (readdir(all) != NULL) {
        count++;
    }
    closedir(all);
    return count;
}

/* A hundred and more: each command with what it can't take. One sentence that begins with the
 * program's name, exit status 1 or 2, nothing on standard output and nothing written. */
START_TEST(wrong_calls_get_a_sentence_and_write_nothing)
{
    static const char *const commands[] = {"live",   "demo",   "listen", "check", "calibrate",
                                           "plate",  "run",    "watch",  "tell",  "measure",
                                           "import", "replay", "list",   "show",  "compare",
                                           "export", "place",  "plan",   "store"};
    static const char *const wrong[][4] = {
        {"--bogus", NULL},
        {"--store", NULL},
        {"no-such-thing-here", "--bogus=7", NULL},
        {"99", "nowhere/x.y", "--seed", "x"},
        {"", "", NULL},
        {"--", "--", "--json=no", NULL},
    };
    int tried = 0;
    const int before = files();
    for (size_t c = 0; c < sizeof commands / sizeof commands[0]; c++) {
        for (size_t w = 0; w < sizeof wrong / sizeof wrong[0]; w++) {
            const char *words[8] = {commands[c]};
            for (int i = 0; i < 4 && wrong[w][i] != NULL; i++) {
                words[i + 1] = wrong[w][i];
            }
            struct program_result result = program_run(folder, "", words);
            const char *said = strstr(result.errors, "holdline: ");
            ck_assert_msg(result.status == 1 || result.status == 2, "%s, %zu: status %d, '%.200s'",
                          commands[c], w, result.status, result.errors);
            ck_assert_msg(said != NULL && strlen(said) > 20, "%s, %zu: '%s'", commands[c], w,
                          result.errors);
            ck_assert_msg(result.output[0] == '\0', "%s, %zu: '%.200s'", commands[c], w,
                          result.output);
            program_free(&result);
            tried++;
        }
    }
    ck_assert_int_gt(tried, 100);
    ck_assert_int_eq(files(), before);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("names");
    TCase *tests = tcase_create("names");
    tcase_set_timeout(tests, 60);
    tcase_add_unchecked_fixture(tests, make, remove_all);
    tcase_add_test(tests, sessions_are_found_by_day_and_near_codes_are_told);
    tcase_add_test(tests, files_are_named_by_rider_and_day);
    tcase_add_test(tests, help_and_version_have_their_usual_names);
    tcase_add_test(tests, wrong_calls_get_a_sentence_and_write_nothing);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
