/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_STORE_STORE_H
#define HOLDLINE_STORE_STORE_H

#include "base/problem.h"
#include "record/effect.h"
#include "record/record.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* The only room where SQL is spoken. docs/schema.md describes the file. One connection a handle,
 * used by one thread at a time. */
struct store;

enum store_mode {
    STORE_RECORD, /* the live session's: creates the file, migrates it, takes the session lock */
    STORE_READ,   /* read only; never writes or checkpoints */
    STORE_WRITE,  /* other commands that change it: refused while a session is live */
    STORE_WRITE_AGAIN, /* the same for who has just had it open to write: its tables are not looked
                          over once more */
};

/* The default path (XDG data folder, or HOLDLINE_STORE) into path. */
bool store_default_path(char *path, size_t size, struct problem *problem);
/* ' --store FILE' as a shell takes it; "" of the default's. */
void store_option_words(char *text, size_t size, const char *path);

/* Called every so often during work that may take long; share done from 0 to 1, NAN where it isn't
 * known. false ends the work, which then leaves nothing half done. NULL is allowed where one is
 * asked for. Called by one thread at a time, which need not be the caller's. */
typedef bool store_progress(void *context, double share);
struct store_watch {
    store_progress *progress;
    void *context;
};

/* path ':memory:' is a store of its own for replays and tests. */
struct store *store_open(const char *path, enum store_mode mode, struct problem *problem);
/* The same, and watch is told how it goes while an earlier version's store is brought up; of a
 * store that is read, until it is closed: it must live as long, and what it ends is a statement. */
struct store *store_open_watched(const char *path, enum store_mode mode,
                                 const struct store_watch *watch, struct problem *problem);
/* False, with a sentence, while another program records into it or changes it: a session there that
 * has not ended is running. */
bool store_is_free(const char *path, struct problem *problem);
/* Is it as a running session leaves it, without the log that belongs beside it? So it is where the
 * file alone was copied; what was recorded last may be missing. */
bool store_lacks_its_log(const char *path);
/* Seals the file: checkpoint, one file left where no reader is there. */
void store_close(struct store *store);

/* Recording. begin and commit frame a batch. An error leaves
 * the batch to be written again: it has been rolled back. */
bool store_begin(struct store *store, struct problem *problem);
bool store_commit(struct store *store, struct problem *problem);
void store_rollback(struct store *store);
bool store_write_effect(struct store *store, const struct effect *effect, struct problem *problem);
/* Samples of the session being recorded (the one of the last EFFECT_SESSION), numbers ascending. */
bool store_write_samples(struct store *store, const struct sample *samples, size_t count,
                         struct problem *problem);

/* The last failure was the record's own fault (a row the schema doesn't take): writing it again is
 * no use. */
bool store_refused_record(const struct store *store);

/* The file at the path is no longer the one that is being written: it was moved or deleted. What
 * was written is still held by this connection. */
bool store_was_moved(struct store *store);
/* Then: writes all that the connection holds to the path again, unless there is another file now.
 * Close and open it after that. */
bool store_put_back(struct store *store, struct problem *problem);

/* The file fails again and again, or a lock of this connection's own stands in its way: one made
 * anew may write what this one can't (a disk that was put back). */
bool store_lost_its_file(const struct store *store);

/* Row id of the session being recorded; 0 before its EFFECT_SESSION. */
int64_t store_recording_id(const struct store *store);

/* A session in the list. */
struct store_session {
    struct uuid uuid;
    int64_t id; /* row id: what the person types */
    int64_t started_ms;
    uint64_t seed;
    double length_s;
    char rider_code[NAME_SIZE], rider[NAME_SIZE], bike[NAME_SIZE];
    int setups, holds, runs;
    int64_t samples;
    bool ended; /* false: it was cut short (or is running) */
};
typedef bool store_session_sink(void *context, const struct store_session *session);
/* Newest first; stops when sink returns false. */
bool store_list(struct store *store, store_session_sink *sink, void *context,
                struct problem *problem);

/* Finds a session: '12' (row id), 'last', the start of a uuid, or a rider's code (their latest). */
bool store_find_session(struct store *store, const char *words, int64_t *id,
                        struct problem *problem);
/* The latest session that was cut short, or false with PROBLEM_NONE when there is none. */
bool store_find_cut_short(struct store *store, int64_t *id, struct problem *problem);

/* Told one by one, as sentences. */
typedef void store_finding(void *context, const char *sentence);
/* Who is told of each row that can't be used, with the session and the seconds it touches: the rest
 * is then read. While nobody is (the usual), reading what is damaged fails. */
void store_on_damage(struct store *store, store_finding *told, void *context);
int64_t store_damage_count(const struct store *store); /* since it was opened */

/* All records of a session. Each index, reference, count, number and text of it was checked: what
 * works with it may trust them. */
bool store_load(struct store *store, int64_t id, struct session_record *record,
                struct problem *problem);
/* What is read between the two is of one moment, though a session is being recorded meanwhile. A
 * file that nobody writes (no log beside it) is not held, so that a session can begin. */
bool store_moment_begin(struct store *store, struct problem *problem);
void store_moment_end(struct store *store);
/* Makes id the session that further samples and effects belong to (a cut-short one taken up again,
 * after its replay). */
bool store_resume(struct store *store, int64_t id, struct problem *problem);
/* The same without a look at whether it has ended: for the recorder, whose store was put back. */
bool store_go_on(struct store *store, int64_t id, struct problem *problem);

/* The logged commands in order. */
typedef bool command_sink(void *context, const struct command_record *command,
                          struct problem *problem);
bool store_commands(struct store *store, int64_t id, command_sink *sink, void *context,
                    struct problem *problem);

/* Samples first..last of a session, without a hole: one that can't be read, or can't be true, is
 * there without readings, as lost, and told. The array belongs to the store and is good until the
 * next call. */
bool store_samples(struct store *store, int64_t id, int64_t first, int64_t last,
                   const struct sample **samples, size_t *count, struct problem *problem);

/* Fewer pages of the file are kept in memory than usual: of who adds at its end for hours. */
void store_keep_few_pages(struct store *store);

/* A sample_source over one session: context is a struct store_sample_source. */
struct store_sample_source {
    struct store *store;
    int64_t session_id;
    struct problem problem;
};
bool store_sample_source(void *context, int64_t first, int64_t last, const struct sample **samples,
                         size_t *count);

#endif
