/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Watchers of a live session: they see what the screen sees, and can't hold it up. */

#include "app/watch_server.h"
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#define WAIT_S 20.0

static struct terminal *start(const char *folder, const char *const *arguments, const char *runtime)
{
    const char *const environment[] = {runtime, NULL};
    const struct terminal_settings settings = {
        .rows = 24, .columns = 80, .environment = environment};
    (void)folder;
    return terminal_start(&settings, arguments);
}

START_TEST(a_watcher_shows_the_riders_screen)
{
    const char *folder = program_folder();
    char store[512], runtime[512];
    snprintf(store, sizeof store, "%s/s.db", folder);
    snprintf(runtime, sizeof runtime, "XDG_RUNTIME_DIR=%s", folder);
    const char *const live[] = {program_path(), "live", "virtual:steady?seed=5", "--store", store,
                                "--new",        NULL};
    const char *const watch[] = {program_path(), "watch", NULL};
    struct terminal *session = start(folder, live, runtime);
    if (session == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    ck_assert(terminal_wait_text(session, "HEAD", WAIT_S));
    struct terminal *first = start(folder, watch, runtime), *second = start(folder, watch, runtime);
    ck_assert(first != NULL && second != NULL);
    terminal_send(session, "f\r");
    /* the countdown's digit, as tall as the screen */
    ck_assert(!terminal_shows(first, "████████████"));
    for (int i = 0; i < 60 && !terminal_wait_text(first, "████████████", 0.1); i++) {
        terminal_pump(session, 0.05);
    }
    ck_assert(terminal_shows(first, "████████████"));
    /* one goes, the other stays; the session does not mind */
    int status = -1;
    terminal_send(first, "q");
    ck_assert(terminal_wait_end(first, &status, WAIT_S));
    ck_assert_int_eq(status, 0);
    terminal_end(first);
    terminal_pump(session, 0.2);
    terminal_send(session, "x");
    terminal_pump(session, 0.3);
    terminal_send(session, "qy");
    ck_assert(terminal_wait_end(session, &status, WAIT_S));
    ck_assert_int_eq(status, 0);
    terminal_end(session);
    ck_assert(terminal_wait_end(second, &status, WAIT_S));
    ck_assert_int_eq(status, 0);
    terminal_end(second);
    program_folder_remove(folder);
}
END_TEST

START_TEST(there_must_be_a_session_to_watch)
{
    const char *folder = program_folder();
    ck_assert_int_eq(setenv("XDG_RUNTIME_DIR", folder, 1), 0);
    struct program_result result =
        program_run(folder, NULL, (const char *const[]){"watch", "--line", NULL});
    ck_assert_int_eq(result.status, 1);
    ck_assert_msg(strstr(result.errors, "no live session") != NULL, "%s", result.errors);
    program_free(&result);
    program_folder_remove(folder);
}
END_TEST

static size_t always_the_same(void *context, unsigned long long *serial, char *line, size_t size)
{
    (void)context;
    (void)serial;
    return (size_t)snprintf(line, size, "{}\n");
}

static double processor_s(void)
{
    struct rusage usage;
    ck_assert_int_eq(getrusage(RUSAGE_SELF, &usage), 0);
    return (double)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
           (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) / 1e6;
}

/* Who knocks while no descriptor is free waits, and nothing is busy meanwhile. */
START_TEST(at_the_limit_of_descriptors_a_watcher_waits)
{
    const char *folder = program_folder();
    struct problem problem = {PROBLEM_NONE, ""};
    struct sockaddr_un address = {.sun_family = AF_UNIX};
    struct rlimit limit, none;
    char answer[16] = "";
    ck_assert_int_eq(setenv("XDG_RUNTIME_DIR", folder, 1), 0);
    struct watch_server *server = watch_server_start(always_the_same, NULL, &problem);
    ck_assert_msg(server != NULL, "%s", problem.sentence);
    int knocking = socket(AF_UNIX, SOCK_STREAM, 0);
    ck_assert_int_ge(knocking, 0);
    snprintf(address.sun_path, sizeof address.sun_path, "%.60s/holdline/live-%ld.sock", folder,
             (long)getpid());
    ck_assert_int_eq(getrlimit(RLIMIT_NOFILE, &limit), 0);
    none = limit;
    none.rlim_cur = (rlim_t)knocking + 1; /* the lower ones are taken */
    ck_assert_int_eq(setrlimit(RLIMIT_NOFILE, &none), 0);
    ck_assert_int_eq(connect(knocking, (const struct sockaddr *)&address, sizeof address), 0);
    double before_s = processor_s();
    usleep(1000000);
    double used_s = processor_s() - before_s;
    ck_assert_int_eq(recv(knocking, answer, sizeof answer - 1, MSG_DONTWAIT), -1);
    ck_assert_int_eq(setrlimit(RLIMIT_NOFILE, &limit), 0);
    ck_assert_int_gt(recv(knocking, answer, sizeof answer - 1, 0), 0);
    ck_assert_int_eq(strncmp(answer, "{}\n", 3), 0);
    ck_assert_msg(used_s < 0.2, "%.2f s of a processor in 1 s", used_s);
    watch_server_stop(server);
    close(knocking);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("watchers");
    TCase *tests = tcase_create("watch");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, a_watcher_shows_the_riders_screen);
    tcase_add_test(tests, there_must_be_a_session_to_watch);
    tcase_add_test(tests, at_the_limit_of_descriptors_a_watcher_waits);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
