/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/session_clock.h"

#include "base/clock.h"
#include "record/record.h"

#include <stdio.h>

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
