/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/progress.h"

#include "base/clock.h"

#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <unistd.h>

#define QUIET_US 1000000
#define RENEW_US 200000

static void stop_signals(sigset_t *set)
{
    sigemptyset(set);
    sigaddset(set, SIGINT);
    sigaddset(set, SIGTERM);
    sigaddset(set, SIGHUP);
}

void progress_begin(struct progress *progress, const char *doing)
{
    sigset_t set;
    stop_signals(&set);
    sigprocmask(SIG_BLOCK, &set, NULL);
    *progress = (struct progress){.doing = doing,
                                  .started_us = clock_monotonic_us(),
                                  .on_terminal = isatty(STDERR_FILENO) != 0};
}

static bool wants_to_end(void)
{
    sigset_t set;
    return sigpending(&set) == 0 &&
           (sigismember(&set, SIGINT) == 1 || sigismember(&set, SIGTERM) == 1 ||
            sigismember(&set, SIGHUP) == 1);
}

bool progress_tell(void *context, double share)
{
    struct progress *progress = context;
    int64_t now_us = clock_monotonic_us();
    if (progress->on_terminal && now_us - progress->started_us >= QUIET_US &&
        now_us - progress->shown_us >= RENEW_US) {
        progress->shown_us = now_us;
        progress->shown = true;
        if (isfinite(share)) {
            fprintf(stderr, "\r%s: %d %% \033[K", progress->doing, (int)(share * 100.0));
        } else {
            fprintf(stderr, "\r%s: %d s \033[K", progress->doing,
                    (int)((now_us - progress->started_us) / 1000000));
        }
        fflush(stderr);
    }
    progress->stopped = wants_to_end();
    return !progress->stopped;
}

void progress_end(struct progress *progress)
{
    sigset_t set;
    if (progress->shown) {
        fputs("\r\033[K", stderr);
        fflush(stderr);
    }
    stop_signals(&set);
    sigprocmask(SIG_UNBLOCK, &set, NULL);
}
