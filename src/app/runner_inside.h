/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RUNNER_INSIDE_H
#define HOLDLINE_APP_RUNNER_INSIDE_H

/* The inside of the script runner, for the files runner*.c only. */

#include "app/outputs.h"
#include "app/recorder.h"
#include "app/rig_teller.h"
#include "app/runner.h"
#include "rig/reader.h"

/* Samples that were decoded and not taken yet: the session must see them one by one. */
struct pending {
    struct sample *sample;
    size_t count, next, capacity;
    bool failed;
};

struct runner {
    const struct runner_options *options;
    struct session *session;
    /* The store is opened first, and written to from the first sample on: a script that fails
     * before has left nothing in it. */
    struct recorder *recorder;
    bool recording;
    struct effect *early;
    size_t early_count, early_capacity;
    struct rig_teller teller;
    struct reader *rig;    /* the session's sensors, or NULL */
    struct reader *source; /* what samples are taken from now */
    struct pending pending;
    int64_t last_number, last_time_us;
    bool told_rig;
    int64_t lost, rejected;
    struct outputs outputs;
};

/* ---- runner_samples.c: from the source to the session and the store ---- */
void runner_on_effect(void *runner, const struct effect *effect);
/* What came before the first sample is written at once: a session that is in the store already is
 * told of now, not when all is done. */
bool runner_start_recording(struct runner *runner, struct problem *problem);
/* A hold, target, plate or check is in progress. */
bool runner_in_progress(const struct runner *runner);
/* Takes samples until that is over; a file may end before. */
bool runner_finish_activity(struct runner *runner, bool from_file, struct problem *problem);
/* Takes samples of so many seconds. */
bool runner_wait(struct runner *runner, double seconds, struct problem *problem);

/* ---- runner_steps.c: one line of a script ---- */
bool runner_step(struct runner *runner, const char *text, struct problem *problem);

#endif
