/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "recorder_inside.h"

#include "base/clock.h"
#include "base/text.h"
#include "store/care.h"
#include "store/store.h"

#include <errno.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#define RETRY_US 1000000
#define SYNCHRONOUS_SAMPLES 16384 /* written at once when so many have come together */
#define CHUNK 1024                /* samples taken out of the ring at once */
#define RESCUED_MOST 1000
#define FIRST_QUEUE 32 /* room for so many records at first */

static void destroy_parts(struct recorder *recorder)
{
    if (recorder->wake_made) {
        pthread_cond_destroy(&recorder->wake);
    }
    if (recorder->lock_made) {
        pthread_mutex_destroy(&recorder->lock);
    }
    batch_destroy(&recorder->batch);
    free(recorder->queue);
    free(recorder);
}

static struct recorder *make(const char *store_path, struct problem *problem)
{
    struct recorder *recorder = calloc(1, sizeof *recorder);
    if (recorder == NULL) {
        problem_set(problem, "there is no memory for the recorder");
        return NULL;
    }
    if (strlen(store_path) >= sizeof recorder->store_path) {
        problem_usage(problem, "the path of the store is too long");
        free(recorder);
        return NULL;
    }
    text_copy(recorder->store_path, sizeof recorder->store_path, store_path);
    recorder->disk_left_mb = -1;
    pthread_condattr_t attributes;
    pthread_condattr_init(&attributes);
    pthread_condattr_setclock(&attributes, CLOCK_MONOTONIC);
    recorder->lock_made = pthread_mutex_init(&recorder->lock, NULL) == 0;
    recorder->wake_made = pthread_cond_init(&recorder->wake, &attributes) == 0;
    pthread_condattr_destroy(&attributes);
    recorder->queue = malloc(FIRST_QUEUE * sizeof *recorder->queue);
    recorder->queue_capacity = FIRST_QUEUE;
    if (!batch_create(&recorder->batch) || recorder->queue == NULL || !recorder->lock_made ||
        !recorder->wake_made) {
        problem_set(problem, "there is no memory for the recorder");
        destroy_parts(recorder);
        return NULL;
    }
    snprintf(recorder->state.text, sizeof recorder->state.text, "opening the store");
    return recorder;
}

struct recorder *recorder_create(const struct recorder_settings *settings, struct problem *problem)
{
    struct recorder *recorder = make(settings->store_path, problem);
    if (recorder != NULL) {
        recorder->ring = settings->samples;
        recorder->resume_id = settings->resume_id;
        recorder->batch.has_session = settings->resume_id != 0;
        recorder->batch.has_content = recorder->batch.has_session;
    }
    return recorder;
}

static void take_queue(struct recorder *recorder)
{
    pthread_mutex_lock(&recorder->lock);
    size_t taken = 0;
    while (taken < recorder->queue_count &&
           batch_add_effect(&recorder->batch, &recorder->queue[taken])) {
        taken++;
    }
    recorder->queue_count -= taken;
    if (recorder->queue_count > 0) { /* the batch is at its bound */
        memmove(recorder->queue, recorder->queue + taken,
                recorder->queue_count * sizeof *recorder->queue);
    }
    pthread_mutex_unlock(&recorder->lock);
}

static void drain_ring(struct recorder *recorder)
{
    struct recorder_batch *batch = &recorder->batch;
    size_t waiting = ring_waiting(recorder->ring);
    while (waiting > 0) {
        size_t room = batch_room(batch, waiting < CHUNK ? waiting : CHUNK);
        size_t taken;
        if (room > 0) {
            taken = ring_pop(recorder->ring, batch->sample + batch->sample_count, room);
            batch->sample_count += taken;
        } else { /* the 30 minutes are full: the oldest are kept, for they hang together */
            struct sample dropped;
            taken = ring_pop(recorder->ring, &dropped, 1);
            batch->sample_lost += taken;
        }
        recorder->samples_taken += taken;
        waiting = taken > 0 ? waiting - taken : 0;
    }
}

static bool open_store(struct recorder *recorder, const struct store_watch *watch)
{
    recorder->store =
        store_open_watched(recorder->store_path, STORE_RECORD, watch, &recorder->trouble);
    if (recorder->store == NULL) {
        return false;
    }
    bool done = true;
    if (!recorder->synchronous) {
        store_keep_few_pages(recorder->store);
    }
    if (recorder->go_on_id != 0) {
        done = store_go_on(recorder->store, recorder->go_on_id, &recorder->trouble);
    } else if (recorder->resume_id != 0) {
        done = store_resume(recorder->store, recorder->resume_id, &recorder->trouble);
    }
    if (!done) {
        store_close(recorder->store);
        recorder->store = NULL;
    }
    return done;
}

/* The store was taken away under the session: all that was written is put where it was, and goes on
 * there. */
