/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_WORKER_H
#define HOLDLINE_APP_WORKER_H

#include "base/problem.h"

#include <stdbool.h>
#include <stdint.h>

/* One thread beside the live session's for whatever may wait on a disk (exports, earlier sessions):
 * jobs are done one after the other, in the order in which they were given. Who gives them takes
 * what they came to in its own loop. One thread gives, takes and ends; any may look and stop. */
struct worker;

#define WORKER_JOBS 8 /* that run, wait, or have not been taken yet */

/* In the worker's thread. False with a problem; also when worker_tell said that it is to end. */
typedef bool worker_run(void *data, struct worker *worker, struct problem *problem);

struct worker_job {
    char doing[128]; /* 'writing sheet.pdf' */
    worker_run *run;
    void (*destroy)(void *data);
    void *data; /* the job's own: nobody else reads or writes it until it is taken */
};

struct worker_outcome {
    struct worker_job job; /* data is the taker's now */
    bool done;
    struct problem problem;
};

/* From within a job, now and then (a store_progress): share done from 0 to 1, NAN where it isn't
 * known. False: the job is to leave nothing behind and end. */
bool worker_tell(void *worker, double share);
/* The same where nothing new is known of the share. */
bool worker_goes_on(void *worker);

/* news (NULL = nobody) is called from the worker's thread when a job has ended. */
struct worker *worker_create(void (*news)(void *context), void *context, struct problem *problem);

/* The job is the worker's, or destroyed: false with a sentence when there are too many. */
bool worker_give(struct worker *worker, const struct worker_job *job, struct problem *problem);
bool worker_take(struct worker *worker, struct worker_outcome *outcome);

struct worker_state {
    bool busy; /* a job runs or waits, or has not been taken yet */
    bool running;
    bool stopping; /* it was told to end and has not yet */
    char doing[128];
    double share;     /* NAN: not known */
    double elapsed_s; /* since it began */
    int waiting;      /* behind it */
};
void worker_state(struct worker *worker, struct worker_state *state);
/* The running job is told to end; those that wait come next. */
void worker_stop_job(struct worker *worker);
/* Until nothing runs or waits; false when that was not so within this time. */
bool worker_wait(struct worker *worker, double most_s);

/* Stops what runs, drops what waits, and frees it. False when the running job could not be ended
 * within this time (a disk that does not answer): it is let go of with its data and all that it
 * reads, and news is not called any more. NULL is allowed. */
bool worker_end(struct worker *worker, double most_s);

#endif
