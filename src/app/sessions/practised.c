/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/practised.h"

#include "app/loaded_session.h"
#include "app/progress.h"
#include "app/session_filter.h"
#include "base/text.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>

#define SESSIONS_MOST 400

/* Newest first, as the filter has them. */
static int64_t *find_ids(const char *path, const char *rider_code, int *count,
                         struct problem *problem)
{
    const struct session_filter filter = {.rider = rider_code};
    int64_t *ids = calloc(SESSIONS_MOST, sizeof *ids);
    struct store *store = ids != NULL ? store_open(path, STORE_READ, problem) : NULL;
    bool done = store != NULL && filter_find(store, &filter, ids, SESSIONS_MOST, count, problem);
    if (ids == NULL) {
        problem_set(problem, "no memory for a list of sessions");
    }
    store_close(store);
    if (!done) {
        free(ids);
        return NULL;
    }
    *count = *count > SESSIONS_MOST ? SESSIONS_MOST : *count;
    return ids;
}

static bool take_all(const char *path, const int64_t *ids, int count, struct learning *learning,
                     struct problem *problem)
{
    struct progress progress;
    bool done = true;
    const struct store_watch watch = {progress_tell, &progress};
    progress_begin(&progress, "reading sessions");
    for (int i = count - 1; done && i >= 0; i--) {
        char words[32];
        snprintf(words, sizeof words, "%lld", (long long)ids[i]);
        struct loaded_session *loaded = loaded_session_open_in_part(path, words, &watch, problem);
        done = loaded != NULL;
        if (done) {
            const struct report_input *input = loaded_session_input(loaded);
            learning_take(learning, ids[i], input->record, input->analysis);
            loaded_session_close(loaded);
            done = progress_tell(&progress, (double)(count - i) / count) ||
                   problem_set(problem, "stopped");
        }
    }
    progress_end(&progress);
    return done;
}

struct learning *practised_load(const char *store_path, const char *rider_code,
                                struct problem *problem)
{
    char standard[PATH_MAX];
    int count = 0;
    if (store_path == NULL && !store_default_path(standard, sizeof standard, problem)) {
        return NULL;
    }
    const char *path = store_path != NULL ? store_path : standard;
    int64_t *ids = find_ids(path, rider_code, &count, problem);
    struct learning *learning = ids != NULL ? malloc(sizeof *learning) : NULL;
    if (learning != NULL) {
        learning_begin(learning);
        text_copy(learning->rider_code, sizeof learning->rider_code, rider_code);
        if (!take_all(path, ids, count, learning, problem)) {
            free(learning);
            learning = NULL;
        } else {
            learning_conclude(learning);
        }
    } else if (ids != NULL) {
        problem_set(problem, "no memory for a rider's practice");
    }
    free(ids);
    return learning;
}
