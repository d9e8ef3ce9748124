/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_EXPORT_JOB_H
#define HOLDLINE_APP_EXPORT_JOB_H

#include "app/own_samples.h"
#include "app/session_reports.h"
#include "app/worker.h"

/* An export of a running session for another thread: the session as it was when the job was made.
 * Records, analysis and log are the job's own copy; the samples of its captures are read where the
 * session keeps them, which must outlive the job, and those that it does not keep out of a store of
 * the job's own (where: path and session; copied). Over an existing file only where replace says
 * so. NULL without memory. */
struct export_job;
struct export_job *export_job_create(const struct session_reports *reports,
                                     const struct session *session, const struct own_samples *where,
                                     const char *path, bool replace, struct problem *problem);
/* A worker_run; share is of the samples read. Stopped: no half file is left. */
bool export_job_run(void *job, struct worker *worker, struct problem *problem);
void export_job_destroy(void *job); /* NULL is allowed */

#endif
