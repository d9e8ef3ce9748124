/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_SESSION_H
#define HOLDLINE_SESSION_SESSION_H

#include "analysis/analysis.h"
#include "analysis/check.h"
#include "base/problem.h"
#include "record/effect.h"
#include "session/snapshot.h"
#include "session/view.h"

/* The deterministic state machine: (state, sample | command) -> state, effects. Reads no clock, no
 * terminal, no database: the same origin, samples and commands give the same records, identifiers
 * included. Commands are the words of session scripts (docs/scripts.md); keys and forms make the
 * same lines. */
struct session;

struct session_origin {
    int64_t wall_ms; /* Unix time of the session axis' 0 */
    uint64_t seed;
};

/* sink gets every record that is new or changed. */
struct session *session_create(const struct session_origin *origin, effect_sink *sink,
                               void *context);
void session_destroy(struct session *session);

/* One command line. False with a sentence that names the word when it can't be done; then nothing
 * has changed. What was done is logged (EFFECT_COMMAND) before its effects. */
bool session_command(struct session *session, const char *line, struct problem *problem);

/* Lines are taken without asking whether they are meant so (as with sure=yes): those of a log,
 * which an earlier version may have asked nothing about. False, as at first: asked. */
void session_trust(struct session *session, bool trusting);

/* The next sample (numbers ascend by one). */
void session_sample(struct session *session, const struct sample *sample);

/* The table of the session's commands: how many there are, and each one's word. stays: why what it
 * does can't be taken back by 'undo'; NULL where it can. */
int session_command_count(void);
const char *session_command_word(int index, const char **stays);
/* 'and LINE' is LINE, as a part of the act before it: what is left without the 'and'. */
const char *session_line_alone(const char *line);

/* 'setup', 'hold' ... is one of the session's own commands (not one of the script runner's). */
bool session_knows_command(const char *word);
/* False, with a sentence that there is no such command, and which was meant maybe: of the session's
 * and of others (ended by NULL; NULL: none). */
bool session_no_command(const char *word, const char *const *others, struct problem *problem);

/* What the session said last ('hold 3 kept'); *serial grows with every word. */
const char *session_message(const struct session *session, uint64_t *serial);
enum view_phase session_phase(const struct session *session);
const struct session_record *session_records(const struct session *session);
const struct analysis *session_analysis(const struct session *session);
/* What a session is checking just now, or NULL; the phase, and whether its readings are taken (else
 * its pause lasts). */
const struct check_plan *session_check(const struct session *session, int *phase, bool *recording);
/* The next step of a check begins with 'check go', not by itself. */
bool session_waits_for_go(const struct session *session);
/* Where samples that are not in memory can be had: those of rides need not be kept then. Asked of
 * the session's thread, when a ride is worked out again. NULL, as at first: nowhere. */
void session_keep_elsewhere(struct session *session, sample_source *source, void *context);
/* Source of the samples kept in memory (those of captures, and the last 70 s), and of what is kept
 * elsewhere. */
bool session_samples(void *session, int64_t first, int64_t last, const struct sample **samples,
                     size_t *count);
/* The same of captures alone, for another thread, as they are now (session/memory.h): the session
 * must outlive it. NULL without memory. */
struct memory_reader *session_sample_reader(const struct session *session);
/* Fills the view but for its snapshot and what app knows (health, store). Its history is the
 * session's own, until the next sample. */
void session_fill_view(struct session *session, struct view *view);
/* Grows when a record, what follows from it or what is in force has changed: then the snapshot
 * filled before is of what was. */
uint64_t session_snapshot_serial(const struct session *session);
/* The snapshot was zeroed, begun or filled before. */
void session_fill_snapshot(struct session *session, struct snapshot *snapshot);

#endif
