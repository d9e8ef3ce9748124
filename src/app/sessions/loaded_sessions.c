/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/loaded_sessions.h"

#include "app/loaded_session.h"
#include "app/progress.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>

struct loaded_sessions {
    int count;
    struct loaded_session *loaded[ACROSS_SESSIONS_MAX];
    struct across_session session[ACROSS_SESSIONS_MAX];
};

static bool too_many(int count, struct problem *problem)
{
    return problem_set(problem,
                       "%d sessions: at most %d are compared at once; choose fewer, such as with "
                       "--since",
                       count, ACROSS_SESSIONS_MAX);
}

/* Ids of the sessions meant, each once. */
static bool find_ids(const struct session_arguments *arguments, struct store *store,
                     int64_t ids[ACROSS_SESSIONS_MAX], int *count, struct problem *problem)
{
    if (arguments->all_count == 0) {
        return filter_find(store, &arguments->filter, ids, ACROSS_SESSIONS_MAX, count, problem) &&
               (*count <= ACROSS_SESSIONS_MAX || too_many(*count, problem));
    }
    *count = 0;
    for (int i = 0; i < arguments->all_count; i++) {
        int64_t id = 0;
        bool known = false;
        if (!store_find_session(store, arguments->all[i], &id, problem)) {
            return false;
        }
        for (int k = 0; k < *count; k++) {
            known = known || ids[k] == id;
        }
        if (!known && *count == ACROSS_SESSIONS_MAX) {
            return too_many(arguments->all_count, problem);
        }
        if (!known) {
            ids[(*count)++] = id;
        }
    }
    return true;
}

static int by_start(const void *a, const void *b)
{
    const struct across_session *one = a, *other = b;
    int64_t difference = one->record->started_ms - other->record->started_ms;
    difference = difference != 0 ? difference : one->id - other->id;
    return difference < 0 ? -1 : difference > 0 ? 1 : 0;
}

static bool load_all(struct loaded_sessions *sessions, const char *path, const int64_t *ids,
                     int count, struct problem *problem)
{
    struct progress progress;
    bool done = true;
    const struct store_watch watch = {progress_tell, &progress};
    progress_begin(&progress, "loading sessions");
    for (int i = 0; done && i < count; i++) {
        char words[32];
        snprintf(words, sizeof words, "%lld", (long long)ids[i]);
        sessions->loaded[i] = loaded_session_open_in_part(path, words, &watch, problem);
        done = sessions->loaded[i] != NULL;
        if (done) {
            loaded_session_unwatch(sessions->loaded[i]);
            const struct report_input *input = loaded_session_input(sessions->loaded[i]);
            sessions->session[sessions->count++] =
                (struct across_session){ids[i], input->record, input->analysis};
            done = progress_tell(&progress, (double)(i + 1) / count) ||
                   problem_set(problem, "stopped");
        }
    }
    progress_end(&progress);
    qsort(sessions->session, (size_t)sessions->count, sizeof sessions->session[0], by_start);
    return done;
}

struct loaded_sessions *loaded_sessions_open(const struct session_arguments *arguments,
                                             struct problem *problem)
{
    char standard[PATH_MAX];
    const char *path = arguments->store_path;
    int64_t ids[ACROSS_SESSIONS_MAX];
    int count = 0;
    if (path == NULL && !store_default_path(standard, sizeof standard, problem)) {
        return NULL;
    }
    path = path != NULL ? path : standard;
    struct store *store = store_open(path, STORE_READ, problem);
    bool done = store != NULL && find_ids(arguments, store, ids, &count, problem);
    store_close(store);
    struct loaded_sessions *sessions = done ? calloc(1, sizeof *sessions) : NULL;
    if (done && sessions == NULL) {
        problem_set(problem, "no memory for the sessions");
    }
    if (sessions != NULL && !load_all(sessions, path, ids, count, problem)) {
        loaded_sessions_close(sessions);
        return NULL;
    }
    return sessions;
}

void loaded_sessions_close(struct loaded_sessions *sessions)
{
    for (int i = 0; sessions != NULL && i < ACROSS_SESSIONS_MAX; i++) {
        loaded_session_close(sessions->loaded[i]);
    }
    free(sessions);
}

bool loaded_sessions_are_whole(const struct loaded_sessions *sessions, struct problem *problem)
{
    for (int i = 0; i < sessions->count; i++) {
        if (!loaded_session_is_whole(sessions->loaded[i], problem)) {
            return false;
        }
    }
    return true;
}

const struct across_session *loaded_sessions_all(const struct loaded_sessions *sessions, int *count)
{
    *count = sessions->count;
    return sessions->session;
}
