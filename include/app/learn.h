/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_LEARN_H
#define HOLDLINE_APP_LEARN_H

#include "session/session.h"
#include "store/store.h"

/* How holds repeated in the store's earlier sessions, as lines 'learnt ...' for a session: they are
 * logged there like all others, so that a replay needs nothing of the earlier ones. */

#define LEARN_LINES_SIZE (CHANNELS_MAX * 256)

/* Whose session it is, and which channels it has, by value: the store is read in another thread. */
struct learn_wanted {
    struct uuid running; /* not this one */
    bool has_rider;
    char rider_code[NAME_SIZE];
    int channel_count;
    char channel[CHANNELS_MAX][CHANNEL_NAME_SIZE]; /* of the body */
};
struct learn_wanted learn_wanted_by(const struct session *session);
bool learn_wanted_equal(const struct learn_wanted *one, const struct learn_wanted *other);

/* Reads the latest sessions of the rider, and of others, and analyses them; a session that can't be
 * read is passed over. lines: one a channel, ended by newlines. watch (NULL = nobody) is told how
 * it goes. */
bool learn_read(const char *store_path, const struct learn_wanted *wanted,
                const struct store_watch *watch, char lines[LEARN_LINES_SIZE],
                struct problem *problem);

/* Gives the lines to the session, through the sink; none where there is nothing in them and nothing
 * to take back. */
typedef bool learn_sink(void *context, const char *line, struct problem *problem);
bool learn_follow(const char *lines, const struct session *session, learn_sink *sink, void *context,
                  struct problem *problem);

#endif
