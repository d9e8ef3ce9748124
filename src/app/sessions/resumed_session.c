/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/resumed_session.h"

#include "app/recorder.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

struct looked_for {
    int64_t id;
    struct store_session *session;
};

static bool match_session(void *context, const struct store_session *session)
{
    struct looked_for *looked_for = context;
    if (session->id == looked_for->id) {
        *looked_for->session = *session;
    }
    return session->id != looked_for->id;
}

bool resumed_wish_read(struct resumed_wish *wish, const char *text, struct problem *problem)
{
    *wish = (struct resumed_wish){.asked = true, .words = text};
    return text == NULL || text[0] != '\0' ||
           problem_usage(problem, "--resume= wants a session: its number in 'holdline list'");
}

static bool no_session(const struct resumed_wish *wish, struct problem *problem)
{
    return !wish->asked || problem_set(problem, "there is no session to go on with");
}

static bool find_id(struct store *store, const struct resumed_wish *wish, int64_t *id,
                    struct problem *problem)
{
    struct problem none = {0};
    if (wish->words != NULL) {
        return store_find_session(store, wish->words, id, problem);
    }
    if (store_find_cut_short(store, id, &none)) {
        return true;
    }
    *id = 0;
    if (none.kind != PROBLEM_NONE) {
        *problem = none;
        return false;
    }
    return !wish->asked || store_find_session(store, "last", id, problem) ||
           no_session(wish, problem);
}

bool resumed_session_find(const char *store_path, const struct resumed_wish *wish,
                          struct store_session *session, struct problem *problem)
{
    struct looked_for looked_for = {0, session};
    memset(session, 0, sizeof *session);
    if (access(store_path, F_OK) != 0) {
        return no_session(wish, problem);
    }
    if (!store_is_free(store_path, problem)) {
        return false;
    }
    struct store *store = store_open(store_path, STORE_READ, problem);
    bool done = store != NULL && find_id(store, wish, &looked_for.id, problem) &&
                (looked_for.id == 0 || store_list(store, match_session, &looked_for, problem));
    store_close(store);
    return done;
}

void resumed_session_saved(const char *store_path, const struct store_session *session, char *text,
                           size_t size)
{
    char command[RESUMED_SAVED_SIZE - 64];
    text[0] = '\0';
    if (session->id != 0 && recorder_find_saved(store_path, session, command, sizeof command)) {
        snprintf(text, size,
                 "Samples of that session are not in it: '%s' takes them in as another session",
                 command);
    }
}
