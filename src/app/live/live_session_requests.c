/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "live_session_inside.h"

#include "base/clock.h"
#include "base/ring.h"
#include "base/text.h"
#include "session/view_json.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* What other threads may do with a live session: hand over, ask, look. */

#define ANSWER_US 500000 /* a job is answered for by then, done or not */

void live_session_ring(struct live_session *live)
{
    if (!atomic_exchange(&live->rung, true) && write(live->bell[1], "x", 1) < 0) {
        /* a full pipe wakes the thread just as well */
    }
}

void live_session_trace(struct live_session *live, const char *what, const char *text)
{
    if (live->trace != NULL) {
        fprintf(live->trace, "%s %llu %s\n", what, (unsigned long long)live->samples_seen, text);
        fflush(live->trace);
    }
}

void live_session_rig(struct live_session *live, const struct rig_info *info)
{
    pthread_mutex_lock(&live->lock);
    live->info = *info;
    live->has_info = true;
    pthread_mutex_unlock(&live->lock);
}

size_t live_session_space(const struct live_session *live)
{
    return ring_space(live->ring);
}

bool live_session_sample(struct live_session *live, const struct sample *sample)
{
    bool taken = ring_push(live->ring, sample);
    live_session_ring(live);
    return taken;
}

void live_session_health(struct live_session *live, const struct rig_health *health)
{
    pthread_mutex_lock(&live->lock);
    live->health = *health;
    live->link_changed = true;
    pthread_mutex_unlock(&live->lock);
    live_session_ring(live);
}

void live_session_link(struct live_session *live, struct link *link, const char *reason)
{
    pthread_mutex_lock(&live->lock);
    live->link = link;
    live->offers = live->offer_taken = false;
    text_copy(live->link_reason, sizeof live->link_reason, reason != NULL ? reason : "");
    live->link_changed = true;
    pthread_mutex_unlock(&live->lock);
    live_session_ring(live);
}

void live_session_link_trouble(struct live_session *live, const char *sentence, bool offers)
{
    pthread_mutex_lock(&live->lock);
    live->offers = offers;
    live->offer_taken = live->offer_taken && offers; /* what was offered before is no more */
    text_copy(live->link_reason, sizeof live->link_reason, sentence);
    live->link_changed = true;
    pthread_mutex_unlock(&live->lock);
    live_session_ring(live);
}

void live_session_not_taken(struct live_session *live, const char *sentence)
{
    live_session_link_trouble(live, sentence, false);
    live_session_answer_with(live, 0, false, sentence);
}

bool live_session_take_offer(struct live_session *live, struct problem *problem)
{
    pthread_mutex_lock(&live->lock);
    bool offers = live->offers;
    live->offer_taken = live->offer_taken || offers;
    pthread_mutex_unlock(&live->lock);
    return offers ||
           problem_set(problem, "no other way to read the sensors' lines is proposed now");
}

bool live_session_offer_taken(struct live_session *live)
{
    pthread_mutex_lock(&live->lock);
    bool taken = live->offer_taken;
    pthread_mutex_unlock(&live->lock);
    return taken;
}

void live_session_offer_done(struct live_session *live, bool kept, const char *sentence)
{
    pthread_mutex_lock(&live->lock);
    live->offer_taken = false;
    pthread_mutex_unlock(&live->lock);
    live_session_answer_with(live, 0, kept, sentence);
}

/* A request's number says who asked. */
enum live_asker live_asker_of(uint64_t request)
{
    return (enum live_asker)(request % LIVE_ASKERS);
}

uint64_t live_session_ask(struct live_session *live, enum live_asker asker,
                          enum live_request request, const char *line)
{
    uint64_t number = 0;
    pthread_mutex_lock(&live->lock);
    if (live->asked_count < ASKED_MAX) {
        struct asked *asked = &live->asked[live->asked_count++];
        number = ++live->requests * LIVE_ASKERS + (uint64_t)asker;
        asked->number = number;
        asked->request = request;
        text_copy(asked->line, sizeof asked->line, line);
    }
    pthread_mutex_unlock(&live->lock);
    live_session_ring(live);
    return number;
}

/* The sentence is written into the answer's. */
static void give_answer(struct live_session *live, const struct live_answer *given,
                        const char *sentence)
{
    enum live_asker asker = live_asker_of(given->request);
    pthread_mutex_lock(&live->lock);
    bool room = live->answer_count[asker] < ASKED_MAX;
    if (room) {
        struct live_answer *answer = &live->answer[asker][live->answer_count[asker]++];
        *answer = *given;
        text_copy(answer->sentence, sizeof answer->sentence, sentence);
    }
    pthread_mutex_unlock(&live->lock);
    if (!room) {
        free(given->text);
    }
}