static bool put_back(struct recorder *recorder)
{
    int64_t session_id = store_recording_id(recorder->store);
    if (!store_was_moved(recorder->store) || !store_put_back(recorder->store, &recorder->trouble)) {
        return false;
    }
    store_close(recorder->store);
    recorder->store = NULL;
    recorder->go_on_id = session_id;
    recorder->was_put_back = true;
    return true;
}

/* What can't be written by this connection may be by another. */
static bool let_go(struct recorder *recorder)
{
    int64_t session_id = store_recording_id(recorder->store);
    if (!store_lost_its_file(recorder->store)) {
        return false;
    }
    store_close(recorder->store);
    recorder->store = NULL;
    recorder->go_on_id = session_id;
    return true;
}

static bool open_and_write(struct recorder *recorder)
{
    const struct store_watch watch = {recorder_tell_opening, recorder};
    return (recorder->store != NULL || open_store(recorder, &watch)) &&
           batch_write(&recorder->batch, recorder->store, &recorder->trouble);
}

/* Writes what is waiting, unless it has just failed. */
static bool write_waiting(struct recorder *recorder, bool now)
{
    int64_t now_us = clock_monotonic_us();
    if (recorder->trouble.kind != PROBLEM_NONE && !now && now_us < recorder->next_try_us) {
        return false;
    }
    struct problem before = recorder->trouble;
    recorder->trouble.kind = PROBLEM_NONE;
    bool done = open_and_write(recorder) ||
                (recorder->store != NULL && (put_back(recorder) || let_go(recorder)) &&
                 open_and_write(recorder));
    if (done) {
        recorder->trouble.kind = PROBLEM_NONE;
    } else {
        if (recorder->trouble.kind == PROBLEM_NONE) {
            recorder->trouble = before;
        }
        recorder->next_try_us = clock_monotonic_us() + RETRY_US;
    }
    return done;
}

static void cycle(struct recorder *recorder, bool now)
{
    take_queue(recorder); /* first: what these records point at is in the ring by now */
    drain_ring(recorder);
    write_waiting(recorder, now);
    recorder_look_at_disk(recorder);
    recorder_renew_state(recorder);
}

/* Waits for the next commit; false when it is time to stop. */
static bool wait_until(struct recorder *recorder, int64_t until_us)
{
    struct timespec until = {.tv_sec = (time_t)(until_us / 1000000),
                             .tv_nsec = (long)(until_us % 1000000) * 1000};
    pthread_mutex_lock(&recorder->lock);
    int code = 0;
    while (!recorder->stop && code != ETIMEDOUT) {
        code = pthread_cond_timedwait(&recorder->wake, &recorder->lock, &until);
    }
    bool stop = recorder->stop;
    pthread_mutex_unlock(&recorder->lock);
    return !stop;
}

static void *run(void *context)
{
    struct recorder *recorder = context;
    int64_t due_us;
    do {
        due_us = clock_monotonic_us() + RECORDER_COMMIT_US;
        cycle(recorder, false);
    } while (wait_until(recorder, due_us));
    cycle(recorder, true);
    return NULL;
}

bool recorder_start(struct recorder *recorder, struct problem *problem)
{
    int code = pthread_create(&recorder->thread, NULL, run, recorder);
    recorder->thread_runs = code == 0;
    return code == 0 || problem_set(problem, "the recorder can't be started: %s", strerror(code));
}

struct recorder *recorder_create_synchronous(const char *store_path,
                                             const struct store_watch *watch,
                                             struct problem *problem)
{
    struct recorder *recorder = make(store_path, problem);
    if (recorder == NULL) {
        return NULL;
    }
    recorder->synchronous = true;
    recorder->batch.has_content = true; /* a script is run to be kept */
    if (!open_store(recorder, watch)) {
        if (problem != NULL) {
            *problem = recorder->trouble;
        }
        destroy_parts(recorder);
        return NULL;
    }
    recorder->next_commit_us = clock_monotonic_us() + RECORDER_COMMIT_US;
    return recorder;
}

/* Synchronous: a commit is due by time or by number. */
static void write_when_due(struct recorder *recorder)
{
    int64_t now_us = clock_monotonic_us();
    if (now_us >= recorder->next_commit_us || recorder->batch.sample_count >= SYNCHRONOUS_SAMPLES) {
        recorder->next_commit_us = now_us + RECORDER_COMMIT_US;
        write_waiting(recorder, false);
        recorder_renew_state(recorder);
    }
}

void recorder_take_effect(struct recorder *recorder, const struct effect *effect)
{
    if (recorder->synchronous) {
        if (!batch_add_effect(&recorder->batch, effect)) {
            recorder->effects_refused++;
        }
        write_when_due(recorder);
        return;
    }
    pthread_mutex_lock(&recorder->lock);
    if (recorder->queue_count == recorder->queue_capacity &&
        recorder->queue_capacity < BATCH_EFFECTS_MAX) {
        size_t capacity = recorder->queue_capacity * 2;
        struct effect *larger = realloc(recorder->queue, capacity * sizeof *larger);
        if (larger != NULL) {
            recorder->queue = larger;
            recorder->queue_capacity = capacity;
        }
    }
    if (recorder->queue_count < recorder->queue_capacity) {
        recorder->queue[recorder->queue_count++] = *effect;
    } else {
        recorder->effects_refused++;
    }
    pthread_mutex_unlock(&recorder->lock);
}

