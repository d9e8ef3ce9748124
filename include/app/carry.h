/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_CARRY_H
#define HOLDLINE_APP_CARRY_H

#include "base/words.h"
#include "session/session.h"
#include "store/store.h"

/* 'Next month': what an earlier session knew, as command lines for a new one. They are logged there
 * like all others, so that a replay needs nothing of the earlier session. */
struct carry;

#define CARRY_SENTENCES_SIZE 4096

/* Finds the session that is named by words: '12', the start of a uuid; 'last' and a rider's code
 * mean the latest one with a bike that is not the running one (NULL: none runs). store_path NULL:
 * the default store. */
bool carry_find(const char *store_path, const char *words, const struct uuid *running, int64_t *id,
                struct problem *problem);

typedef bool carry_sink(void *context, const char *line, struct problem *problem);

/* Rider, setups, bike, sensors, what matters, limits entered. For a session in which none of them
 * was named yet. */
bool carry_bike(const struct carry *carry, carry_sink *sink, void *context,
                struct problem *problem);

/* The target that was kept last, and its band: a height is as good as its own interval and what is
 * known by now of where the sensor was then and is here (analysis/across.h), in quadrature, 95 %.
 * sentences gets sentences, a line each: what was carried, and for each channel that was not, why,
 * and what would tie it. */
bool carry_target(const struct carry *carry, const struct session *now, carry_sink *sink,
                  void *context, char *sentences, size_t size, struct problem *problem);

/* What carry_follow would bring, in sentences, a line each: rider and bike, sensors, each setup and
 * its heights then with what they are known to here (95 %, two placings' doubt in it), limits, the
 * target and its band, or why not and what would tie it. Nothing changes. */
bool carry_look(const struct carry *carry, const struct session *now, bool target_only,
                char *sentences, size_t size, struct problem *problem);

/* What a line 'carry ...' asks for. */
struct carry_order {
    char session[WORD_SIZE]; /* words for carry_find */
    int on_bike; /* number of the setup that is on the bike now; 0: the one built last */
    bool target_only, look;
};
bool carry_read_order(const struct words *words, struct carry_order *order,
                      struct problem *problem);
/* Whatever waits on a disk: the session is found and read whole, and the store closed again; watch
 * (NULL = nobody) is told how it goes. NULL with a problem; freed by carry_close. */
struct carry *carry_fetch(const char *store_path, const struct carry_order *order,
                          const struct uuid *running, const struct store_watch *watch,
                          struct problem *problem);
void carry_close(struct carry *carry);
/* The rest: taken over, with the sentences in the session's notes, or looked at; sentences as
 * carry_line has them. The sink must hand the lines to that session. */
bool carry_follow(const struct carry *carry, const struct carry_order *order, struct session *now,
                  carry_sink *sink, void *context, char *sentences, size_t size,
                  struct problem *problem);

/* All of it. The line 'carry SESSION on=N' or 'carry SESSION target', of scripts and of the live
 * session; with 'look' at its end nothing is taken over, and sentences gets what would be (""
 * else). */
bool carry_line(const char *store_path, const struct words *words, struct session *now,
                carry_sink *sink, void *context, char *sentences, size_t size,
                struct problem *problem);

#endif
