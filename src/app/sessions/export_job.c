/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/export_job.h"

#include "app/export_file.h"
#include "base/text.h"
#include "session/memory.h"

#include <stdlib.h>
#include <string.h>

struct export_job {
    struct session_record record;
    struct analysis analysis;
    struct command_record *command;
    size_t command_count;
    struct memory_reader *samples;
    struct own_samples own; /* what is not in memory */
    char path[COMMAND_TEXT_SIZE];
    bool replace;
    struct worker *worker; /* while it runs */
    double share;
};

struct export_job *export_job_create(const struct session_reports *reports,
                                     const struct session *session, const struct own_samples *where,
                                     const char *path, bool replace, struct problem *problem)
{
    struct export_job *job = malloc(sizeof *job);
    if (job != NULL) {
        job->record = *session_records(session);
        job->analysis = *session_analysis(session);
        job->command = malloc((reports->count + 1) * sizeof *job->command);
        job->samples = session_sample_reader(session);
        job->own = *where;
        job->own.store = NULL;
        job->share = 0.0;
        text_copy(job->path, sizeof job->path, path);
        job->replace = replace;
    }
    if (job == NULL || job->command == NULL || job->samples == NULL) {
        export_job_destroy(job);
        problem_set(problem, "no memory for an export beside the session");
        return NULL;
    }
    memcpy(job->command, reports->command, reports->count * sizeof *job->command);
    job->command_count = reports->count;
    return job;
}

void export_job_destroy(void *data)
{
    struct export_job *job = data;
    if (job != NULL) {
        memory_reader_destroy(job->samples);
        own_samples_close(&job->own);
        free(job->command);
        free(job);
    }
}

/* A sample_source. Some reports go over the samples more than once: the share never falls. */
static bool job_samples(void *context, int64_t first, int64_t last, const struct sample **samples,
                        size_t *count)
{
    struct export_job *job = context;
    double share = (double)first / (double)(job->record.last_sample + 1);
    job->share = share > job->share ? share : job->share;
    return worker_tell(job->worker, job->share) &&
           (memory_reader_samples(job->samples, first, last, samples, count) ||
            own_samples_source(&job->own, first, last, samples, count));
}

bool export_job_run(void *data, struct worker *worker, struct problem *problem)
{
    struct export_job *job = data;
    const struct report_input input = {.record = &job->record,
                                       .analysis = &job->analysis,
                                       .commands = job->command,
                                       .command_count = job->command_count};
    const struct report_file file = {.path = job->path,
                                     .replace = job->replace,
                                     .go_on = worker_goes_on,
                                     .go_on_context = worker};
    job->worker = worker;
    bool done = export_file(&input, job_samples, job, &file, problem);
    return done || (!worker_goes_on(worker) && problem_set(problem, "%s: stopped", job->path));
}
