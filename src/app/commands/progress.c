/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/progress.h"

#include "app/ending.h"
#include "base/clock.h"

#include <math.h>
#include <poll.h>
#include <stdio.h>
#include <unistd.h>

#define QUIET_US 1000000
#define RENEW_US 200000

/* A terminal that was stopped is told nothing: that would wait. */
static bool takes_text(void)
{
    struct pollfd output = {.fd = STDERR_FILENO, .events = POLLOUT};
    return poll(&output, 1, 0) > 0 && (output.revents & POLLOUT) != 0;
}

void progress_begin(struct progress *progress, const char *doing)
{
    ending_begin();
    *progress = (struct progress){.doing = doing,
                                  .started_us = clock_monotonic_us(),
                                  .on_terminal = isatty(STDERR_FILENO) != 0};
}

bool progress_tell(void *context, double share)
{
    struct progress *progress = context;
    int64_t now_us = clock_monotonic_us();
    if (progress->on_terminal && now_us - progress->started_us >= QUIET_US &&
        now_us - progress->shown_us >= RENEW_US && takes_text()) {
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
    progress->stopped = ending_asked();
    return !progress->stopped;
}

void progress_end(struct progress *progress)
{
    if (progress->shown && takes_text()) {
        fputs("\r\033[K", stderr);
        fflush(stderr);
    }
    ending_have_effect();
}
