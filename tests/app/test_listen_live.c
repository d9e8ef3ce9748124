/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The whole program while it runs: 'holdline listen' and 'holdline rigs' on cables, Ctrl-C, pipes
 * that end. */

#include "base/clock.h"
#include "support/cable.h"
#include "support/json_reader.h"
#include "support/program.h"
#include "support/test_main.h"

#include <fcntl.h>
#include <poll.h>
#include <pthread.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <unistd.h>

static const char *contains(const char *text, const char *wanted)
{
    const char *found = strstr(text, wanted);
    ck_assert_msg(found != NULL, "'%s' is not in:\n%s", wanted, text);
    return found;
}

struct running {
    pid_t child;
    int output, errors;
};

/* Starts the program with pipes on its outputs. */
static struct running start_program(const char *const *arguments)
{
    int output[2];
    int errors[2];
    struct running running;
    ck_assert_int_eq(pipe(output), 0);
    ck_assert_int_eq(pipe(errors), 0);
    running.child = fork();
    ck_assert_int_ge(running.child, 0);
    if (running.child == 0) {
        char *argv[16] = {(char *)(size_t)program_path()};
        for (int i = 0; i < 14 && arguments[i] != NULL; i++) {
            argv[i + 1] = (char *)(size_t)arguments[i];
        }
        dup2(output[1], STDOUT_FILENO);
        dup2(errors[1], STDERR_FILENO);
        for (int descriptor = 3; descriptor < 64; descriptor++) {
            close(descriptor);
        }
        execv(argv[0], argv);
        _exit(127);
    }
    close(output[1]);
    close(errors[1]);
    running.output = output[0];
    running.errors = errors[0];
    return running;
}

/* Reads until text has been seen or the stream has ended, ten seconds at most. What was read is in
 * buffer. */
static bool read_until(int descriptor, char *buffer, size_t size, const char *text)
{
    size_t used = strlen(buffer);
    int64_t until_us = clock_monotonic_us() + 10000000;
    while (strstr(buffer, text) == NULL && clock_monotonic_us() < until_us && used + 1 < size) {
        struct pollfd polled = {.fd = descriptor, .events = POLLIN};
        if (poll(&polled, 1, 100) <= 0) {
            continue;
        }
        ssize_t got = read(descriptor, buffer + used, size - used - 1);
        if (got <= 0) {
            break;
        }
        used += (size_t)got;
        buffer[used] = '\0';
    }
    return strstr(buffer, text) != NULL;
}

