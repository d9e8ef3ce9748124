/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RECORDER_H
#define HOLDLINE_APP_RECORDER_H

#include "base/problem.h"
#include "base/ring.h"
#include "record/effect.h"
#include "store/store.h"

#include <stdbool.h>
#include <stdint.h>

/* From the ring of samples and the session's effects into the store, a commit every
 * RECORDER_COMMIT_US of wall time: so much a program that is killed lacks by design.
 *
 * Live, it is a thread of its own that opens the store itself, so that neither the screen nor the
 * reader waits for a disk. What can't be written (disk full, locked, gone) is kept in memory and
 * tried again each second; what can't be written at the end is saved beside the store as bench
 * lines.
 *
 * Who may call what:
 *   recorder_create, recorder_start, recorder_finish, recorder_destroy: the thread that owns it, in
 * this order; recorder_take_effect: one thread, the one that steps the session; recorder_state: any
 * thread. The reader pushes a sample into the recorder's ring before it pushes it into the
 * session's, so that whatever the session has seen is in the ring: a commit never has a record
 * without the samples that it points at. Order of stopping: reader (no more samples), session (no
 * more effects), recorder_finish, then the ring may go.
 *
 * For scripts, which wait, it is the same without the thread: recorder_create_synchronous, then
 * recorder_take_sample and recorder_take_effect from one thread, each of which writes when that
 * has gone or enough has come together. */
struct recorder;

#define RECORDER_COMMIT_US 100000

/* A good size for the ring: 65 s at 1000 samples/s, for a disk that stalls. */
#define RECORDER_RING_SAMPLES 65536

struct recorder_settings {
    const char *store_path; /* copied */
    struct ring *samples;   /* of struct sample; the recorder is its reader. The caller's. */
    int64_t resume_id;      /* row id of a cut-short session to go on with; 0 = a new one */
};

/* Makes it; nothing is opened yet. NULL without memory. */
struct recorder *recorder_create(const struct recorder_settings *settings, struct problem *problem);
bool recorder_start(struct recorder *recorder, struct problem *problem);

/* Opens the store at once; watch (NULL = nobody) is told how it goes while an earlier version's is
 * brought up. NULL with a sentence when it can't be had. */
struct recorder *recorder_create_synchronous(const char *store_path,
                                             const struct store_watch *watch,
                                             struct problem *problem);

/* Takes a record by value (an effect_sink but for the type of its context). */
void recorder_take_effect(struct recorder *recorder, const struct effect *effect);
/* Synchronous only. False once the store takes no more: recorder_finish has the sentence. */
bool recorder_take_sample(struct recorder *recorder, const struct sample *sample);
/* Synchronous only: writes what is waiting now. */
bool recorder_flush(struct recorder *recorder, struct problem *problem);

/* Everything that has been taken is written, the thread ended, the store sealed. False with a
 * sentence when something could not be written: it says where it was saved instead. */
bool recorder_finish(struct recorder *recorder, struct problem *problem);
/* Where samples of a session were saved beside its store so: the command that takes them in, whole.
 * False: there is no such file. */
bool recorder_find_saved(const char *store_path, const struct store_session *session, char *command,
                         size_t size);
/* After recorder_finish (called if it wasn't). NULL is allowed. */
void recorder_destroy(struct recorder *recorder);

struct recorder_state {
    bool store_open;
    bool in_trouble;    /* something waits because it could not be written */
    char text[128];     /* 'all stored', '1,204 samples wait in memory' */
    char sentence[512]; /* what is wrong and what to do; "" when nothing is */
    char brief[256];    /* the same with the store's name for its path, to fit a screen's line */
    uint64_t samples_taken; /* out of the ring */
    uint64_t samples_stored;
    uint64_t samples_waiting; /* in memory, not yet written */
    uint64_t samples_lost;    /* refused by the full ring, or past the 30 minutes kept in memory */
    uint64_t effects_waiting;
    int64_t session_id; /* row id in the store; 0 = not there yet */
};
/* A copy of how it stands; any thread. */
void recorder_state(struct recorder *recorder, struct recorder_state *state);

#endif
