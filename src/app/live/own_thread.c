/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "own_thread.h"

#include <unistd.h>

bool own_thread_start(struct own_thread *thread, void *(*run)(void *context), void *context,
                      const char *what, struct problem *problem)
{
    int ends[2];
    if (pipe(ends) != 0) {
        return problem_set(problem, "no descriptors for %s", what);
    }
    thread->wake = ends[0];
    thread->waker = ends[1];
    atomic_store(&thread->stop, false);
    if (pthread_create(&thread->thread, NULL, run, context) != 0) {
        close(ends[0]);
        close(ends[1]);
        return problem_set(problem, "no thread for %s", what);
    }
    return true;
}

void own_thread_stop(struct own_thread *thread)
{
    atomic_store(&thread->stop, true);
    if (write(thread->waker, "x", 1) < 0) {
        /* the pipe is empty till then: it can't be full */
    }
    pthread_join(thread->thread, NULL);
    close(thread->wake);
    close(thread->waker);
}
