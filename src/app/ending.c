/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/ending.h"

#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <stddef.h>
#include <sys/stat.h>
#include <sys/time.h>
#include <termios.h>
#include <unistd.h>

#define AGAIN_MS 100 /* a write that began meanwhile is broken off, too */

/* Of the process, as its signals are: written by the main thread before it catches any. */
static struct {
    volatile sig_atomic_t asked; /* number of the signal; 0: none yet */
    volatile sig_atomic_t alarms;
    bool ready;
    pthread_t main_thread;
    int nowhere;  /* /dev/null */
    int wake[2];  /* read end, write end */
    int terminal; /* -1: neither input nor output is one */
    struct termios modes;
} ending = {.nowhere = -1, .wake = {-1, -1}, .terminal = -1};

static const int signals[] = {SIGTERM, SIGHUP, SIGINT};
#define SIGNALS (sizeof signals / sizeof signals[0])

/* All that handlers do is async-signal-safe (signal-safety(7)). Another thread's gives it to the
 * main thread, whose write it is to end. */
static bool is_for_main(int signal_number)
{
    if (pthread_equal(pthread_self(), ending.main_thread)) {
        return true;
    }
    pthread_kill(ending.main_thread, signal_number);
    return false;
}

static void alarm_in(int first_ms, int each_ms)
{
    const struct itimerval timer = {
        .it_interval = {.tv_usec = each_ms * 1000L},
        .it_value = {.tv_sec = first_ms / 1000, .tv_usec = first_ms % 1000 * 1000L},
    };
    setitimer(ITIMER_REAL, &timer, NULL);
}

static void let_output_go(int descriptor)
{
    struct stat status;
    if (fstat(descriptor, &status) == 0 && !S_ISREG(status.st_mode)) {
        dup2(ending.nowhere, descriptor);
    }
}

static void on_alarm(int signal_number)
{
    if (!is_for_main(signal_number)) {
        return;
    }
    if (ending.alarms++ == 0) {
        if (ending.terminal >= 0) {
            tcflow(ending.terminal, TCOOFF); /* else Linux does not let go on what Ctrl-S stopped */
            tcflow(ending.terminal, TCOON);
        }
        alarm_in(ENDING_AWAY_MS - ENDING_RESUME_MS, AGAIN_MS);
        return;
    }
    if (ending.terminal >= 0) {
        tcflush(ending.terminal, TCOFLUSH);
        tcsetattr(ending.terminal, TCSANOW, &ending.modes);
    }
    let_output_go(STDOUT_FILENO);
    let_output_go(STDERR_FILENO);
}

static void on_signal(int signal_number)
{
    if (!is_for_main(signal_number) || ending.asked != 0) {
        return;
    }
    ending.asked = signal_number;
    signal(SIGTTOU, SIG_IGN); /* modes are put back from the background, too */
    if (write(ending.wake[1], "x", 1) < 0) {
        /* whoever polls has a time-out, too */
    }
    alarm_in(ENDING_RESUME_MS, AGAIN_MS);
}

static void make_ready(void)
{
    ending.main_thread = pthread_self();
    ending.nowhere = open("/dev/null", O_WRONLY | O_CLOEXEC);
    if (pipe(ending.wake) == 0) {
        for (int i = 0; i < 2; i++) {
            fcntl(ending.wake[i], F_SETFD, FD_CLOEXEC);
            fcntl(ending.wake[i], F_SETFL, O_NONBLOCK);
        }
    }
    for (int fd = STDIN_FILENO; fd <= STDERR_FILENO && ending.terminal < 0; fd++) {
        if (tcgetattr(fd, &ending.modes) == 0) {
            ending.terminal = fcntl(fd, F_DUPFD_CLOEXEC, 3);
        }
    }
    ending.ready = true;
}

void ending_begin(void)
{
    struct sigaction action = {.sa_handler = on_signal}, before;
    sigset_t held_back;
    if (!ending.ready) {
        make_ready();
    }
    sigemptyset(&action.sa_mask);
    sigemptyset(&held_back);
    sigaddset(&held_back, SIGALRM);
    for (size_t i = 0; i < SIGNALS; i++) {
        sigaddset(&held_back, signals[i]);
        if (sigaction(signals[i], NULL, &before) == 0 && before.sa_handler != SIG_IGN) {
            sigaction(signals[i], &action, NULL);
        }
    }
    action.sa_handler = on_alarm;
    sigaction(SIGALRM, &action, NULL);
    sigprocmask(SIG_UNBLOCK, &held_back, NULL); /* whoever started the program may hold them back */
}

bool ending_asked(void)
{
    return ending.asked != 0;
}

int ending_descriptor(void)
{
    return ending.wake[0];
}

void ending_end(void)
{
    struct sigaction action = {.sa_handler = SIG_DFL}, before;
    sigemptyset(&action.sa_mask);
    for (size_t i = 0; i < SIGNALS; i++) {
        if (sigaction(signals[i], NULL, &before) == 0 && before.sa_handler == on_signal) {
            sigaction(signals[i], &action, NULL);
        }
    }
}

void ending_have_effect(void)
{
    ending_end();
    if (ending.asked != 0) {
        raise(ending.asked);
    }
}
