/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_LIVE_SESSION_H
#define HOLDLINE_APP_LIVE_SESSION_H

#include "app/live.h"
#include "app/recorder.h"
#include "app/snapshot_pool.h"
#include "rig/health.h"
#include "rig/link.h"
#include "session/view.h"

/* The thread that steps the session machine. The reader thread hands it samples, the screen's
 * thread asks for commands and takes views and answers; each function says who may call it. */
struct live_session;

/* Told how much of a session that is gone on with has been worked out again, 0 to 1. */
struct live_wait {
    void (*tell)(void *context, double share);
    void *context;
};
/* Starts the thread; a session to go on with is replayed first, which wait is told of. *last_number
 * and *last_time_us: where the reader goes on. */
struct live_session *live_session_start(const struct live_options *options,
                                        struct recorder *recorder, struct snapshot_pool *snapshots,
                                        const struct live_wait *wait, int64_t *last_number,
                                        int64_t *last_time_us, struct problem *problem);
/* Everything handed over before is done first; a hold in progress is ended cleanly. Frees it. Work
 * that still runs is stopped; false: it could not be, because a disk does not answer, and was let
 * go of: a half file may be left. */
bool live_session_stop(struct live_session *session);
/* Before readings come: the sensors of a session that is gone on with; no channels of a new one. */
void live_session_sensors(const struct live_session *session, struct placing_record *placing);

/* Reader: what the rig is, before its first sample. */
void live_session_rig(struct live_session *session, const struct rig_info *info);
/* Reader: false = the ring is full (counted; the recorder has the sample all the same). */
size_t live_session_space(const struct live_session *session);
bool live_session_sample(struct live_session *session, const struct sample *sample);
void live_session_health(struct live_session *session, const struct rig_health *health);
/* Reader: the link lines are written to (valid until the next call), or NULL with the reason or
 * NULL. */
void live_session_link(struct live_session *session, struct link *link, const char *reason);

/* Reader: why no readings come, in a sentence; "" = they do. offers: it says how they may be read,
 * and 'read proposed' takes that. */
void live_session_link_trouble(struct live_session *session, const char *sentence, bool offers);
/* Reader: what is heard is not taken, and why; told at once, and as long as it lasts. */
void live_session_not_taken(struct live_session *session, const char *sentence);
/* Reader: was the offer taken? It is until it is done, with what came of it, in a sentence. */
bool live_session_offer_taken(struct live_session *session);
void live_session_offer_done(struct live_session *session, bool kept, const char *sentence);

/* Screen and tellers: a command line, or the name of a file to export to; gives the request's
 * number, 0 where too many wait. What waits on a disk is answered when it has come to something. To
 * the screen an export is answered after half a second at the latest, and then once more when it
 * is written or was not. A teller is told what the session said, and may ask for the comparison and
 * for the next step. */
enum live_asker { LIVE_SCREEN, LIVE_TELLER, LIVE_ASKERS };
enum live_request { LIVE_COMMAND, LIVE_EXPORT, LIVE_REPLACE };
uint64_t live_session_ask(struct live_session *session, enum live_asker asker,
                          enum live_request request, const char *line);
struct live_answer {
    uint64_t request;
    bool done;
    bool asked; /* not done: is it meant so? LIVE_REPLACE writes over the file that is there, a line
                   is taken with sure=yes */
    char sentence[512];
    char *text; /* of more lines, for a teller, who frees it; NULL = none */
};
bool live_session_answer(struct live_session *session, enum live_asker asker,
                         struct live_answer *answer);
/* Any thread: the session's time, in s, and what it does, as they were seen last. */
double live_session_now(struct live_session *session, enum view_phase *phase);
/* Any thread: something that was asked for is not done yet; what runs of it is to stop. */
bool live_session_works(struct live_session *session);
void live_session_stop_work(struct live_session *session);
/* Any thread: the latest view as a line for watchers (a watch_view). */
size_t live_session_watch(void *session, unsigned long long *serial, char *line, size_t size);

/* What one reader sees: the view with its own copies of history and offers, and the snapshot that
 * it holds.
 */
struct live_look {
    struct view view;
    struct view_history history;
    struct view_carry_offers earlier;
};
/* Screen: the latest; untouched when nothing changed. Its snapshot is held, the one before let go.
 * next_us: when it will look again (clock_monotonic_us), LIVE_LOOK_MS after this look; a view is
 * published shortly before. */
#define LIVE_LOOK_MS 33
void live_session_look(struct live_session *session, struct live_look *look, int64_t next_us);

#endif
