/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_LIVE_SESSION_INSIDE_H
#define HOLDLINE_APP_LIVE_SESSION_INSIDE_H

/* The inside of the live session's thread, for the files live_session*.c only. */

#include "app/learn.h"
#include "app/live_session.h"
#include "app/own_samples.h"
#include "app/rig_teller.h"
#include "app/session_reports.h"
#include "app/worker.h"
#include "base/words.h"

#include <limits.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>

#define ASKED_MAX 32

struct asked {
    uint64_t number;
    enum live_request request;
    char line[COMMAND_TEXT_SIZE];
};

struct live_session {
    const struct live_options *options;
    struct recorder *recorder;
    struct snapshot_pool *snapshots;
    struct session *session;
    struct own_samples own; /* what the session does not keep in memory */
    struct session_reports reports;
    struct rig_teller teller;
    pthread_t thread;
    struct ring *ring;
    int bell[2];      /* a byte: there is something to do */
    atomic_bool rung; /* also while the thread is awake or will be soon: nobody need ring */
    atomic_bool stop;
    _Atomic int64_t look_us; /* when the screen looks next */
    uint64_t samples_seen;
    char folder[PATH_MAX]; /* files without a folder go there */
    bool rig_announced;
    bool rig_refused;        /* nothing of it is taken: its channels are not what was entered, */
    uint64_t refused_serial; /* as that was then: tried again when it has changed */
    FILE *trace;

    pthread_mutex_t lock; /* of all below */
    struct rig_info info;
    bool has_info;
    struct rig_health health;
    struct link *link;
    char link_reason[sizeof((struct view *)0)->link_trouble];
    bool link_changed;
    bool offers, offer_taken; /* how the lines may be read */
    struct asked asked[ASKED_MAX];
    int asked_count;
    uint64_t requests;
    struct live_answer answer[LIVE_ASKERS][ASKED_MAX];
    int answer_count[LIVE_ASKERS];
    struct live_look front;

    struct view back; /* of the session's thread */
    struct view_carry_offers earlier;
    struct worker *worker;
    char named[sizeof((struct view *)0)->sheet_name]; /* proposed, whether it is free or not */
    struct learn_wanted learnt;                       /* for whom earlier sessions were read last */
    uint64_t waiting_request; /* of a job: answered by then, whatever it came to; 0 = none */
    int64_t waiting_until_us;
    uint64_t publications;
    int64_t published_us;
    uint64_t published_stored;
};

/* ---- live_session_requests.c ---- */
/* There is something to do. */
void live_session_ring(struct live_session *live);
/* A line of the trace, where one is written. */
void live_session_trace(struct live_session *live, const char *what, const char *text);
void live_session_answer_with(struct live_session *live, uint64_t request, bool done,
                              const char *sentence);
/* The same with a longer text, which is the answer's then; NULL = none. */
void live_session_answer_text(struct live_session *live, uint64_t request, bool done,
                              const char *sentence, char *text);
/* Not done: is it meant so? */
void live_session_answer_asked(struct live_session *live, uint64_t request, const char *sentence);
enum live_asker live_asker_of(uint64_t request);
/* A job was begun for it: the screen waits so long for its end at most, a teller to the end. */
void live_session_wait_for(struct live_session *live, uint64_t request);
/* The job has ended, with this, or is on its way. */
void live_session_answer_job(struct live_session *live, uint64_t request, bool done,
                             const char *sentence);
/* 'read proposed': the reader is to read the lines as it offered. */
bool live_session_take_offer(struct live_session *live, struct problem *problem);
/* One of the session's own commands (a carry_sink; the context is the live session). */
bool live_session_do(void *live, const char *line, struct problem *problem);
/* The look's own copies of what its view points at, as far as they are new. */
void live_look_follow(struct live_look *look, const struct view_carry_offers *earlier,
                      const struct view_history *history);

/* ---- live_session_samples.c ---- */
/* Where in the store the session's own samples are. */
const struct own_samples *live_own_samples(struct live_session *live);
/* A sample_source of the session's thread; the context is the live session. */
bool live_samples_from_store(void *live, int64_t first, int64_t last, const struct sample **samples,
                             size_t *count);

/* ---- live_session_work.c: what is asked of the session's thread ---- */
/* Does what was asked, or gives it to the worker, which answers later; true where there was
 * anything, or the link has changed. */
bool live_work_asked(struct live_session *live);

/* ---- live_session_jobs.c: what is asked of a disk beside it ---- */
bool live_work_start(struct live_session *live, struct problem *problem);
/* False: it could not be stopped, and still reads the session's samples. */
bool live_work_end(struct live_session *live);
/* Sessions to carry over are looked for at the start, before there is anything to be seen. */
void live_work_first_offers(struct live_session *live);
/* Takes what has ended; true where there was any, or a request was answered. */
bool live_work_take(struct live_session *live);
/* What runs, for the view; true when that has changed. */
bool live_work_show(struct live_session *live, struct view_work *shown);
/* Each gives the worker a job; the request is answered when that has ended. False: it is not
 * begun, with a problem. */
/* 'run ... from=FILE': the file is read and cut; its lines are the session's when it has ended. */
bool live_job_run(struct live_session *live, uint64_t request, const char *line,
                  struct problem *problem);
/* The words of 'carry ...', which is the line. */
bool live_job_carry(struct live_session *live, uint64_t request, const char *line,
                    const struct words *words, struct problem *problem);
/* How holds repeated in the store's earlier sessions becomes a record of this one; request 0:
 * nobody waits. */
bool live_job_learn(struct live_session *live, uint64_t request, struct problem *problem);
/* The same behind a command that begins with this word, when somebody is to be measured and the
 * rider or the channels are others than when it was last read. */
void live_job_learn_if_due(struct live_session *live, const char *word);
/* Looks for the sessions there are to carry over; request 0: nobody waits. */
bool live_job_offers(struct live_session *live, uint64_t request);

/* ---- live_session_exports.c: jobs as well ---- */
bool live_job_export(struct live_session *live, uint64_t request, const char *path, bool replace,
                     struct problem *problem);
/* The name that is proposed for the rider's sheet, in the view: at once by rider and day, and when
 * the worker has looked a name that is free; anew: also where rider and day are the same. */
void live_job_name(struct live_session *live, bool anew);
/* The two jobs, and what is done when they have ended. */
worker_run live_run_export, live_run_name;
void live_take_export(struct live_session *live, const struct worker_outcome *outcome);
void live_take_name(struct live_session *live, const struct worker_outcome *outcome);

#endif