void live_session_answer_text(struct live_session *live, uint64_t request, bool done,
                              const char *sentence, char *text)
{
    give_answer(live, &(struct live_answer){.request = request, .done = done, .text = text},
                sentence);
}

void live_session_answer_asked(struct live_session *live, uint64_t request, const char *sentence)
{
    give_answer(live, &(struct live_answer){.request = request, .asked = true}, sentence);
}

void live_session_answer_job(struct live_session *live, uint64_t request, bool done,
                             const char *sentence)
{
    if (live->waiting_request == request) {
        live->waiting_request = 0;
    }
    live_session_answer_with(live, request, done, sentence);
}

void live_session_wait_for(struct live_session *live, uint64_t request)
{
    if (request != 0 && live_asker_of(request) == LIVE_SCREEN) {
        live->waiting_request = request;
        live->waiting_until_us = clock_monotonic_us() + ANSWER_US;
    }
}

void live_session_answer_with(struct live_session *live, uint64_t request, bool done,
                              const char *sentence)
{
    live_session_answer_text(live, request, done, sentence, NULL);
}

bool live_session_answer(struct live_session *live, enum live_asker asker,
                         struct live_answer *answer_out)
{
    pthread_mutex_lock(&live->lock);
    struct live_answer *answers = live->answer[asker];
    bool any = live->answer_count[asker] > 0;
    if (any) {
        *answer_out = answers[0];
        live->answer_count[asker]--;
        memmove(&answers[0], &answers[1], (size_t)live->answer_count[asker] * sizeof *answers);
    }
    pthread_mutex_unlock(&live->lock);
    return any;
}

double live_session_now(struct live_session *live, enum view_phase *phase)
{
    pthread_mutex_lock(&live->lock);
    double now_s = live->front.view.session_s;
    *phase = live->front.view.phase;
    pthread_mutex_unlock(&live->lock);
    return now_s;
}

void live_look_follow(struct live_look *look, const struct view_carry_offers *earlier,
                      const struct view_history *history)
{
    if (look->earlier.serial != earlier->serial) {
        look->earlier = *earlier;
    }
    view_history_follow(&look->history, history);
    look->view.offers = &look->earlier;
    look->view.history = &look->history;
}

void live_session_look(struct live_session *live, struct live_look *look, int64_t next_us)
{
    atomic_store(&live->look_us, next_us);
    pthread_mutex_lock(&live->lock);
    if (look->view.serial != live->front.view.serial) {
        const struct snapshot *before = look->view.snapshot;
        snapshot_pool_hold(live->snapshots, live->front.view.snapshot);
        look->view = live->front.view;
        live_look_follow(look, &live->front.earlier, &live->front.history);
        snapshot_pool_release(live->snapshots, before);
    }
    pthread_mutex_unlock(&live->lock);
}

size_t live_session_watch(void *context, unsigned long long *serial, char *line, size_t size)
{
    struct live_session *live = context;
    struct view view;
    size_t length = 0;
    pthread_mutex_lock(&live->lock);
    bool news = live->front.view.serial != *serial;
    if (news) {
        view = live->front.view;
        view.history = NULL;
        view.offers = NULL;
        snapshot_pool_hold(live->snapshots, view.snapshot);
    }
    pthread_mutex_unlock(&live->lock);
    if (!news) {
        return 0;
    }
    *serial = view.serial;
    FILE *stream = fmemopen(line, size, "w");
    if (stream != NULL) {
        view_json_write(&view, stream);
        long end = fflush(stream) == 0 ? ftell(stream) : 0;
        length = end > 0 && (size_t)end < size ? (size_t)end : 0;
        fclose(stream);
    }
    snapshot_pool_release(live->snapshots, view.snapshot);
    return length;
}

/* ---- commands ---- */

/* The rig is told under the lock: the reader may not take the link away meanwhile. */
static void tell_rig(struct live_session *live, const char *line)
{
    pthread_mutex_lock(&live->lock);
    rig_teller_command(&live->teller, live->session, line, live->link, NULL);
    pthread_mutex_unlock(&live->lock);
}

bool live_session_do(void *context, const char *line, struct problem *problem)
{
    struct live_session *live = context;
    bool done = session_command(live->session, line, problem);
    live_session_trace(live, done ? "done" : "refused", line);
    if (done) {
        tell_rig(live, line);
    }
    return done;
}
