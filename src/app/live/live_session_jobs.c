/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "live_session_inside.h"

#include "app/carry.h"
#include "app/carry_offers.h"
#include "app/ending.h"
#include "app/run_lines.h"
#include "app/session_clock.h"
#include "base/clock.h"
#include "base/memory.h"
#include "base/text.h"

#include <math.h>
#include <stdlib.h>

/* What asks a disk that is not the recorder's is done by the worker, so that a disk that does not
 * answer stops neither the gauge nor the hold. What a job came to is taken here, in the session's
 * thread. */

#define STORE_PATH_SIZE 4096
#define SHOWN_S 0.5           /* a job that takes longer is told on the screen */
#define OFFERS_AT_START_S 0.5 /* the first look into the store is waited for so long */
#define BEGAN_NOW_MS 60000
#define END_S 2.0       /* for a job that was stopped, before it is let go of */
#define END_ASKED_S 0.5 /* and after a signal */

/* ---- the worker ---- */

static void ring(void *context)
{
    live_session_ring(context);
}

bool live_work_start(struct live_session *live, struct problem *problem)
{
    live->worker = worker_create(ring, live, problem);
    return live->worker != NULL;
}

/* ---- an earlier session carried over --------------------------------------------------------- */

struct carry_work {
    uint64_t request;
    char store_path[STORE_PATH_SIZE];
    char line[COMMAND_TEXT_SIZE];
    struct carry_order order;
    struct uuid running;
    struct carry *carry; /* what came of it */
};

static bool run_carry(void *data, struct worker *worker, struct problem *problem)
{
    struct carry_work *work = data;
    const struct store_watch watch = {worker_tell, worker};
    work->carry = carry_fetch(work->store_path, &work->order, &work->running, &watch, problem);
    return work->carry != NULL;
}

static void destroy_carry(void *data)
{
    struct carry_work *work = data;
    carry_close(work->carry);
    free(work);
}

bool live_job_carry(struct live_session *live, uint64_t request, const char *line,
                    const struct words *words, struct problem *problem)
{
    struct carry_order order;
    if (!carry_read_order(words, &order, problem)) {
        return false;
    }
    struct carry_work *work = calloc(1, sizeof *work);
    struct worker_job job = {.run = run_carry, .destroy = destroy_carry, .data = work};
    if (work == NULL) {
        return problem_set(problem, "no memory for a session to carry over");
    }
    work->request = request;
    text_copy(work->store_path, sizeof work->store_path, live->options->store_path);
    work->order = order;
    work->running = session_records(live->session)->uuid;
    text_copy(work->line, sizeof work->line, line);
    snprintf(job.doing, sizeof job.doing, "reading session %.80s", order.session);
    return worker_give(live->worker, &job, problem);
}

static void take_carry(struct live_session *live, const struct worker_outcome *outcome)
{
    const struct carry_work *work = outcome->job.data;
    struct problem problem = outcome->problem;
    bool done = outcome->done &&
                carry_offers_take_line(&live->earlier, work->carry, &work->order, work->line,
                                       live->session, live_session_do, live, &problem);
    live_session_answer_job(live, work->request, done, done ? "" : problem.sentence);
}

/* ---- a ride read for a run ------------------------------------------------------------------- */

struct ride_work {
    uint64_t request;
    struct words words;
    struct drag_settings course;
    struct run_lines *lines; /* what came of it */
};

static bool run_ride(void *data, struct worker *worker, struct problem *problem)
{
    struct ride_work *work = data;
    const struct ride_watch watch = {worker_tell, worker};
    work->lines = run_lines_read(&work->words, &work->course, &watch, problem);
    return work->lines != NULL;
}

static void destroy_ride(void *data)
{
    struct ride_work *work = data;
    run_lines_close(work->lines);
    free(work);
}

bool live_job_run(struct live_session *live, uint64_t request, const char *line,
                  struct problem *problem)
{
    struct ride_work *work = calloc(1, sizeof *work);
    struct worker_job job = {
        .doing = "reading a ride", .run = run_ride, .destroy = destroy_ride, .data = work};
    if (work == NULL) {
        return problem_set(problem, "no memory for a ride");
    }
    if (!words_split(line, &work->words, problem)) { /* its texts live in it */
        free(work);
        return false;
    }
    work->request = request;
    work->course = session_records(live->session)->drag;
    return worker_give(live->worker, &job, problem);
}

