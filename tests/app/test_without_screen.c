/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A terminal of an unknown kind: the screens say so in one line; what needs no screen works. */
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char script[] = "session 2026-01-10T18:00:00Z seed=7\n"
                             "rider R-12 \"winter group\"\n"
                             "setup 1 \"as it came\"\n"
                             "hold 10s free settle=0s\n"
                             "end\n";

static void must(struct program_result result)
{
    ck_assert_msg(result.status == 0, "%s%s", result.output, result.errors);
    program_free(&result);
}

START_TEST(what_needs_no_screen_works)
{
    const char *folder = program_folder();
    ck_assert_int_eq(setenv("TERM", "no-such-terminal", 1), 0);
    program_write_file(folder, "a.session", script);
    must(program_run(folder, NULL,
                     (const char *const[]){"run", "a.session", "virtual:steady?speed=max&seed=3",
                                           "--store", "s.db", NULL}));
    must(program_run(folder, NULL,
                     (const char *const[]){"export", "last", "a.csv", "--store", "s.db", NULL}));
    must(program_run(folder, NULL,
                     (const char *const[]){"export", "last", "a.json", "--store", "s.db", NULL}));
    must(program_run(folder, NULL, (const char *const[]){"show", "last", "--store", "s.db", NULL}));
    must(program_run(folder, "1,259.0,118.0\n2,259.1,118.2\n3,259.2,118.1\n",
                     (const char *const[]){"listen", "-", NULL}));
    size_t length = 0;
    char *readings = program_read_file(folder, "a.csv", &length);
    ck_assert_uint_gt(length, 100);
    free(readings);
    program_folder_remove(folder);
}
END_TEST

START_TEST(the_screens_say_it_in_a_line)
{
    const char *folder = program_folder();
    char store[512], text[4096], second[4096];
    snprintf(store, sizeof store, "%s/s.db", folder);
    const char *const live[] = {program_path(), "live", "virtual:steady", "--store", store, NULL};
    const char *const demo[] = {program_path(), "demo", "--out", folder, NULL};
    const char *const *const commands[] = {live, demo};
    const struct terminal_settings settings = {
        .rows = 24, .columns = 200, .term = "no-such-terminal"};
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        struct terminal *terminal = terminal_start(&settings, commands[i]);
        int status = -1;
        if (terminal == NULL) {
            printf("skipped: no pseudo-terminal here\n");
            break;
        }
        ck_assert(terminal_wait_end(terminal, &status, 20.0));
        ck_assert_int_eq(status, 1);
        terminal_row(terminal, 0, text, sizeof text);
        terminal_row(terminal, 1, second, sizeof second);
        ck_assert_msg(strstr(text, "'no-such-terminal' (TERM) is not known") != NULL, "%s", text);
        ck_assert_str_eq(second, "");
        terminal_end(terminal);
    }
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("without a screen");
    TCase *tests = tcase_create("unknown terminal");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, what_needs_no_screen_works);
    tcase_add_test(tests, the_screens_say_it_in_a_line);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
