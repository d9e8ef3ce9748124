/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "live_session_inside.h"

/* Samples of rides, which the session does not keep in memory. */

const struct own_samples *live_own_samples(struct live_session *live)
{
    struct recorder_state state;
    recorder_state(live->recorder, &state);
    live->own.session_id = state.session_id;
    return &live->own;
}

bool live_samples_from_store(void *context, int64_t first, int64_t last,
                             const struct sample **samples, size_t *count)
{
    struct live_session *live = context;
    live_own_samples(live);
    return own_samples_source(&live->own, first, last, samples, count);
}
