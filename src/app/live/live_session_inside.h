/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_LIVE_SESSION_INSIDE_H
#define HOLDLINE_APP_LIVE_SESSION_INSIDE_H

/* The inside of the live session's thread, for the files live_session*.c only. */

#include "app/live_session.h"
#include "app/rig_teller.h"
#include "app/session_reports.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>

#define ASKED_MAX 32

struct asked {
    enum live_request request;
    char line[COMMAND_TEXT_SIZE];
};

struct live_session {
    const struct live_options *options;
    struct recorder *recorder;
    struct session *session;
    struct session_reports reports;
    struct rig_teller teller;
    pthread_t thread;
    struct ring *ring;
    int bell[2];      /* a byte: there is something to do */
    atomic_bool rung; /* also while the thread is awake or will be soon: nobody need ring */
    atomic_bool stop;
    _Atomic int64_t look_us; /* when the screen looks next */
    uint64_t samples_seen;
    bool rig_announced;
    FILE *trace;

    pthread_mutex_t lock; /* of all below */
    struct rig_info info;
    bool has_info;
    struct rig_health health;
    struct link *link;
    char link_reason[256];
    bool link_changed;
    struct asked asked[ASKED_MAX];
    int asked_count;
    struct live_answer answer[ASKED_MAX];
    int answer_count;
    struct view *front;
    uint64_t front_serial;

    struct view *back; /* of the session's thread */
    struct view_earlier earlier;
    uint64_t publications;
    int64_t published_us;
    uint64_t published_stored;
};

/* live_session_calls.c: there is something to do */
void live_session_ring(struct live_session *live);

#endif