static void take_ride(struct live_session *live, const struct worker_outcome *outcome)
{
    const struct ride_work *work = outcome->job.data;
    struct problem problem = outcome->problem;
    bool done = outcome->done && run_lines_follow(work->lines, live_session_do, live, &problem);
    uint64_t unused;
    live_session_answer_job(live, work->request, done,
                            done ? session_message(live->session, &unused) : problem.sentence);
}

/* ---- how holds repeated in earlier sessions ---------------------------------------------------
 */

struct learn_work {
    uint64_t request; /* 0: nobody asked */
    char store_path[STORE_PATH_SIZE];
    struct learn_wanted wanted;
    char lines[LEARN_LINES_SIZE]; /* what came of it */
};

static bool run_learn(void *data, struct worker *worker, struct problem *problem)
{
    struct learn_work *work = data;
    const struct store_watch watch = {worker_tell, worker};
    return learn_read(work->store_path, &work->wanted, &watch, work->lines, problem);
}

bool live_job_learn(struct live_session *live, uint64_t request, struct problem *problem)
{
    struct learn_work *work = calloc(1, sizeof *work);
    struct worker_job job = {.doing = "reading how holds repeated in earlier sessions",
                             .run = run_learn,
                             .destroy = free,
                             .data = work};
    if (work == NULL) {
        return problem_set(problem, "no memory for what earlier sessions showed");
    }
    work->request = request;
    text_copy(work->store_path, sizeof work->store_path, live->options->store_path);
    work->wanted = learn_wanted_by(live->session);
    live->learnt = work->wanted;
    return worker_give(live->worker, &job, problem);
}

void live_job_learn_if_due(struct live_session *live, const char *word)
{
    bool begins =
        text_equal(word, "rider") || text_equal(word, "target") || text_equal(word, "hold");
    if (!begins) {
        return;
    }
    struct learn_wanted wanted = learn_wanted_by(live->session);
    if (live->options->store_path != NULL && wanted.channel_count > 0 &&
        !learn_wanted_equal(&wanted, &live->learnt)) {
        live_job_learn(live, 0, NULL);
    }
}

static void take_learn(struct live_session *live, const struct worker_outcome *outcome)
{
    const struct learn_work *work = outcome->job.data;
    struct problem problem = outcome->problem;
    struct learn_wanted now = learn_wanted_by(live->session);
    bool done = outcome->done &&
                (!learn_wanted_equal(&now, &work->wanted) ||
                 learn_follow(work->lines, live->session, live_session_do, live, &problem));
    if (work->request != 0) {
        live_session_answer_job(live, work->request, done, done ? "" : problem.sentence);
    }
}

/* ---- the sessions there are to carry over ------------------------------------------------------
 */

struct offers_work {
    uint64_t request; /* answered when it is there: the form that comes next shows them; 0 = none */
    char store_path[STORE_PATH_SIZE];
    struct carry_offers_wanted wanted;
    struct view_carry_offers found;
    int64_t begun_ms; /* by the computer's clock, of a session that begins; 0 = of none */
    char doubt[256];  /* about that clock; "" = none */
};

static bool run_offers(void *data, struct worker *worker, struct problem *problem)
{
    struct offers_work *work = data;
    (void)worker;
    (void)problem;
    carry_offers_read(&work->found, work->store_path, &work->wanted);
    if (work->begun_ms == 0 ||
        !session_clock_is_doubtful(work->store_path, &work->wanted.running, work->begun_ms,
                                   work->doubt, sizeof work->doubt)) {
        work->doubt[0] = '\0';
    }
    return true;
}

