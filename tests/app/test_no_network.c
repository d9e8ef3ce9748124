/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The program opens no socket but to its own user's processes, and could not. */
#include "app/no_network.h"
#include "support/program.h"
#include "support/test_main.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

static const char *folder;

static void begin(void)
{
    folder = program_folder();
}

static void end(void)
{
    program_folder_remove(folder);
}

/* In a process of its own: a filter is never taken off. 0: as promised; 77: there is no filter. */
static int try_sockets(void)
{
    static const int families[] = {AF_INET, AF_INET6, AF_PACKET, AF_NETLINK, AF_BLUETOOTH};
    if (!no_network()) {
        return 77;
    }
    for (size_t i = 0; i < sizeof families / sizeof families[0]; i++) {
        int fd = socket(families[i], SOCK_STREAM, 0);
        if (fd != -1 || errno != EAFNOSUPPORT) {
            return 1 + (int)i; /* the process ends, and what is open with it */
        }
    }
    int pair[2], own = socket(AF_UNIX, SOCK_STREAM, 0);
    bool good = own >= 0 && socketpair(AF_UNIX, SOCK_STREAM, 0, pair) == 0;
    if (own >= 0) {
        close(own);
    }
    return good ? 0 : 20;
}

START_TEST(no_socket_to_a_network_can_be_made)
{
    int status = 0;
    fflush(NULL);
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        _exit(try_sockets());
    }
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert(WIFEXITED(status));
    if (WEXITSTATUS(status) == 77) {
        printf("skipped: this kernel or machine has no filter of system calls\n");
        return;
    }
    ck_assert_int_eq(WEXITSTATUS(status), 0);
}
END_TEST

static void shell(const char *line)
{
    char command[1200];
    snprintf(command, sizeof command, "cd '%s' && %s", folder, line);
    ck_assert_msg(system(command) == 0, "%s", line);
}

static bool can_trace(void)
{
    char command[600];
    snprintf(command, sizeof command,
             "cd '%s' && strace -o trace -e trace=%%network true 2>/dev/null", folder);
    return system(command) == 0;
}

/* What the kernel was asked for, also where it refused. */
START_TEST(no_command_asks_for_one)
{
    static const char *const lines[] = {
        "run spacers-out.session --store s.db",
        "list --store s.db",
        "show 1 --store s.db",
        "compare 1 --json --store s.db",
        "export 1 a.pdf --store s.db",
        "export 1 a.html --store s.db",
        "export 1 a.svg --store s.db",
        "replay 1 --store s.db",
        "plan --from 1 --store s.db",
        "place --session 1 --store s.db",
        "store check --store s.db",
        "store backup b.db --store s.db",
        "import setup-1-a.rig --store t.db",
        "store merge t.db --store s.db",
        "store compact --store s.db",
        "measure setup-1-a.rig",
        "listen 'setup-1-a.rig?speed=max'",
        "check 'setup-1-a.rig?speed=max' still 5s",
        "rigs",
        "watch --line",
        "demo --headless",
        "live --resume - --store s.db",
    };
    char line[1000];
    if (!can_trace()) {
        printf("skipped: strace is not there, or may not trace\n");
        return;
    }
    snprintf(line, sizeof line, "cp -r '%s'/* .", source_path("sessions"));
    shell(line);
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        snprintf(line, sizeof line,
                 "XDG_RUNTIME_DIR='%s' strace -f -o trace -e trace=socket,connect,sendto,sendmsg,"
                 "io_uring_setup '%s' %s </dev/null >/dev/null 2>&1; test $? -lt 3",
                 folder, program_path(), lines[i]);
        shell(line);
        char *trace = program_read_file(folder, "trace", NULL);
        ck_assert_msg(strstr(trace, "exited with") != NULL, "%s: %s", lines[i], trace);
        for (const char *at = trace; (at = strstr(at, "socket(")) != NULL; at++) {
            ck_assert_msg(strncmp(at, "socket(AF_UNIX", 14) == 0, "%s: %.200s", lines[i], at);
        }
        ck_assert_msg(strstr(trace, "AF_INET") == NULL && strstr(trace, "io_uring") == NULL,
                      "%s: %s", lines[i], trace);
        free(trace);
    }
}
END_TEST

/* The program as it runs has the filter. */
START_TEST(the_program_runs_behind_the_filter)
{
    char path[64], text[4096] = "";
    int input[2];
    ck_assert_int_eq(pipe(input), 0);
    fflush(NULL);
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        int nowhere = open("/dev/null", O_WRONLY);
        if (dup2(input[0], 0) == 0 && dup2(nowhere, 1) == 1 && dup2(nowhere, 2) == 2) {
            execl(program_path(), "holdline", "listen", "-", (char *)NULL);
        }
        _exit(99);
    }
    snprintf(path, sizeof path, "/proc/%d/status", (int)child);
    const char *mode = NULL;
    for (int i = 0; i < 100 && (mode == NULL || mode[9] == '0'); i++) {
        usleep(20000);
        FILE *status = fopen(path, "r");
        ck_assert_ptr_nonnull(status);
        size_t length = fread(text, 1, sizeof text - 1, status);
        text[length] = '\0';
        fclose(status);
        mode = strstr(text, "Seccomp:\t");
    }
    kill(child, SIGKILL);
    waitpid(child, NULL, 0);
    if (mode == NULL) {
        printf("skipped: this kernel has no filter of system calls\n");
        return;
    }
    ck_assert_msg(mode[9] == '2', "%.12s", mode);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("no network");
    TCase *tests = tcase_create("no network");
    tcase_set_timeout(tests, 300);
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, no_socket_to_a_network_can_be_made);
    tcase_add_test(tests, the_program_runs_behind_the_filter);
    tcase_add_test(tests, no_command_asks_for_one);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
