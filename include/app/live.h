/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_LIVE_H
#define HOLDLINE_APP_LIVE_H

#include "base/problem.h"
#include "rig/decoder.h"
#include "session/session.h"

/* What a live session leaves. */
#define LIVE_WRITTEN_MAX 32
struct live_outcome {
    int64_t session_id; /* row id of the session in the store, 0 = none */
    int written_count;  /* files that were exported, the latest of them */
    char written[LIVE_WRITTEN_MAX][1024];
};

/* The live session: screen, session, recorder and reader, each on a thread of its own, so that a
 * terminal that nobody reads stops neither the session nor the record, and a disk that stalls stops
 * neither the gauge nor the reading. */
struct live_options {
    const char *rig;        /* link; NULL = auto */
    const char *store_path; /* file */
    struct decoder_options decoder;
    struct session_origin origin; /* of a new session */
    int64_t resume_session;       /* row id of a cut-short session to go on with; 0 = a new one */
    const char *const
        *first_commands; /* given to a new session before anything else; ended by NULL */
    const char *carry;   /* 'carry SESSION ...' for a new session, after those; NULL = none */
    const char *folder;  /* exports without a folder go there; NULL = the working one */
    struct live_outcome *outcome; /* out; may be NULL */
    const char *tones;            /* as --tones has it; NULL = auto */
    const char *first_news;       /* told as it begins; NULL or "" = nothing */
    const char *trace_path;       /* one line for each command and each publication; NULL = none */
};

/* Returns when the person has left (or the terminal is gone). */
bool live_run(const struct live_options *options, struct problem *problem);

/* Of a session that begins now: its identifiers are its own. */
struct session_origin live_new_origin(void);
/* After a session, on standard output: what was written, where it is kept, what shows it and what
 * goes on with it. Of id 0 only what was written. */
void live_say_where(const struct live_options *options);

#endif
