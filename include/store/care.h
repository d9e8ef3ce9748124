/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_STORE_CARE_H
#define HOLDLINE_STORE_CARE_H

#include "store/store.h"

/* What is done to a whole store: looking it over, copying it, taking another one's sessions in,
 * removing a rider. */

/* Looks the store over (any mode): the file's pages and indexes, references, and what the schema
 * can't say: that each session's stretch of samples is as long as it says, apart from the others'
 * and in time order, that captures lie within it, that the log has no holes. found gets each thing
 * that is wrong; *count how many. False only when the looking itself failed. */
bool store_check(struct store *store, store_finding *found, void *context,
                 const struct store_watch *watch, int64_t *count, struct problem *problem);

/* A store that may be damaged, or in which another program made something: opened to read whatever
 * of it can be read. told gets what is passed over, here and with all that is read of it
 * (store_on_damage). */
struct store *store_open_damaged(const char *path, store_finding *told, void *context,
                                 const struct store_watch *watch, struct problem *problem);
/* The session behind *id (0: the first), by the table alone, whatever the indexes are like. False
 * with *id 0 where there is none, or none can be read. */
bool store_next_session(struct store *store, int64_t *id, struct problem *problem);
/* Behind the program's version in a session that was saved in part: its log and its records no
 * longer give each other. */
#define STORE_IN_PART "-in-part"
bool store_session_in_part(struct store *store, int64_t id, bool *in_part, struct problem *problem);

/* Whether a session of one store is, record for record and sample for sample, that of another (a
 * replay of it, or a copy): each difference is told, up to 10, as 'there is ... / here is ...'. */
bool store_compare_session(struct store *store, int64_t id, struct store *other, int64_t other_id,
                           store_finding *found, void *context, int64_t *differences,
                           struct problem *problem);

/* A copy at path (never over a file that is there), consistent in itself even while a session is
 * recorded into the store. Its name is added to the list of backups beside the store
 * ('FILE.backups'). */
bool store_backup(struct store *store, const char *path, const struct store_watch *watch,
                  struct problem *problem);

struct store_merged {
    int taken, already_there, left_out; /* sessions */
};
/* Takes the sessions of other into store (STORE_WRITE). A session that is in both stays as it is
 * here; a rider with a code that is another's here, and sessions that clash otherwise, are left
 * out; told says each. */
bool store_merge(struct store *store, struct store *other, store_finding *told, void *context,
                 const struct store_watch *watch, struct store_merged *merged,
                 struct problem *problem);

struct store_forgotten {
    int sessions, bikes;
    int64_t samples;
};
/* Writes the file anew, without unused pages (STORE_WRITE). */
bool store_compact(struct store *store, const struct store_watch *watch, struct problem *problem);
/* Removes the rider with this code, their bikes, sessions and samples (STORE_WRITE), and writes the
 * file anew so that nothing of them can be found in it. told names each file that may still hold
 * them: backups, and what was saved beside. What watch says ends it until the rows are gone; the
 * rest is done whatever it says. */
bool store_forget(struct store *store, const char *code, store_finding *told, void *context,
                  const struct store_watch *watch, struct store_forgotten *forgotten,
                  struct problem *problem);
/* The same with one session, as store_find_session finds it, and what only it has of bike and
 * rider: for a session in which nobody was named, too. */
bool store_forget_session(struct store *store, const char *words, store_finding *told,
                          void *context, const struct store_watch *watch,
                          struct store_forgotten *forgotten, struct problem *problem);

/* Removes a store's file and what lies beside it, where they are there. Nobody may have it open. */
void store_remove(const char *path);

#endif
