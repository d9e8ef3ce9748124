/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/results.h"

#include "app/loaded_session.h"
#include "base/text.h"
#include "base/uuid.h"
#include "store/results.h"

#include <stdio.h>
#include <stdlib.h>

bool results_keep(const char *store_path, const struct session_record *record,
                  const struct analysis *analysis, struct problem *problem)
{
    char uuid[UUID_TEXT_SIZE];
    int64_t id = 0;
    if (text_equal(store_path, ":memory:")) {
        return true;
    }
    uuid_text(uuid, &record->uuid);
    struct store *store = store_open(store_path, STORE_WRITE_AGAIN, problem);
    bool done = store != NULL && store_find_session(store, uuid, &id, problem) &&
                store_results_write(store, id, record, analysis, problem);
    store_close(store);
    return done;
}

static bool keep_of(const char *store_path, int64_t id, const struct store_watch *watch,
                    struct problem *why, struct problem *problem)
{
    char words[32];
    snprintf(words, sizeof words, "%lld", (long long)id);
    struct loaded_session *loaded = loaded_session_open_watched(store_path, words, watch, why);
    if (loaded == NULL) {
        return true;
    }
    const struct report_input *input = loaded_session_input(loaded);
    loaded_session_leave_store(loaded);
    bool done = results_keep(store_path, input->record, input->analysis, problem);
    loaded_session_close(loaded);
    return done;
}

bool results_make(const char *store_path, int64_t id, const struct store_watch *watch,
                  struct problem *problem)
{
    struct problem why = {0};
    if (!keep_of(store_path, id, watch, &why, problem)) {
        return false;
    }
    if (why.kind != PROBLEM_NONE && problem != NULL) {
        *problem = why;
    }
    return why.kind == PROBLEM_NONE;
}

struct wanting {
    struct store *store;
    int64_t *id;
    int count, capacity;
    bool failed;
    struct problem *problem;
};

static bool take_session(void *context, const struct store_session *session)
{
    struct wanting *wanting = context;
    bool current = true;
    if (!store_results_are_current(wanting->store, session->id, &current, wanting->problem)) {
        wanting->failed = true;
        return false;
    }
    if (!current && wanting->count == wanting->capacity) {
        int capacity = wanting->capacity == 0 ? 64 : wanting->capacity * 2;
        int64_t *larger = realloc(wanting->id, (size_t)capacity * sizeof *larger);
        if (larger == NULL) {
            wanting->failed = !problem_set(wanting->problem, "no memory for the sessions");
            return false;
        }
        wanting->id = larger;
        wanting->capacity = capacity;
    }
    if (!current) {
        wanting->id[wanting->count++] = session->id;
    }
    return true;
}

static bool find_wanting(const char *store_path, struct wanting *wanting)
{
    /* opened to be written: a store of before is brought up */
    wanting->store = store_open(store_path, STORE_WRITE, wanting->problem);
    bool done = wanting->store != NULL &&
                store_list(wanting->store, take_session, wanting, wanting->problem) &&
                !wanting->failed;
    store_close(wanting->store);
    return done;
}

bool results_complete(const char *store_path, const struct store_watch *watch, store_finding *told,
                      void *context, int *made, struct problem *problem)
{
    struct wanting wanting = {.problem = problem};
    bool done = find_wanting(store_path, &wanting);
    *made = 0;
    for (int i = 0; done && i < wanting.count; i++) {
        struct problem why = {0};
        if (watch != NULL && !watch->progress(watch->context, (double)i / wanting.count)) {
            done = problem_set(problem, "stopped: the results of %d sessions were written", *made);
            break;
        }
        done = keep_of(store_path, wanting.id[i], NULL, &why, problem);
        if (why.kind != PROBLEM_NONE) {
            char sentence[700];
            snprintf(sentence, sizeof sentence, "session %lld: %s", (long long)wanting.id[i],
                     why.sentence);
            told(context, sentence);
        } else {
            *made += done ? 1 : 0;
        }
    }
    free(wanting.id);
    return done;
}
