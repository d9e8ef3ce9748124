/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_SESSION_CLOCK_H
#define HOLDLINE_APP_SESSION_CLOCK_H

#include "base/uuid.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* What the clock on the wall says of a session that is taken up again: its own time went on while
 * the program was away. *time_us has the session's last time, and gets where it is at now_ms.
 * False, with a sentence: the clock is so far on that it was set meanwhile; the time stays. */
bool session_clock_went_on(int64_t started_ms, int64_t now_ms, int64_t *time_us, char *sentence,
                           size_t size);

/* Is something wrong with the clock where a session begins? It was never set; or the store has
 * another session than the running one of a later time, which then comes behind it in every order.
 * False: nothing is seen, also where the store can't be read. */
bool session_clock_is_doubtful(const char *store_path, const struct uuid *running, int64_t now_ms,
                               char *sentence, size_t size);

#endif
