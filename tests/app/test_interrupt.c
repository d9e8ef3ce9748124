/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What takes over a second says how it goes, on a terminal only; Ctrl-C leaves no half file. */

#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

/* Two hours at 50 a second: its readings take some tenths of a second to write. */
static const char long_session[] =
    "session 2026-01-10T18:00:00Z seed=7\nrider R-01\nbike b stack=545 "
    "reach=410 head_angle=73 spacers=20 stem_length=100 stem_angle=-6\nhold 3600s free "
    "settle=0s\nhold 3600s free settle=0s\nend\n";

static const char *with_long_session(void)
{
    const char *folder = program_folder();
    program_write_file(folder, "long.txt", long_session);
    struct program_result result =
        program_run(folder, NULL,
                    (const char *const[]){"run", "long.txt", "virtual:steady?speed=max&seed=1",
                                          "--store", "s.db", NULL});
    ck_assert_msg(result.status == 0, "%s", result.errors);
    /* no terminal: nothing but what was done */
    ck_assert_ptr_null(strchr(result.errors, '\r'));
    program_free(&result);
    return folder;
}

/* Files whose name begins so. */
static int files_like(const char *folder, const char *start)
{
    DIR *directory = opendir(folder);
    int count = 0;
    ck_assert_ptr_nonnull(directory);
    for (struct dirent *entry = readdir(directory); entry != NULL; entry = readdir(directory)) {
        count += strncmp(entry->d_name, start, strlen(start)) == 0 ? 1 : 0;
    }
    closedir(directory);
    return count;
}

static pid_t start(const char *folder, const char *const *arguments)
{
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        char *argv[16] = {(char *)(uintptr_t) "holdline"};
        int null = open("/dev/null", O_RDWR);
        for (int i = 0; arguments[i] != NULL; i++) {
            argv[i + 1] = (char *)(uintptr_t)arguments[i];
        }
        if (null < 0 || dup2(null, 0) < 0 || dup2(null, 1) < 0 || dup2(null, 2) < 0 ||
            chdir(folder) != 0) {
            _exit(99);
        }
        execv(program_path(), argv);
        _exit(99);
    }
    return child;
}

/* Ctrl-C as soon as the file is begun; true when that ended the program. */
static bool interrupt(const char *folder, const char *const *arguments, const char *begun)
{
    pid_t child = start(folder, arguments);
    int status = 0;
    for (int i = 0; i < 20000 && files_like(folder, begun) == 0; i++) {
        if (waitpid(child, &status, WNOHANG) == child) {
            return false;
        }
        usleep(500);
    }
    kill(child, SIGINT);
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    return WIFSIGNALED(status) && WTERMSIG(status) == SIGINT;
}

/* Each kind of file: Ctrl-C while it is written, and some moments after the start; what then has
 * the name is whole, and nothing else is left. */
static const char *const exports[] = {"all.txt",          "all.csv",       "all-setups.csv",
                                      "all-readings.csv", "all.json",      "all.html",
                                      "all-steps.csv",    "all.pdf",       "all.svg",
                                      "all-cloud.svg",    "all-holds.svg", "all-bike.svg"};
/* These take long enough to be caught on their way. */
static const char *const long_ones[] = {"all-readings.csv"};

static bool is_long(const char *name)
{
    for (size_t i = 0; i < sizeof long_ones / sizeof long_ones[0]; i++) {
        if (strcmp(long_ones[i], name) == 0) {
            return true;
        }
    }
    return false;
}

START_TEST(an_export_that_is_stopped_leaves_no_file)
{
    const char *folder = with_long_session();
    for (size_t i = 0; i < sizeof exports / sizeof exports[0]; i++) {
        char part[64], path[400];
        size_t whole = 0, length = 0;
        int stopped = 0;
        const char *const to_file[] = {"export",  "1",    exports[i], "--replace",
                                       "--store", "s.db", NULL};
        struct program_result result = program_run(folder, NULL, to_file);
        ck_assert_msg(result.status == 0, "%s: %s", exports[i], result.errors);
        program_free(&result);
        free(program_read_file(folder, exports[i], &whole));
        snprintf(part, sizeof part, "%s.part", exports[i]);
        snprintf(path, sizeof path, "%s/%s", folder, exports[i]);
        for (int attempt = 0; attempt < (is_long(exports[i]) ? 20 : 2) && stopped == 0; attempt++) {
            unlink(path);
            bool died = interrupt(folder, to_file, part);
            stopped += died && access(path, F_OK) != 0 ? 1 : 0;
            ck_assert_int_eq(files_like(folder, part), 0);
            if (access(path, F_OK) == 0) { /* Ctrl-C came when it had its name */
                free(program_read_file(folder, exports[i], &length));
                ck_assert_msg(length == whole, "%s: %zu of %zu bytes", exports[i], length, whole);
            }
        }
        ck_assert_msg(stopped > 0 || !is_long(exports[i]), "%s was never stopped on its way",
                      exports[i]);
    }
    program_folder_remove(folder);
}
END_TEST