static bool look_for_offers(struct live_session *live, uint64_t request, int64_t begun_ms)
{
    struct offers_work *work = calloc(1, sizeof *work);
    struct worker_job job = {
        .doing = "looking for earlier sessions", .run = run_offers, .destroy = free, .data = work};
    if (work == NULL) {
        return false;
    }
    work->request = request;
    work->begun_ms = begun_ms;
    text_copy(work->store_path, sizeof work->store_path, live->options->store_path);
    work->wanted = carry_offers_wanted_by(live->session);
    if (!worker_give(live->worker, &job, NULL)) {
        return false;
    }
    live_session_wait_for(live, request);
    return true;
}

bool live_job_offers(struct live_session *live, uint64_t request)
{
    return look_for_offers(live, request, 0);
}

static void take_offers(struct live_session *live, const struct worker_outcome *outcome)
{
    const struct offers_work *work = outcome->job.data;
    carry_offers_renew(&live->earlier, &work->found);
    if (work->doubt[0] != '\0') {
        live_session_answer_with(live, 0, false, work->doubt);
    }
    if (work->request != 0 && live->waiting_request == work->request) {
        live_session_answer_job(live, work->request, true, "");
    }
}

/* Where it begins now, not at a time that was said. */
static int64_t begun_by_clock_ms(const struct live_session *live)
{
    int64_t begun_ms = session_records(live->session)->started_ms;
    int64_t since_ms = clock_wall_ms() - begun_ms;
    bool now = since_ms >= 0 && since_ms < BEGAN_NOW_MS;
    return now && live->options->resume_session == 0 ? begun_ms : 0;
}

void live_work_first_offers(struct live_session *live)
{
    if (look_for_offers(live, 0, begun_by_clock_ms(live)) &&
        worker_wait(live->worker, OFFERS_AT_START_S)) {
        live_work_take(live);
    }
}

/* ---- what has ended, and what runs ---- */

bool live_work_take(struct live_session *live)
{
    static const struct {
        worker_run *run;
        void (*take)(struct live_session *live, const struct worker_outcome *outcome);
    } takers[] = {{live_run_export, live_take_export},
                  {live_run_name, live_take_name},
                  {run_carry, take_carry},
                  {run_ride, take_ride},
                  {run_offers, take_offers},
                  {run_learn, take_learn}};
    struct worker_outcome outcome;
    bool news = false;
    while (worker_take(live->worker, &outcome)) {
        for (size_t i = 0; i < sizeof takers / sizeof takers[0]; i++) {
            if (takers[i].run == outcome.job.run) {
                takers[i].take(live, &outcome);
            }
        }
        outcome.job.destroy(outcome.job.data);
        news = true;
    }
    if (news) {
        memory_give_back();
    }
    if (live->waiting_request != 0 && clock_monotonic_us() >= live->waiting_until_us) {
        live_session_answer_job(live, live->waiting_request, true, "");
        news = true;
    }
    return news;
}

bool live_work_show(struct live_session *live, struct view_work *shown)
{
    struct worker_state state;
    struct view_work work = {.share = (double)NAN};
    worker_state(live->worker, &state);
    if (state.running && state.elapsed_s >= SHOWN_S) {
        work.running = true;
        work.stopping = state.stopping;
        work.waiting = state.waiting;
        work.seconds = (int)state.elapsed_s;
        work.share = isfinite(state.share) ? floor(state.share * 100.0) / 100.0 : state.share;
        text_copy(work.doing, sizeof work.doing, state.doing);
    }
    bool same_share = work.share == shown->share || (isnan(work.share) && isnan(shown->share));
    bool news = work.running != shown->running || work.stopping != shown->stopping ||
                work.waiting != shown->waiting || work.seconds != shown->seconds || !same_share ||
                !text_equal(work.doing, shown->doing);
    *shown = work;
    return news;
}

bool live_session_works(struct live_session *live)
{
    struct worker_state state;
    pthread_mutex_lock(&live->lock);
    bool asked = live->asked_count > 0;
    pthread_mutex_unlock(&live->lock);
    worker_state(live->worker, &state);
    return asked || state.busy;
}

void live_session_stop_work(struct live_session *live)
{
    worker_stop_job(live->worker);
}

bool live_work_end(struct live_session *live)
{
    return worker_end(live->worker, ending_asked() ? END_ASKED_S : END_S);
}
