/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/worker.h"

#include "base/clock.h"

#include <errno.h>
#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

struct worker {
    void (*news)(void *context);
    void *context;
    pthread_t thread;
    atomic_bool stop_job;

    pthread_mutex_t lock; /* of all below */
    pthread_cond_t changed;
    struct worker_outcome job[WORKER_JOBS]; /* ended ones, the running one, those that wait */
    int ended, count;
    bool running;
    double share;
    int64_t begun_us;
    bool stop;   /* no more jobs */
    bool over;   /* the thread has ended */
    bool let_go; /* nobody waits for it any more */
};

bool worker_goes_on(void *context)
{
    struct worker *worker = context;
    return !atomic_load(&worker->stop_job);
}

bool worker_tell(void *context, double share)
{
    struct worker *worker = context;
    if (isfinite(share)) {
        pthread_mutex_lock(&worker->lock);
        worker->share = share;
        pthread_mutex_unlock(&worker->lock);
    }
    return worker_goes_on(worker);
}

/* Under the lock; gives it up while the job runs. */
static void run_next(struct worker *worker)
{
    struct worker_outcome *place = &worker->job[worker->ended];
    struct worker_job job = place->job;
    struct problem problem = {0};
    worker->running = true;
    worker->share = (double)NAN;
    worker->begun_us = clock_monotonic_us();
    atomic_store(&worker->stop_job, false);
    pthread_mutex_unlock(&worker->lock);
    bool done = job.run(job.data, worker, &problem);
    pthread_mutex_lock(&worker->lock);
    place = &worker->job[worker->ended]; /* those before it may have been taken meanwhile */
    place->done = done;
    place->problem = problem;
    worker->running = false;
    worker->ended++;
    pthread_cond_broadcast(&worker->changed);
    if (worker->news != NULL && !worker->let_go) {
        worker->news(worker->context);
    }
}

static void *worker_main(void *argument)
{
    struct worker *worker = argument;
    pthread_mutex_lock(&worker->lock);
    while (!worker->stop) {
        if (worker->ended < worker->count) {
            run_next(worker);
        } else {
            pthread_cond_wait(&worker->changed, &worker->lock);
        }
    }
    worker->over = true;
    pthread_cond_broadcast(&worker->changed);
    pthread_mutex_unlock(&worker->lock);
    return NULL;
}

struct worker *worker_create(void (*news)(void *context), void *context, struct problem *problem)
{
    struct worker *worker = calloc(1, sizeof *worker);
    pthread_condattr_t attributes;
    if (worker == NULL) {
        problem_set(problem, "no memory for the work beside the session");
        return NULL;
    }
    worker->news = news;
    worker->context = context;
    pthread_mutex_init(&worker->lock, NULL);
    pthread_condattr_init(&attributes);
    pthread_condattr_setclock(&attributes, CLOCK_MONOTONIC);
    pthread_cond_init(&worker->changed, &attributes);
    pthread_condattr_destroy(&attributes);
    if (pthread_create(&worker->thread, NULL, worker_main, worker) != 0) {
        problem_set(problem, "no thread for the work beside the session");
        pthread_cond_destroy(&worker->changed);
        pthread_mutex_destroy(&worker->lock);
        free(worker);
        return NULL;
    }
    return worker;
}

bool worker_give(struct worker *worker, const struct worker_job *job, struct problem *problem)
{
    pthread_mutex_lock(&worker->lock);
    bool room = worker->count < WORKER_JOBS;
    if (room) {
        worker->job[worker->count++] = (struct worker_outcome){.job = *job};
        pthread_cond_broadcast(&worker->changed);
    } else {
        problem_set(problem, "too much is waiting for the disk already; now: %s",
                    worker->job[worker->ended < worker->count ? worker->ended : 0].job.doing);
    }
    pthread_mutex_unlock(&worker->lock);
    if (!room) {
        job->destroy(job->data);
    }
    return room;
}

/* Takes the first out. Under the lock. */
static struct worker_outcome take_first(struct worker *worker)
{
    struct worker_outcome first = worker->job[0];
    worker->count--;
    memmove(&worker->job[0], &worker->job[1], (size_t)worker->count * sizeof first);
    return first;
}

bool worker_take(struct worker *worker, struct worker_outcome *outcome)
{
    pthread_mutex_lock(&worker->lock);
    bool any = worker->ended > 0;
    if (any) {
        worker->ended--;
        *outcome = take_first(worker);
    }
    pthread_mutex_unlock(&worker->lock);
    return any;
}

void worker_state(struct worker *worker, struct worker_state *state)
{
    *state = (struct worker_state){.share = (double)NAN};
    pthread_mutex_lock(&worker->lock);
    state->busy = worker->count > 0;
    if (worker->running) {
        state->running = true;
        state->stopping = atomic_load(&worker->stop_job);
        memcpy(state->doing, worker->job[worker->ended].job.doing, sizeof state->doing);
        state->share = worker->share;
        state->elapsed_s = (double)(clock_monotonic_us() - worker->begun_us) / 1e6;
        state->waiting = worker->count - worker->ended - 1;
    }
    pthread_mutex_unlock(&worker->lock);
}

void worker_stop_job(struct worker *worker)
{
    pthread_mutex_lock(&worker->lock);
    if (worker->running) {
        atomic_store(&worker->stop_job, true);
    }
    pthread_mutex_unlock(&worker->lock);
}

static bool is_idle(const struct worker *worker)
{
    return worker->ended == worker->count;
}

static bool is_over(const struct worker *worker)
{
    return worker->over;
}

/* Under the lock, which is given up meanwhile. */
static bool wait_until(struct worker *worker, bool (*is_so)(const struct worker *), double most_s)
{
    int64_t until_us = clock_monotonic_us() + (int64_t)(most_s * 1e6);
    struct timespec until = {.tv_sec = (time_t)(until_us / 1000000),
                             .tv_nsec = (long)(until_us % 1000000) * 1000};
    int code = 0;
    while (!is_so(worker) && code != ETIMEDOUT) {
        code = pthread_cond_timedwait(&worker->changed, &worker->lock, &until);
    }
    return is_so(worker);
}

bool worker_wait(struct worker *worker, double most_s)
{
    pthread_mutex_lock(&worker->lock);
    bool idle = wait_until(worker, is_idle, most_s);
    pthread_mutex_unlock(&worker->lock);
    return idle;
}

bool worker_end(struct worker *worker, double most_s)
{
    if (worker == NULL) {
        return true;
    }
    pthread_mutex_lock(&worker->lock);
    worker->stop = true;
    atomic_store(&worker->stop_job, true);
    pthread_cond_broadcast(&worker->changed);
    bool over = wait_until(worker, is_over, most_s);
    worker->let_go = !over;
    pthread_mutex_unlock(&worker->lock);
    if (!over) {
        pthread_detach(worker->thread);
        return false;
    }
    pthread_join(worker->thread, NULL);
    while (worker->count > 0) {
        struct worker_job job = take_first(worker).job;
        job.destroy(job.data);
    }
    pthread_cond_destroy(&worker->changed);
    pthread_mutex_destroy(&worker->lock);
    free(worker);
    return true;
}
