/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/recheck.h"

#include "app/replay.h"
#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>

/* The replay is written into a store in memory, and the two stores are compared row by row. */

struct anew {
    struct store *store;
    bool refused;
    struct problem problem;
    const struct store_watch *watch;
    double share_before, share; /* of all sessions: those before this one, this one */
    int64_t samples;            /* of this one */
    bool *stopped;
};

#define TELL_SAMPLES 4096

static void on_effect(void *context, const struct effect *effect)
{
    struct anew *anew = context;
    anew->refused = anew->refused || !store_write_effect(anew->store, effect, &anew->problem);
}

static bool on_sample(void *context, const struct sample *sample, struct problem *problem)
{
    struct anew *anew = context;
    if (anew->watch != NULL && sample->number % TELL_SAMPLES == 0 &&
        !anew->watch->progress(anew->watch->context,
                               anew->share_before +
                                   anew->share * (double)sample->number / (double)anew->samples)) {
        *anew->stopped = true;
        return problem_set(problem, "stopped");
    }
    return store_write_samples(anew->store, sample, 1, problem);
}

struct listed {
    struct store_session *session;
    int count, capacity;
};

static bool add_session(void *context, const struct store_session *session)
{
    struct listed *listed = context;
    if (listed->count == listed->capacity) {
        int capacity = listed->capacity == 0 ? 64 : listed->capacity * 2;
        struct store_session *larger = realloc(listed->session, (size_t)capacity * sizeof *larger);
        if (larger == NULL) {
            return false;
        }
        listed->session = larger;
        listed->capacity = capacity;
    }
    listed->session[listed->count++] = *session;
    return true;
}

struct told {
    store_finding *found;
    void *context;
    int64_t session;
};

static void tell_of(void *context, const char *sentence)
{
    struct told *told = context;
    char text[640];
    snprintf(text, sizeof text, "session %lld worked out again: %s", (long long)told->session,
             sentence);
    told->found(told->context, text);
}

/* Within one moment of the store. */
static bool recheck_now(struct store *store, const struct store_session *listed, struct told *told,
                        struct anew *anew, int64_t *count, struct problem *problem)
{
    struct session_origin origin;
    struct session *session = NULL;
    struct problem why = {0};
    int64_t last_sample = 0, differences = 0;
    bool done = replay_origin(store, listed->id, &origin, &last_sample, problem) &&
                store_begin(anew->store, problem);
    if (done) {
        session = session_create(&origin, on_effect, anew);
        done = session != NULL || problem_set(problem, "no memory for a session");
    }
    if (done) {
        bool replayed =
            replay_session(store, listed->id, last_sample, session, on_sample, anew, &why);
        if (replayed && anew->refused) {
            why = anew->problem;
        }
        if (*anew->stopped) {
            done = false;
        } else if (!replayed || anew->refused || !store_commit(anew->store, &why)) {
            tell_of(told, why.sentence);
            ++*count;
        } else if (listed->ended) {
            done = store_compare_session(store, listed->id, anew->store, 1, tell_of, told,
                                         &differences, problem);
            *count += differences;
        }
    }
    session_destroy(session);
    return done;
}

/* False only when memory or reading fails, or when it is stopped; a session that can't be replayed
 * is a finding. One that has ended may still stand on its screen, and its samples go on. */
static bool recheck(struct store *store, const struct store_session *listed, struct told *told,
                    struct anew anew, int64_t *count, struct problem *problem)
{
    anew.store = store_open(":memory:", STORE_RECORD, problem);
    bool done = anew.store != NULL && store_moment_begin(store, problem);
    if (done) {
        done = recheck_now(store, listed, told, &anew, count, problem);
        store_moment_end(store);
    }
    store_close(anew.store);
    return done;
}

bool recheck_session(struct store *store, int64_t id, bool ended, store_finding *found,
                     void *context, const struct store_watch *watch, int64_t *count,
                     struct problem *problem)
{
    const struct store_session listed = {.id = id, .ended = ended};
    bool stopped = false;
    struct told told = {found, context, id};
    const struct anew anew = {.watch = watch, .samples = 1, .stopped = &stopped};
    *count = 0;
    return recheck(store, &listed, &told, anew, count, problem);
}

bool recheck_sessions(struct store *store, store_finding *found, void *context,
                      const struct store_watch *watch, int *sessions, int *in_part, int64_t *count,
                      struct problem *problem)
{
    struct listed listed = {0};
    bool stopped = false;
    *count = 0;
    *sessions = *in_part = 0;
    bool done = store_list(store, add_session, &listed, problem);
    for (int i = listed.count - 1; done && i >= 0; i--) { /* the oldest first */
        struct told told = {found, context, listed.session[i].id};
        const struct anew anew = {.watch = watch,
                                  .share_before = (double)*sessions / listed.count,
                                  .share = 1.0 / listed.count,
                                  .samples = listed.session[i].samples,
                                  .stopped = &stopped};
        bool part = false;
        done = store_session_in_part(store, listed.session[i].id, &part, problem) &&
               (part || recheck(store, &listed.session[i], &told, anew, count, problem));
        *sessions += done && !part ? 1 : 0;
        *in_part += done && part ? 1 : 0;
    }
    if (stopped) {
        problem_set(problem, "stopped after %d of %d sessions", *sessions, listed.count);
    }
    free(listed.session);
    return done;
}
