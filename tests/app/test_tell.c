/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* 'holdline tell': another program of the same user drives a running session, is answered, and can
 * do it no harm. */
#include "base/clock.h"
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#define WAIT_S 20.0

static const char *folder;
static struct terminal *session;

static bool begin(void)
{
    static char store[512], runtime[512];
    folder = program_folder();
    snprintf(store, sizeof store, "%s/s.db", folder);
    snprintf(runtime, sizeof runtime, "XDG_RUNTIME_DIR=%s", folder);
    ck_assert_int_eq(setenv("XDG_RUNTIME_DIR", folder, 1), 0);
    const char *const argv[] = {program_path(), "live",  "virtual:steady?seed=5",
                                "--store",      store,   "--tones",
                                "off",          "--new", NULL};
    const char *const environment[] = {runtime, NULL};
    const struct terminal_settings settings = {
        .rows = 24, .columns = 80, .environment = environment};
    session = terminal_start(&settings, argv);
    if (session == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return false;
    }
    ck_assert(terminal_wait_text(session, "HEAD", WAIT_S));
    return true;
}

static void end(void)
{
    int status = -1;
    terminal_send(session, "qy");
    ck_assert(terminal_wait_end(session, &status, WAIT_S));
    ck_assert_int_eq(status, 0);
    terminal_end(session);
    program_folder_remove(folder);
}

static void tell(const char *const *words, int status, const char *said)
{
    const char *arguments[12] = {"tell"};
    for (int i = 0; i < 10 && words[i] != NULL; i++) {
        arguments[i + 1] = words[i];
    }
    struct program_result result = program_run(folder, NULL, arguments);
    ck_assert_msg(result.status == status, "%s: status %d: %s%s", words[0], result.status,
                  result.output, result.errors);
    ck_assert_msg(strstr(status == 0 ? result.output : result.errors, said) != NULL, "%s: %s%s",
                  words[0], result.output, result.errors);
    program_free(&result);
}
#define TELL(status, said, ...) tell((const char *const[]){__VA_ARGS__, NULL}, status, said)

/* The socket itself, as a program that isn't ours would have it. */
static void socket_path(char *path, size_t size)
{
    snprintf(path, size, "%s/holdline/tell-%d.sock", folder, terminal_process(session));
}

static int connect_raw(void)
{
    struct sockaddr_un address = {.sun_family = AF_UNIX};
    socket_path(address.sun_path, sizeof address.sun_path);
    int fd = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
    ck_assert_int_ge(fd, 0);
    ck_assert_int_eq(connect(fd, (const struct sockaddr *)&address, sizeof address), 0);
    return fd;
}

/* What comes within so long, up to the end of a line. */
static void read_answer(int fd, char *text, size_t size, int wait_ms)
{
    size_t used = 0;
    struct pollfd input = {.fd = fd, .events = POLLIN};
    while (used + 1 < size && memchr(text, '\n', used) == NULL && poll(&input, 1, wait_ms) > 0) {
        ssize_t got = recv(fd, text + used, size - 1 - used, 0);
        if (got <= 0) {
            break;
        }
        used += (size_t)got;
    }
    text[used] = '\0';
}

START_TEST(a_session_is_driven_from_outside)
{
    if (!begin()) {
        return;
    }
    TELL(0, "", "rider", "R-07", "winter group");
    ck_assert(terminal_wait_text(session, "R-07 winter group", WAIT_S));
    TELL(1, "no command does it: how many minutes", "next");
    TELL(0, "", "pass", "minutes");
    TELL(0, "", "pass", "bike");
    TELL(0, "", "pass", "places");
    TELL(0, "", "pass", "checks");
    TELL(0, "", "next"); /* the warm-up */
    TELL(0, "settle", "next");
    ck_assert(terminal_wait_text(session, "GET READY", WAIT_S));
    TELL(1, "in progress", "hold", "60s", "free");
    TELL(0, "countdown stopped", "stop");
    TELL(0, "", "hold", "30s", "free", "settle=0s"); /* what a mark leaves of it is enough */
    TELL(0, "marked: slid", "mark", "slid");
    TELL(0, "", "wait");
    ck_assert(terminal_wait_text(session, "hold 1", WAIT_S));
    TELL(0, "against setup 1", "compare");
    TELL(1, "there is no command 'nonsense'", "nonsense");
    TELL(1, "say a time", "wait", "soon");
    TELL(0, "written: ", "export", "report.txt");
    size_t length = 0;
    char *report = program_read_file(folder, "report.txt", &length);
    ck_assert_ptr_nonnull(strstr(report, "R-07"));
    free(report);
    TELL(2, "say a line", "--");
    TELL(1, "no live session", "--process", "1", "stop");
    end();
}
END_TEST

