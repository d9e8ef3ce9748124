/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_APP_LIVE_OWN_THREAD_H
#define HOLDLINE_SRC_APP_LIVE_OWN_THREAD_H

#include "base/problem.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>

/* A thread that waits in poll and is woken at the end. It looks at 'stop' whenever its wait is
 * over, and has 'wake' among what it waits for. */
struct own_thread {
    pthread_t thread;
    atomic_bool stop;
    int wake; /* can be read from once it shall stop */
    int waker;
};

/* False with a problem ("no thread for WHAT"): nothing runs, nothing is open. */
bool own_thread_start(struct own_thread *thread, void *(*run)(void *context), void *context,
                      const char *what, struct problem *problem);
/* Wakes it, waits for its end, closes what it waited on. */
void own_thread_stop(struct own_thread *thread);

#endif
