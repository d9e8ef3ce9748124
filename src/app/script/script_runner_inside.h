/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_SCRIPT_RUNNER_INSIDE_H
#define HOLDLINE_APP_SCRIPT_RUNNER_INSIDE_H

/* The inside of the script runner, for the files runner*.c only. */

#include "app/recorder.h"
#include "app/rig_teller.h"
#include "app/script_runner.h"
#include "app/session_reports.h"
#include "rig/reader.h"

/* Samples that were decoded and not taken yet: the session must see them one by one. */
struct pending {
    struct sample *sample;
    size_t count, next, capacity;
    bool failed;
};

struct script_runner {
    const struct script_runner_options *options;
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
    bool rig_announced;
    bool source_fits;            /* its channels were held against the session's: */
    struct rig_info source_info; /* as they were then */
    int source_of[CHANNELS_MAX]; /* by the session's channel, the source's */
    bool is_down;                /* the cable is out, and that was told */
    int64_t lost, rejected;
    struct session_reports reports;
};

/* ---- script_runner_samples.c: from the source to the session and the store ---- */
void script_runner_on_effect(void *runner, const struct effect *effect);
/* What came before the first sample is written at once: a session that is in the store already is
 * told of now, not when all is done. */
bool script_runner_start_recording(struct script_runner *runner, struct problem *problem);
/* A hold, target, plate or check is in progress. */
bool script_runner_in_progress(const struct script_runner *runner);
/* Takes samples until that is over, or so many seconds of it are there: it is stopped then. A file
 * may end before; where a check waits for 'check go', that is for the script's next lines. */
bool script_runner_finish_activity(struct script_runner *runner, bool from_file,
                                   double stop_after_s, struct problem *problem);
/* Takes samples of so many seconds. */
bool script_runner_wait(struct script_runner *runner, double seconds, struct problem *problem);
/* Takes samples up to the one with this number. */
bool script_runner_wait_for(struct script_runner *runner, int64_t number, struct problem *problem);

/* ---- script_runner_steps.c: one line of a script ---- */
/* Is its first word known? first: nothing stands before it. */
bool script_runner_knows(const char *text, bool first, struct problem *problem);
bool script_runner_step(struct script_runner *runner, const char *text, struct problem *problem);

#endif