/* Its samples go on while it stands on its screen: that is no damage. */
START_TEST(a_session_that_was_ended_from_outside_is_sound_at_any_time)
{
    char store[512];
    if (!begin()) {
        return;
    }
    snprintf(store, sizeof store, "%s/s.db", folder);
    TELL(0, "", "hold", "5s", "free", "settle=0s");
    TELL(0, "", "wait");
    TELL(0, "", "end");
    for (int i = 0; i < 8; i++) {
        struct program_result result = program_run(
            folder, NULL, (const char *const[]){"store", "check", "--store", store, NULL});
        ck_assert_msg(result.status == 0, "%s%s", result.output, result.errors);
        program_free(&result);
    }
    end();
}
END_TEST

/* Rides are read beside the session, and only files of them. */
START_TEST(a_ride_becomes_a_run)
{
    if (!begin()) {
        return;
    }
    program_write_file(folder, "a.csv",
                       "time,power,speed\n0,200,10\n1,200,10\n2,200,10\n"
                       "30,200,10\n");
    char ride[60000] = "time,power,speed\n";
    size_t used = strlen(ride);
    for (int second = 0; second < 120; second++) {
        used += (size_t)snprintf(ride + used, sizeof ride - used, "%d,200,10\n", second);
    }
    program_write_file(folder, "b.csv", ride);
    char no_ride[400], from[400]; /* names are from where the session runs */
    snprintf(no_ride, sizeof no_ride, "from=%s/a.csv", folder);
    snprintf(from, sizeof from, "from=%s/b.csv", folder);
    TELL(0, "", "setup", "1");
    TELL(0, "85 kg", "mass", "85kg");
    TELL(0, "laps", "course", "laps", "length=250m");
    TELL(1, "is no file", "run", "setup=1", "from=/dev/zero", "speed=wheel");
    TELL(1, "nothing of it counts", "run", "setup=1", no_ride, "speed=wheel");
    TELL(0, "run 1 of setup 1", "run", "setup=1", from, "speed=wheel");
    TELL(1, "are run 1 already", "run", "setup=1", from, "speed=wheel");
    TELL(0, "taken back: run 1", "undo");
    end();
}
END_TEST

START_TEST(lines_from_a_switchs_program)
{
    if (!begin()) {
        return;
    }
    const char *const arguments[] = {"tell", "-", NULL};
    struct program_result result =
        program_run(folder, "note \"left pedal\"\nnonsense\n\nnote \"right pedal\"\n", arguments);
    ck_assert_int_eq(result.status, 1);
    ck_assert_ptr_nonnull(strstr(result.output, "noted: left pedal"));
    ck_assert_ptr_nonnull(strstr(result.output, "noted: right pedal"));
    ck_assert_ptr_nonnull(strstr(result.errors, "nonsense"));
    program_free(&result);
    end();
}
END_TEST

/* Leaving is no second end, of which the session would say that it has ended. */
START_TEST(a_session_that_was_ended_from_outside_is_left)
{
    int status = -1;
    char text[4096];
    if (!begin()) {
        return;
    }
    TELL(0, "the session has ended", "end");
    terminal_send(session, "q");
    ck_assert(terminal_wait_text(session, "The session has ended. Leave?", WAIT_S));
    terminal_send(session, "y");
    ck_assert(terminal_wait_end(session, &status, WAIT_S));
    terminal_text(session, text, sizeof text);
    ck_assert_msg(strstr(text, "Gone on with by") != NULL && strstr(text, "holdline: ") == NULL,
                  "%s", text);
    ck_assert_int_eq(status, 0);
    terminal_end(session);
    program_folder_remove(folder);
}
END_TEST

