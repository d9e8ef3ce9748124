/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_LOADED_SESSION_H
#define HOLDLINE_APP_LOADED_SESSION_H

#include "app/session_arguments.h"
#include "base/problem.h"
#include "report/report.h"
#include "store/store.h"

/* A stored session with its command log, analysed and ready for reports. The store is opened read
 * only, so a session that is being recorded into it isn't disturbed. */
struct loaded_session;

/* store_path NULL or "": the default store. words: '12', 'last', the start of a uuid, a rider's
 * code. NULL with a problem; closed by the caller. */
struct loaded_session *loaded_session_open(const char *store_path, const char *words,
                                           struct problem *problem);
/* The same, and watch (NULL = nobody) is told how it goes, here and by loaded_session_samples: they
 * end with 'stopped' where it says so. */
struct loaded_session *loaded_session_open_watched(const char *store_path, const char *words,
                                                   const struct store_watch *watch,
                                                   struct problem *problem);
/* The same of a session that may be damaged: each row or sample that can't be used is told on
 * standard error, once, and the rest is opened. Without that a damaged session can't be. */
struct loaded_session *loaded_session_open_in_part(const char *store_path, const char *words,
                                                   const struct store_watch *watch,
                                                   struct problem *problem);
/* False, with a sentence, where something was left out of what was read so far. */
bool loaded_session_is_whole(const struct loaded_session *loaded, struct problem *problem);
void loaded_session_close(struct loaded_session *loaded);
/* What watched the loading watches no more (it may be gone). */
void loaded_session_unwatch(struct loaded_session *loaded);
/* The store is not wanted any more, only what was read: no samples from here on. */
void loaded_session_leave_store(struct loaded_session *loaded);

/* Compares against this setup instead of the session's own first. */
bool loaded_session_against(struct loaded_session *loaded, int setup_number,
                            struct problem *problem);

/* Writes the session that a command asks for to standard output, as text or JSON. Told as it goes
 * until it is there, and where it can't be had or written; the command's exit status. */
int loaded_session_tell(const struct session_arguments *arguments, report_text_writer *text,
                        report_writer *json);

/* The rider's sheet is about this setup. */
bool loaded_session_choose(struct loaded_session *loaded, int setup_number,
                           struct problem *problem);

/* For a report: a command's own limits and what else it wants of one are written into it. */
struct report_input *loaded_session_input(struct loaded_session *loaded);
/* A sample_source: context is the loaded session. */
bool loaded_session_samples(void *loaded, int64_t first, int64_t last,
                            const struct sample **samples, size_t *count);
/* Context of store_sample_source for this session's samples. */
struct store_sample_source *loaded_session_source(struct loaded_session *loaded);

#endif
