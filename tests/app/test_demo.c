/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is left after a session by hand in the demo, and that the next one takes nothing away. */
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

static bool ride_and_leave(const char *folder, const char *told)
{
    const char *arguments[] = {program_path(), "demo", "--out", folder, NULL};
    struct terminal_settings settings = {.rows = 24, .columns = 100};
    struct terminal *terminal = terminal_start(&settings, arguments);
    if (terminal == NULL) {
        return false;
    }
    ck_assert(terminal_wait_text(terminal, "50.0/s", 20.0));
    terminal_send(terminal, "q");
    ck_assert(terminal_wait_text(terminal, "y ", 20.0));
    terminal_send(terminal, "y");
    ck_assert(terminal_wait_text(terminal, told, 20.0));
    ck_assert(terminal_wait_text(terminal, "holdline compare ", 20.0));
    ck_assert(terminal_wait_text(terminal, "--store ", 20.0));
    terminal_end(terminal);
    return true;
}

static void count_sessions(const char *folder, int wanted)
{
    const char *arguments[] = {"list", "--store", "holdline-demo.db", "--json", NULL};
    struct program_result result = program_run(folder, NULL, arguments);
    int found = 0;
    ck_assert_int_eq(result.status, 0);
    for (const char *at = result.output; (at = strstr(at, "\"started\"")) != NULL; at++) {
        found++;
    }
    ck_assert_msg(found == wanted, "%d sessions in %s", found, result.output);
    program_free(&result);
}

START_TEST(a_demo_is_kept_when_the_next_begins)
{
    const char *folder = program_folder();
    if (ride_and_leave(folder, "Session 1 is in ")) {
        count_sessions(folder, 1);
        ck_assert(ride_and_leave(folder, "Session 2 is in "));
        count_sessions(folder, 2);
        const char *headless[] = {"demo", "--headless", NULL};
        struct program_result result = program_run(folder, NULL, headless);
        ck_assert_int_eq(result.status, 0);
        program_free(&result);
        count_sessions(folder, 2);
    }
    program_folder_remove(folder);
}
END_TEST

START_TEST(a_folder_that_is_not_there_is_named)
{
    const char *folder = program_folder();
    const char *arguments[] = {"demo", "--headless", "--out", "nowhere", NULL};
    struct program_result result = program_run(folder, NULL, arguments);
    ck_assert_int_eq(result.status, 1);
    ck_assert_str_eq(result.errors, "holdline: --out: there is no folder nowhere\n");
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("demo");
    TCase *tcase = tcase_create("demo");
    tcase_set_timeout(tcase, 120);
    tcase_add_test(tcase, a_demo_is_kept_when_the_next_begins);
    tcase_add_test(tcase, a_folder_that_is_not_there_is_named);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