/* As of the user that one was before 'su', or longer than a socket's name may be: the session is
 * found all the same by who has the same. */
START_TEST(a_runtime_folder_that_can_not_be)
{
    char missing[512], lengthy[512], store[512], process[32];
    folder = program_folder();
    snprintf(missing, sizeof missing, "XDG_RUNTIME_DIR=%s/none", folder);
    snprintf(lengthy, sizeof lengthy, "XDG_RUNTIME_DIR=%s/%0120d", folder, 0);
    ck_assert_int_eq(mkdir(lengthy + strlen("XDG_RUNTIME_DIR="), 0700), 0);
    snprintf(store, sizeof store, "%s/s.db", folder);
    const char *const runtimes[] = {missing, lengthy};
    for (int i = 0; i < 2; i++) {
        int status = 0;
        const char *const argv[] = {program_path(), "live",  "virtual:steady?seed=5",
                                    "--store",      store,   "--tones",
                                    "off",          "--new", NULL};
        const char *const environment[] = {runtimes[i], NULL};
        const struct terminal_settings settings = {
            .rows = 24, .columns = 80, .environment = environment};
        session = terminal_start(&settings, argv);
        if (session == NULL) {
            printf("skipped: no pseudo-terminal here\n");
            return;
        }
        ck_assert(terminal_wait_text(session, "HEAD", WAIT_S));
        setenv("XDG_RUNTIME_DIR", runtimes[i] + strlen("XDG_RUNTIME_DIR="), 1);
        snprintf(process, sizeof process, "%ld", (long)terminal_process(session));
        TELL(0, "", "--process", process, "note", "here");
        ck_assert(terminal_wait_text(session, "here", WAIT_S));
        terminal_send(session, "qy");
        ck_assert(terminal_wait_end(session, &status, WAIT_S));
        terminal_end(session);
    }
    program_folder_remove(folder);
}
END_TEST

START_TEST(there_must_be_a_session)
{
    folder = program_folder();
    ck_assert_int_eq(setenv("XDG_RUNTIME_DIR", folder, 1), 0);
    TELL(1, "no live session", "stop");
    program_folder_remove(folder);
}
END_TEST

START_TEST(only_this_user_may)
{
    struct stat status;
    char path[512];
    if (!begin()) {
        return;
    }
    socket_path(path, sizeof path);
    ck_assert_int_eq(stat(path, &status), 0);
    ck_assert_uint_eq(status.st_mode & 0777, 0600);
    snprintf(path, sizeof path, "%s/holdline", folder);
    ck_assert_int_eq(stat(path, &status), 0);
    ck_assert_uint_eq(status.st_mode & 0777, 0700);
    /* even where the folder's owner lets others through: who connects is asked for his user */
    if (geteuid() == 0) {
        struct sockaddr_un address = {.sun_family = AF_UNIX};
        char answer[256] = "";
        socket_path(address.sun_path, sizeof address.sun_path);
        ck_assert_int_eq(chmod(folder, 0755), 0);
        ck_assert_int_eq(chmod(path, 0755), 0);
        ck_assert_int_eq(chmod(address.sun_path, 0666), 0);
        ck_assert_int_eq(seteuid(65534), 0);
        int fd = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
        bool in = connect(fd, (const struct sockaddr *)&address, sizeof address) == 0;
        ck_assert_int_eq(seteuid(0), 0);
        ck_assert(in);
        (void)!send(fd, "note \"of another\"\n", 18, MSG_NOSIGNAL);
        read_answer(fd, answer, sizeof answer, 2000);
        ck_assert_str_eq(answer, "");
        close(fd);
        terminal_pump(session, 0.3);
        ck_assert(!terminal_shows(session, "of another"));
    } else {
        printf("skipped: only root can try as another user\n");
    }
    ck_assert_int_eq(chmod(path, 0700), 0);
    end();
}
END_TEST

