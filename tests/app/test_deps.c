/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What .ci/deps.sh says and does where packages are missing, with a sudo, an id and Debian's
 * programs that are made up here. */
#include "support/program.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

static const char *folder;

static void put_program(const char *name, const char *script)
{
    char path[400], text[600];
    snprintf(text, sizeof text, "#!/bin/sh\necho \"%s $*\" >>'%s/called'\n%s\n", name, folder,
             script);
    program_write_file(folder, name, text);
    snprintf(path, sizeof path, "%s/%s", folder, name);
    ck_assert_int_eq(chmod(path, 0755), 0);
}

static int times(const char *text, const char *wanted)
{
    int count = 0;
    for (const char *at = text; at != NULL && (at = strstr(at, wanted)) != NULL; at++) {
        count++;
    }
    return count;
}

/* Runs it as a user who is not root; *called is what it called, *said what it said. */
static int run(const char *sudo, char **called, char **said)
{
    char command[900];
    folder = program_folder();
    put_program("id", "echo 1000");
    put_program("dpkg-query", "exit 1");
    put_program("apt-get", "exit 0");
    put_program("sudo", sudo);
    snprintf(
        command, sizeof command,
        "PATH='%s':/usr/bin:/bin sh '%s' one-package another </dev/null >/dev/null 2>'%s/said'",
        folder, source_path(".ci/deps.sh"), folder);
    int status = system(command);
    *called = program_read_file(folder, "called", NULL);
    *said = program_read_file(folder, "said", NULL);
    return status;
}

START_TEST(a_sudo_user_without_rights_is_told_once)
{
    char *called, *said;
    ck_assert_int_ne(run("echo 'rider may not run sudo here.' >&2; exit 1", &called, &said), 0);
    ck_assert_msg(times(called, "sudo ") == 1, "%s", called);
    ck_assert_int_eq(times(called, "apt-get"), 0);
    ck_assert_msg(times(said, "rider may not run sudo here.") == 1, "%s", said);
    ck_assert_int_eq(times(said, "takes root"), 1);
    ck_assert_int_eq(times(said, "one-package another"), 1);
    free(called);
    free(said);
    program_folder_remove(folder);
}
END_TEST

START_TEST(with_rights_they_are_installed)
{
    char *called, *said;
    ck_assert_int_eq(run("[ \"$1\" = -v ] || \"$@\"", &called, &said), 0);
    ck_assert_msg(strstr(called, "update") != NULL && strstr(called, "install") != NULL, "%s",
                  called);
    free(called);
    free(said);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("deps");
    TCase *tests = tcase_create("deps");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_sudo_user_without_rights_is_told_once);
    tcase_add_test(tests, with_rights_they_are_installed);
    return test_main(suite);
}
