/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/session_clock.h"

#include "base/clock.h"
#include "record/record.h"
#include "store/store.h"

#include <stdio.h>
#include <unistd.h>

#define NEVER_SET_MS INT64_C(1577836800000) /* 2020: none was held before */

bool session_clock_went_on(int64_t started_ms, int64_t now_ms, int64_t *time_us, char *sentence,
                           size_t size)
{
    int64_t away_ms = now_ms - started_ms - *time_us / 1000;
    if ((double)away_ms > SESSION_MOST_S * 1e3) {
        snprintf(sentence, size,
                 "by this computer's clock the session stood still for %lld days: it may have been "
                 "set meanwhile. The session's time goes on where it stopped",
                 (long long)(away_ms / CLOCK_DAY_MS));
        return false;
    }
    *time_us += away_ms > 0 ? away_ms * 1000 : 0;
    return true;
}

struct looking {
    const struct uuid *running;
    struct store_session latest;
};

static bool take_latest(void *context, const struct store_session *session)
{
    struct looking *looking = context;
    bool other = !uuid_equal(&session->uuid, looking->running);
    if (other) {
        looking->latest = *session;
    }
    return !other;
}

bool session_clock_is_doubtful(const char *store_path, const struct uuid *running, int64_t now_ms,
                               char *sentence, size_t size)
{
    char now[64], then[64];
    struct looking looking = {.running = running};
    clock_local_text(now, sizeof now, now_ms);
    if (now_ms < NEVER_SET_MS) {
        snprintf(sentence, size, "the clock says %.16s: end (q), set it and begin again", now);
        return true;
    }
    struct store *store =
        access(store_path, F_OK) == 0 ? store_open(store_path, STORE_READ, NULL) : NULL;
    bool listed = store != NULL && store_list(store, take_latest, &looking, NULL);
    store_close(store);
    if (!listed || looking.latest.id == 0 || looking.latest.started_ms <= now_ms) {
        return false;
    }
    clock_local_text(then, sizeof then, looking.latest.started_ms);
    snprintf(sentence, size, "clock %.16s, session %lld of %.16s: is the clock right?", now,
             (long long)looking.latest.id, then);
    return true;
}