static int end_of(struct running *running)
{
    int status = 0;
    close(running->output);
    close(running->errors);
    waitpid(running->child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

START_TEST(interrupt_ends_with_the_report)
{
    static char text[1 << 20];
    const char *arguments[] = {"listen", "virtual:steady?rate=100", NULL};
    if (access("/dev/pts/ptmx", F_OK) != 0) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    struct running running = start_program(arguments);
    ck_assert(read_until(running.output, text, sizeof text, "     0.500 "));
    kill(running.child, SIGINT);
    ck_assert_msg(read_until(running.output, text, sizeof text, "last mm"), "%s", text);
    ck_assert_int_eq(end_of(&running), 0);
}
END_TEST

START_TEST(reader_that_has_seen_enough_is_no_failure)
{
    char text[65536] = "";
    char errors[4096] = "";
    const char *arguments[] = {"listen", "virtual:steady?speed=max", NULL};
    struct running running = start_program(arguments);
    ck_assert(read_until(running.output, text, sizeof text, "     0.500 "));
    close(running.output); /* as head does */
    running.output = open("/dev/null", O_RDONLY);
    read_until(running.errors, errors, sizeof errors, "never said");
    ck_assert_str_eq(errors, "");
    ck_assert_int_eq(end_of(&running), 0);
}
END_TEST

START_TEST(full_disk_is_a_failure)
{
    if (access("/dev/full", W_OK) != 0) {
        printf("skipped: no /dev/full here\n");
        return;
    }
    char command[512];
    snprintf(command, sizeof command,
             "'%s' listen '%s/steady.rig?speed=max' >/dev/full 2>/dev/null", program_path(),
             source_path("sessions"));
    int status = system(command);
    ck_assert_int_eq(WEXITSTATUS(status), 1);
}
END_TEST

/* 60 s of 1000 samples a second of two channels. */
#define FLOOD 60000

static void *flood(void *context)
{
    struct cable *cable = context;
    const char *heading = "# holdline-rig 1 id=flood rate=1000 unit=mm channels=head,chest\n";
    char line[128];
    char body[100];
    bool sent = cable_write(cable, heading, strlen(heading));
    for (int i = 1; i <= FLOOD && sent; i++) {
        unsigned sum = 0;
        snprintf(body, sizeof body, "%d,%d,%d.%d,%d.%d", i, i * 1000, 200 + i % 97, i % 10,
                 100 + i % 89, i % 7);
        for (const char *at = body; *at != '\0'; at++) {
            sum ^= (unsigned char)*at;
        }
        int length = snprintf(line, sizeof line, "$%s*%02X\n", body, sum);
        sent = cable_write(cable, line, (size_t)length);
    }
    return sent ? context : NULL;
}

START_TEST(minute_at_a_thousand_a_second_loses_nothing)
{
    static char text[4 << 20];
    char errors[4096] = "";
    struct cable cable;
    pthread_t thread;
    void *sent = NULL;
    if (!cable_plug(&cable)) {
        return;
    }
    const char *arguments[] = {"listen", cable.path, NULL};
    struct running running = start_program(arguments);
    int64_t start_us = clock_monotonic_us();
    ck_assert_int_eq(pthread_create(&thread, NULL, flood, &cable), 0);
    bool all = read_until(running.output, text, sizeof text, "\n    59.999 ");
    double took_s = (double)(clock_monotonic_us() - start_us) / 1e6;
    pthread_join(thread, &sent);
    ck_assert_ptr_nonnull(sent);
    ck_assert(all);
    printf("60 s of 1000 samples a second through a pseudo-terminal in %.2f s\n", took_s);
    ck_assert_double_lt(took_s, 60);
    cable_pull(&cable); /* told within a second, and no end */
    int64_t pulled_us = clock_monotonic_us();
    ck_assert_msg(read_until(running.errors, errors, sizeof errors, "the link is down"), "%s",
                  errors);
    ck_assert_int_lt(clock_monotonic_us() - pulled_us, 1000000);
    kill(running.child, SIGTERM);
    ck_assert(read_until(running.output, text, sizeof text, "last mm"));
    contains(text, "60000 samples in 60.0 s");
    contains(text, "  lost        0 (0.0 %)");
    contains(text, "  rejected    0 of 60001 lines");
    ck_assert_ptr_null(strstr(text, "lost before"));
    ck_assert_int_eq(end_of(&running), 0);
}
END_TEST

/* A whole file down a cable. */
struct playing {
    struct cable cable;
    char *text;
    size_t length;
};

static void *play_file(void *context)
{
    struct playing *playing = context;
    return cable_write(&playing->cable, playing->text, playing->length) ? context : NULL;
}

/* Ticks of processor time that a process has used. */
static unsigned long ticks_of(pid_t process)
{
    char path[64], line[1024] = "";
    unsigned long user = 0, system = 0;
    snprintf(path, sizeof path, "/proc/%d/stat", (int)process);
    FILE *stream = fopen(path, "r");
    ck_assert_ptr_nonnull(stream);
    ck_assert_ptr_nonnull(fgets(line, sizeof line, stream));
    fclose(stream);
    const char *behind = strrchr(line, ')');
    ck_assert_ptr_nonnull(behind);
    ck_assert_int_eq(
        sscanf(behind, ") %*c %*d %*d %*d %*d %*d %*u %*u %*u %*u %*u %lu %lu", &user, &system), 2);
    return user + system;
}

/* Until the process has read all that was sent, and has nothing more to do. On a machine that does
 * much else it may long have little of the processor, with much still to be read. */
static void wait_idle(pid_t process, const struct cable *cable)
{
    unsigned long before = ticks_of(process);
    int program_side = open(cable->path, O_RDWR | O_NOCTTY | O_NONBLOCK), left = 0;
    ck_assert_int_ge(program_side, 0);
    for (int quiet = 0, tries = 0; quiet < 4 && tries < 600; tries++) {
        usleep(100000);
        unsigned long after = ticks_of(process);
        ck_assert_int_eq(ioctl(program_side, FIONREAD, &left), 0);
        quiet = left == 0 && after <= before + 1 ? quiet + 1 : 0;
        before = after;
    }
    close(program_side);
}

/* Samples of a recording: read as a file, or through a pseudo-terminal as a rig would send it. */
static double samples_of(struct playing *playing, const char *path, const char *const *options)
{
    static char text[65536];
    const char *arguments[16] = {"listen", "--json", "--health"};
    char spec[4200];
    char error[160];
    void *sent = NULL;
    pthread_t thread;
    text[0] = '\0';
    snprintf(spec, sizeof spec, playing != NULL ? "tty:%s" : "%s?speed=max",
             playing != NULL ? playing->cable.path : path);
    arguments[3] = spec;
    for (int i = 0; options[i] != NULL; i++) {
        arguments[4 + i] = options[i];
    }
    struct running running = start_program(arguments);
    if (playing != NULL) {
        ck_assert_int_eq(pthread_create(&thread, NULL, play_file, playing), 0);
        pthread_join(thread, &sent);
        ck_assert_ptr_nonnull(sent);
        wait_idle(running.child, &playing->cable);
        kill(running.child, SIGINT);
    }
    ck_assert(read_until(running.output, text, sizeof text, "}\n"));
    ck_assert_int_eq(end_of(&running), 0);
    struct json_value *value = json_read(text, error);
    ck_assert_msg(value != NULL, "%s: %s", error, text);
    double samples = json_number_at(value, "health/samples");
    json_free(value);
    return samples;
}

static const struct {
    const char *path;
    const char *options[8];
} real_recordings[] = {
    {"recordings/still-tof-55hz/static_tof_dist_data_1_h.csv", {NULL}},
    {"recordings/tof-64ch-raw-serial/20260127_212807_EXP1_0.2g_VL5_10.csv",
     {"--columns", "head=30,chest=38", "--time-column", "1"}},
    {"recordings/lidar-on-bike-33hz/lidar_old_session.csv", {"--columns", "head=distance"}},
    {"recordings/ultrasonic-24ch-9hz/sensor_readings_24.data",
     {"--columns", "S1,S12", "--unit", "m"}},
};

START_TEST(real_recordings_come_whole_through_a_pseudo_terminal)
{
    struct playing playing = {.text = NULL};
    const char *path = shared_path_or_skip(real_recordings[_i].path);
    if (path == NULL || !cable_plug(&playing.cable)) {
        return;
    }
    playing.text = program_read_file("/", path + 1, &playing.length);
    double wanted = samples_of(NULL, path, real_recordings[_i].options);
    double heard = samples_of(&playing, path, real_recordings[_i].options);
    ck_assert_double_gt(wanted, 1000);
    ck_assert_double_eq(heard, wanted);
    free(playing.text);
    cable_pull(&playing.cable);
}
END_TEST

START_TEST(rigs_says_what_is_heard_where)
{
    struct cable silent;
    if (!cable_plug(&silent)) {
        return;
    }
    const char *arguments[] = {
        "rigs",      "--json",        "--seconds", "2", "virtual:steady?rate=100",
        silent.path, "/dev/ttyNONE7", NULL};
    struct program_result result = program_run(NULL, NULL, arguments);
    struct json_value *value = program_json(&result, 0);
    ck_assert_str_eq(json_text_at(value, "ports/0/state"), "a rig");
    ck_assert_double_eq_tol(json_number_at(value, "ports/0/rig/rate_hz"), 100, 15);
    ck_assert_str_eq(json_text_at(value, "ports/0/rig/channels/1"), "chest");
    ck_assert_str_eq(json_text_at(value, "ports/1/state"), "silent");
    ck_assert_int_eq(json_at(value, "ports/1/rig")->kind, JSON_NULL);
    contains(json_text_at(value, "ports/2/state"), "not there");
    json_free(value);
    program_free(&result);
    cable_pull(&silent);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("listen_live");
    TCase *tests = tcase_create("listen_live");
    tcase_set_timeout(tests, 90);
    tcase_add_test(tests, interrupt_ends_with_the_report);
    tcase_add_test(tests, reader_that_has_seen_enough_is_no_failure);
    tcase_add_test(tests, full_disk_is_a_failure);
    tcase_add_test(tests, minute_at_a_thousand_a_second_loses_nothing);
    tcase_add_loop_test(tests, real_recordings_come_whole_through_a_pseudo_terminal, 0,
                        (int)(sizeof real_recordings / sizeof real_recordings[0]));
    tcase_add_test(tests, rigs_says_what_is_heard_where);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