/* At real pace: what was ridden until Ctrl-C is a sound session. */
START_TEST(a_script_that_is_stopped_leaves_a_sound_store)
{
    const char *folder = program_folder();
    program_write_file(folder, "long.txt", long_session);
    const char *const arguments[] = {"run",     "long.txt", "virtual:steady?seed=1",
                                     "--store", "s.db",     NULL};
    pid_t child = start(folder, arguments);
    int status = 0;
    for (int i = 0; i < 600 && files_like(folder, "s.db-wal") == 0; i++) {
        usleep(100000); /* however slow the machine is: until something is recorded */
    }
    sleep(2);
    kill(child, SIGINT);
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert(WIFSIGNALED(status) && WTERMSIG(status) == SIGINT);
    ck_assert_int_eq(files_like(folder, "s.db"), 1); /* sealed */
    struct program_result checked =
        program_run(folder, NULL, (const char *const[]){"store", "check", "--store", "s.db", NULL});
    ck_assert_msg(checked.status == 0 && strstr(checked.output, "sound") != NULL, "%s%s",
                  checked.output, checked.errors);
    program_free(&checked);
    struct program_result shown =
        program_run(folder, NULL, (const char *const[]){"list", "--store", "s.db", NULL});
    ck_assert_msg(strstr(shown.output, "R-01") != NULL, "%s", shown.output);
    program_free(&shown);
    program_folder_remove(folder);
}
END_TEST

/* The seconds that are told just now; -1: none are. */
static int seconds_told(struct terminal *terminal)
{
    static char shown[65536];
    static const char words[] = "running the script: ";
    terminal_text(terminal, shown, sizeof shown);
    const char *at = strstr(shown, words);
    return at != NULL ? atoi(at + strlen(words)) : -1;
}

START_TEST(a_terminal_is_told_how_it_goes)
{
    const char *folder = program_folder();
    char script[400], store[400];
    program_write_file(folder, "short.txt", "rider R-01\nhold 5s free settle=0s\n");
    snprintf(script, sizeof script, "%s/short.txt", folder);
    snprintf(store, sizeof store, "%s/s.db", folder);
    struct terminal_settings settings = {.rows = 24, .columns = 80};
    const char *const argv[] = {program_path(), "run", script, "virtual:steady?seed=1",
                                "--store",      store, NULL};
    struct terminal *terminal = terminal_start(&settings, argv);
    if (terminal == NULL) {
        printf("skipped: there is no pseudo-terminal\n");
        program_folder_remove(folder);
        return;
    }
    ck_assert(terminal_wait_text(terminal, "running the script: ", 10));
    /* They go up; a busy machine passes some over. */
    char words[64];
    int told = seconds_told(terminal), status = 1;
    ck_assert_int_ge(told, 0);
    snprintf(words, sizeof words, "running the script: %d s", told);
    ck_assert(terminal_wait_gone(terminal, words, 10));
    int later = seconds_told(terminal);
    ck_assert_msg(later > told || later == -1, "%d s, then %d s", told, later);
    ck_assert(terminal_wait_text(terminal, "1 hold,", 10));
    ck_assert(terminal_wait_gone(terminal, "running the script", 5.0)); /* cleared away */
    ck_assert(terminal_wait_end(terminal, &status, 10) && status == 0);
    terminal_end(terminal);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("interrupt");
    TCase *tests = tcase_create("interrupt");
    tcase_set_timeout(tests, 300);
    tcase_add_test(tests, an_export_that_is_stopped_leaves_no_file);
    tcase_add_test(tests, a_script_that_is_stopped_leaves_a_sound_store);
    tcase_add_test(tests, a_terminal_is_told_how_it_goes);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