START_TEST(rubbish_is_refused)
{
    static char bytes[65536];
    char answer[1024];
    if (!begin()) {
        return;
    }
    unsigned state = 12345;
    for (size_t i = 0; i < sizeof bytes; i++) {
        state = state * 1103515245U + 12345U;
        bytes[i] = (char)(state >> 16);
    }
    for (int round = 0; round < 20; round++) {
        int fd = connect_raw();
        (void)!send(fd, bytes + 997 * round, 4096, MSG_NOSIGNAL);
        read_answer(fd, answer, sizeof answer, 2000);
        /* an empty line, or a remark, is nothing to be refused */
        ck_assert_msg(strncmp(answer, "refused ", 8) == 0 || strcmp(answer, "done\n") == 0,
                      "round %d: '%s'", round, answer);
        close(fd);
    }
    /* one endless line, zeros, the end without a line's end, a connection and nothing */
    memset(bytes, 'a', sizeof bytes);
    int fd = connect_raw();
    (void)!send(fd, bytes, sizeof bytes, MSG_NOSIGNAL | MSG_DONTWAIT);
    read_answer(fd, answer, sizeof answer, 2000);
    ck_assert_str_eq(answer, "refused a line of over 1023 bytes\n");
    close(fd);
    fd = connect_raw();
    (void)!send(fd, "no\0te\n", 6, MSG_NOSIGNAL);
    read_answer(fd, answer, sizeof answer, 2000);
    ck_assert_ptr_nonnull(strstr(answer, "refused"));
    close(fd);
    fd = connect_raw();
    (void)!send(fd, "note \"unended\"", 14, MSG_NOSIGNAL);
    shutdown(fd, SHUT_WR);
    read_answer(fd, answer, sizeof answer, 2000);
    ck_assert_str_eq(answer, "done noted: unended\n");
    close(fd);
    end();
}
END_TEST

/* Twelve who connect and say nothing, and one who says lines without reading answers for three
 * seconds: the gauge goes on, keys are taken, nothing is lost, and then others are heard again. */
START_TEST(a_flood_costs_the_session_nothing)
{
    int silent[12], loud = -1;
    if (!begin()) {
        return;
    }
    loud = connect_raw();
    for (int i = 0; i < 12; i++) {
        silent[i] = connect_raw();
    }
    int64_t until_us = clock_monotonic_us() + 3000000;
    static const char line[] = "note \"flood\"\n";
    while (clock_monotonic_us() < until_us) {
        (void)!send(loud, line, sizeof line - 1, MSG_NOSIGNAL | MSG_DONTWAIT);
        terminal_pump(session, 0.001);
    }
    terminal_send(session, "o");
    ck_assert(terminal_wait_text(session, "A NOTE", 2.0));
    terminal_send(session, "\033");
    ck_assert(terminal_wait_gone(session, "A NOTE", 2.0));
    ck_assert(terminal_wait_text(session, " 0 lost", 2.0));
    ck_assert(terminal_wait_text(session, "all stored", 5.0));
    close(loud);
    for (int i = 0; i < 12; i++) {
        close(silent[i]);
    }
    terminal_pump(session, 0.5);
    TELL(0, "", "wait", "1s");
    end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("tell");
    TCase *tests = tcase_create("tell");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, a_session_that_was_ended_from_outside_is_sound_at_any_time);
    tcase_add_test(tests, a_session_is_driven_from_outside);
    tcase_add_test(tests, a_ride_becomes_a_run);
    tcase_add_test(tests, lines_from_a_switchs_program);
    tcase_add_test(tests, a_session_that_was_ended_from_outside_is_left);
    tcase_add_test(tests, there_must_be_a_session);
    tcase_add_test(tests, a_runtime_folder_that_can_not_be);
    tcase_add_test(tests, only_this_user_may);
    tcase_add_test(tests, rubbish_is_refused);
    tcase_add_test(tests, a_flood_costs_the_session_nothing);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
