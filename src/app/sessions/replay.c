/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/replay.h"

#include <stdlib.h>

#define REPLAY_BATCH 4096

bool replay_origin(struct store *store, int64_t id, struct session_origin *origin,
                   int64_t *last_sample, struct problem *problem)
{
    struct session_record *record = malloc(sizeof *record);
    if (record == NULL) {
        return problem_set(problem, "no memory for the session's records");
    }
    bool done = store_load(store, id, record, problem);
    if (done) {
        origin->wall_ms = record->started_ms;
        origin->seed = record->seed;
        *last_sample = record->last_sample;
    }
    free(record);
    return done;
}

struct replay {
    struct store *store;
    int64_t id, next, last;
    struct session *session;
    replay_sample_sink *sink;
    void *context;
};

/* Samples up to and including number. */
static bool samples_until(struct replay *replay, int64_t number, struct problem *problem)
{
    while (replay->next <= number) {
        const struct sample *samples = NULL;
        size_t count = 0;
        int64_t to =
            replay->next + REPLAY_BATCH - 1 < number ? replay->next + REPLAY_BATCH - 1 : number;
        if (!store_samples(replay->store, replay->id, replay->next, to, &samples, &count,
                           problem)) {
            return false;
        }
        if (count == 0) {
            return problem_set(problem, "sample %lld of the session is not in the store",
                               (long long)replay->next);
        }
        for (size_t i = 0; i < count; i++) {
            if (replay->sink != NULL && !replay->sink(replay->context, &samples[i], problem)) {
                return false;
            }
            session_sample(replay->session, &samples[i]);
        }
        replay->next += (int64_t)count;
    }
    return true;
}

static bool one_command(void *context, const struct command_record *command,
                        struct problem *problem)
{
    struct replay *replay = context;
    if (!samples_until(replay, command->after_sample, problem)) {
        return false;
    }
    if (!session_command(replay->session, command->text, problem)) {
        return problem_prefix(problem, "logged command %lld ('%s')", (long long)command->ordinal,
                              command->text);
    }
    return true;
}

bool replay_session(struct store *store, int64_t id, int64_t last_sample, struct session *session,
                    replay_sample_sink *sink, void *context, struct problem *problem)
{
    struct replay replay = {store, id, 1, last_sample, session, sink, context};
    session_trust(session, true);
    bool done = store_commands(store, id, one_command, &replay, problem) &&
                samples_until(&replay, last_sample, problem);
    session_trust(session, false);
    return done;
}
