/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RECORDER_INSIDE_H
#define HOLDLINE_APP_RECORDER_INSIDE_H

/* The inside of the recorder, for the files recorder*.c only. */

#include "app/recorder.h"
#include "recorder_batch.h"

#include <pthread.h>

#define PATH_SIZE 4096

struct recorder {
    /* set before the thread starts */
    char store_path[PATH_SIZE];
    struct ring *ring;
    int64_t resume_id;
    bool synchronous;

    /* the thread's own (the caller's, when synchronous) */
    struct store *store;
    struct recorder_batch batch;
    uint64_t samples_taken;
    int64_t go_on_id;    /* session of a store that was put back, or opened again */
    bool was_put_back;   /* the store, which had been taken away */
    int64_t next_try_us; /* after trouble */
    int64_t next_commit_us;
    int64_t next_disk_us, disk_left_mb; /* -1: enough */
    struct problem trouble;

    /* behind the lock */
    pthread_mutex_t lock;
    pthread_cond_t wake;
    struct effect *queue;
    size_t queue_count, queue_capacity;
    uint64_t effects_refused;
    bool stop;
    struct recorder_state state;

    pthread_t thread;
    bool thread_runs, lock_made, wake_made;
    bool finished; /* the owner's */
    struct problem finish_problem;
};

/* ---- recorder_state.c: how it stands, for the screen; in the recorder's thread ---- */
/* Looked at every so often while all goes well: below a twentieth of the disk, and 2 GB, it is
 * told. */
void recorder_look_at_disk(struct recorder *recorder);
/* Puts into words what is known in the thread. */
void recorder_renew_state(struct recorder *recorder);
/* A store_watch's: live, the screen tells it; bringing a store up is never broken off by the end of
 * a session, whose readings are to go into it. */
bool recorder_tell_opening(void *context, double share);

#endif
