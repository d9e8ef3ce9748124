/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/known_recording.h"

#include "base/text.h"
#include "record/record.h"
#include "store/store.h"

#include <inttypes.h>
#include <stdlib.h>
#include <unistd.h>

struct looked_for {
    uint64_t seed;
    int64_t started_ms; /* -1: whenever */
    int64_t id;
};

static bool match_seed(void *context, const struct store_session *session)
{
    struct looked_for *looked_for = context;
    if (session->seed == looked_for->seed &&
        (looked_for->started_ms < 0 || looked_for->started_ms == session->started_ms)) {
        looked_for->id = session->id;
    }
    return looked_for->id == 0;
}

static bool channel_names(struct store *store, int64_t id, char *names, size_t size,
                          struct problem *problem)
{
    struct session_record *record = malloc(sizeof *record);
    size_t used = 0;
    names[0] = '\0';
    if (record == NULL) {
        return problem_set(problem, "no memory for a session");
    }
    bool done = store_load(store, id, record, problem);
    int channels = done && record->placing_count > 0 ? record->placing[0].channel_count : 0;
    for (int c = 0; c < channels; c++) {
        text_append(names, size, &used, "%s%s", c > 0 ? ", " : "",
                    record->placing[0].channel[c].name);
    }
    free(record);
    return done;
}

static bool tell(const char *store_path, int64_t id, const char *there, const char *here,
                 struct problem *problem)
{
    char option[4200];
    store_option_words(option, sizeof option, store_path);
    if (text_equal(there, here)) {
        return problem_set(problem,
                           "these readings are in %s already, as number %" PRId64
                           ": nothing is taken twice (--seed 1 takes them as another session)",
                           store_path, id);
    }
    return problem_set(
        problem,
        "these readings are in %s already, as number %" PRId64
        ", where they are called %s, and here %s: where that session has them wrong, "
        "'holdline store forget --session %" PRId64
        "%s' takes it out; --seed 1 takes these beside it",
        store_path, id, there, here, id, option);
}

bool known_recording_is_new(const char *store_path, uint64_t seed, int64_t started_ms,
                            const char *names, struct problem *problem)
{
    struct looked_for looked_for = {seed, started_ms, 0};
    char there[CHANNELS_MAX * (CHANNEL_NAME_SIZE + 2)];
    if (access(store_path, F_OK) != 0) {
        return true;
    }
    struct store *store = store_open(store_path, STORE_READ, problem);
    bool done =
        store != NULL && store_list(store, match_seed, &looked_for, problem) &&
        (looked_for.id == 0 || (channel_names(store, looked_for.id, there, sizeof there, problem) &&
                                tell(store_path, looked_for.id, there, names, problem)));
    store_close(store);
    return done;
}