bool recorder_take_sample(struct recorder *recorder, const struct sample *sample)
{
    struct recorder_batch *batch = &recorder->batch;
    if (batch_room(batch, 1) == 0) {
        batch->sample_lost++;
        return false;
    }
    batch->sample[batch->sample_count++] = *sample;
    recorder->samples_taken++;
    write_when_due(recorder);
    return recorder->trouble.kind == PROBLEM_NONE;
}

bool recorder_flush(struct recorder *recorder, struct problem *problem)
{
    bool done = write_waiting(recorder, true);
    recorder->next_commit_us = clock_monotonic_us() + RECORDER_COMMIT_US;
    recorder_renew_state(recorder);
    if (!done && problem != NULL) {
        *problem = recorder->trouble;
    }
    return done;
}

/* A name that is free, with a number behind it where there was one before. */
static void name_rescued(char *path, size_t size, const char *folder, const char *name)
{
    snprintf(path, size, "%s/%s.rescued", folder, name);
    for (int number = 2; access(path, F_OK) == 0 && number < RESCUED_MOST; number++) {
        snprintf(path, size, "%s/%s.rescued-%d", folder, name, number);
    }
}

/* A store that was taken away and could not be put back is written elsewhere as it is held. */
static void rescue_store(struct recorder *recorder)
{
    const char *slash = strrchr(recorder->store_path, '/');
    const char *name = slash != NULL ? slash + 1 : recorder->store_path;
    const char *temporary = getenv("TMPDIR");
    const char *folders[] = {getenv("HOME"), temporary != NULL ? temporary : "/tmp"};
    for (size_t i = 0; i < sizeof folders / sizeof folders[0]; i++) {
        char path[PATH_SIZE + 64];
        struct problem why = recorder->trouble, problem;
        name_rescued(path, sizeof path, folders[i] != NULL ? folders[i] : "", name);
        if (folders[i] != NULL && store_backup(recorder->store, path, NULL, &problem)) {
            problem_set(&recorder->trouble, "%s. All that was in it is now in %s", why.sentence,
                        path);
            recorder->finish_problem = recorder->trouble;
            return;
        }
    }
}

/* What is still waiting when all is over goes into a file beside the store. */
static void save_unwritten(struct recorder *recorder)
{
    struct recorder_batch *batch = &recorder->batch;
    char path[PATH_SIZE + 64];
    if (recorder->store != NULL && store_was_moved(recorder->store) && !put_back(recorder)) {
        rescue_store(recorder);
    }
    struct problem why = recorder->trouble, problem = {0};
    if (batch_is_bare(batch) || (batch->sample_count == 0 && batch->effect_count == 0)) {
        return;
    }
    if (recorder->synchronous) { /* the script and its streams are still there */
        recorder->finish_problem = why;
    } else if (batch_salvage(batch, recorder->store_path, path, sizeof path, &problem)) {
        batch_salvage_words(batch, recorder->store_path, path, &why, &recorder->finish_problem);
    } else {
        problem_set(&recorder->finish_problem, "%s. %zu samples are lost: %s", why.sentence,
                    batch->sample_count, problem.sentence);
    }
}

bool recorder_finish(struct recorder *recorder, struct problem *problem)
{
    if (!recorder->finished) {
        recorder->finished = true;
        pthread_mutex_lock(&recorder->lock);
        recorder->stop = true;
        pthread_cond_signal(&recorder->wake);
        pthread_mutex_unlock(&recorder->lock);
        if (recorder->thread_runs) {
            pthread_join(recorder->thread, NULL);
            recorder->thread_runs = false;
        } else if (recorder->synchronous) {
            write_waiting(recorder, true);
        }
        if (recorder->trouble.kind == PROBLEM_NONE && recorder->effects_refused > 0) {
            problem_set(&recorder->finish_problem, "%llu records found no room and are not stored",
                        (unsigned long long)recorder->effects_refused);
        }
        save_unwritten(recorder);
        store_close(recorder->store);
        recorder->store = NULL;
        recorder_renew_state(recorder);
    }
    if (recorder->finish_problem.kind == PROBLEM_NONE) {
        return true;
    }
    if (problem != NULL) {
        *problem = recorder->finish_problem;
    }
    return false;
}

void recorder_destroy(struct recorder *recorder)
{
    if (recorder == NULL) {
        return;
    }
    recorder_finish(recorder, NULL);
    destroy_parts(recorder);
}
