/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_APP_LIVE_LIVE_READER_H
#define HOLDLINE_SRC_APP_LIVE_LIVE_READER_H

#include "app/live_session.h"
#include "base/ring.h"

/* The reader's thread of a live session: it opens the rig, waits for one that is not there yet,
 * and hands each sample to the recorder's ring, then to the session. What keeps it from reading is
 * told to the session, anew as it changes (struct view, link_trouble). */
struct live_reader;

struct live_reader_settings {
    const char *rig; /* link; NULL = auto */
    const struct decoder_options *decoder;
    struct ring *to_recorder;
    struct live_session *session;
    int64_t last_number, last_time_us; /* where a session that is gone on with has come to */
    struct placing_record placing;     /* its sensors; no channels: a new session */
};

/* Starts the thread; NULL with a problem. */
struct live_reader *live_reader_start(const struct live_reader_settings *settings,
                                      struct problem *problem);
/* Ends its wait and the thread; frees it. NULL is allowed. */
void live_reader_stop(struct live_reader *reader);

/* True: the rig's name or an option is wrong in a way that no waiting mends; problem says how. Any
 * thread. */
bool live_reader_gave_up(struct live_reader *reader, struct problem *problem);

#endif
