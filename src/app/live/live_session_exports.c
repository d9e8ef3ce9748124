/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "live_session_inside.h"

#include "app/export_file.h"
#include "app/export_job.h"
#include "base/text.h"

#include <stdlib.h>
#include <string.h>

/* The jobs that write a file of the session, and look for a name that is free for it. */

static const char *file_name(const char *path)
{
    const char *name = path;
    for (const char *at = path; *at != '\0'; at++) {
        name = *at == '/' && at[1] != '\0' ? at + 1 : name;
    }
    return name;
}

/* ---- exports -------------------------------------------------------------------------------- */

struct export_work {
    uint64_t request;
    struct export_job *job;
    char path[COMMAND_TEXT_SIZE];
};

bool live_run_export(void *data, struct worker *worker, struct problem *problem)
{
    const struct export_work *work = data;
    return export_job_run(work->job, worker, problem);
}

static void destroy_export(void *data)
{
    struct export_work *work = data;
    export_job_destroy(work->job);
    free(work);
}

bool live_job_export(struct live_session *live, uint64_t request, const char *path, bool replace,
                     struct problem *problem)
{
    struct export_work *work = calloc(1, sizeof *work);
    struct worker_job job = {.run = live_run_export, .destroy = destroy_export, .data = work};
    if (work == NULL) {
        return problem_set(problem, "no memory for an export beside the session");
    }
    work->request = request;
    bool whole = path[0] == '/' || live->folder[0] == '\0';
    int length = snprintf(work->path, sizeof work->path, "%s%s%s", whole ? "" : live->folder,
                          whole ? "" : "/", path);
    if (length < 0 || (size_t)length >= sizeof work->path) {
        destroy_export(work);
        return problem_set(problem, "the path of the file is too long");
    }
    work->job = export_job_create(&live->reports, live->session, live_own_samples(live), work->path,
                                  replace, problem);
    if (work->job == NULL) {
        destroy_export(work);
        return false;
    }
    snprintf(job.doing, sizeof job.doing, "writing %.100s", file_name(path));
    if (!worker_give(live->worker, &job, problem)) {
        return false;
    }
    live_session_wait_for(live, request);
    return true;
}

/* What was written is told at the session's end; the sheet's step is done with it. */
static void note_written(struct live_session *live, const char *path)
{
    struct live_outcome *outcome = live->options->outcome;
    struct view view = live->back;
    if (outcome != NULL) {
        int last = LIVE_WRITTEN_MAX - 1, at = outcome->written_count;
        if (at > last) {
            memmove(outcome->written[0], outcome->written[1],
                    (size_t)last * sizeof outcome->written[0]);
            at = last;
        }
        text_copy(outcome->written[at], sizeof outcome->written[at], path);
        outcome->written_count = at + 1;
    }
    session_fill_view(live->session, &view);
    if (view.next == VIEW_NEXT_SHEET) {
        live_session_do(live, view.next_skip, NULL);
    }
}

/* Enter again is said only to a form that is still there. */
static void answer_there(struct live_session *live, const struct export_work *work)
{
    char sentence[512];
    bool waits = live->waiting_request == work->request;
    snprintf(sentence, sizeof sentence, "%.300s is there already: %s", work->path,
             waits ? "Enter again writes over it, or type another name" : "name another file");
    if (waits) {
        live->waiting_request = 0;
        live_session_answer_asked(live, work->request, sentence);
    } else {
        live_session_answer_with(live, work->request, false, sentence);
    }
}

void live_take_export(struct live_session *live, const struct worker_outcome *outcome)
{
    const struct export_work *work = outcome->job.data;
    char sentence[sizeof outcome->problem.sentence];
    char carries[200];
    bool any =
        export_file_carries(work->path, session_records(live->session), carries, sizeof carries);
    snprintf(sentence, sizeof sentence, "written: %.280s%s%s", work->path, any ? "; it " : "",
             carries);
    if (outcome->done) {
        note_written(live, work->path);
        live_job_name(live, true);
    } else if (outcome->problem.kind == PROBLEM_THERE) {
        answer_there(live, work);
        return;
    }
    live_session_answer_job(live, work->request, outcome->done,
                            outcome->done ? sentence : outcome->problem.sentence);
}

/* ---- a name for the rider's sheet -------------------------------------------------------------
 */

#define SHEET_ENDING "-sheet.pdf"

struct name_work {
    char folder[PATH_MAX];
    char proposed[sizeof((struct view *)0)->sheet_name];
    char name[sizeof((struct view *)0)->sheet_name]; /* what came of it */
};

bool live_run_name(void *data, struct worker *worker, struct problem *problem)
{
    struct name_work *work = data;
    (void)worker;
    (void)problem;
    export_name_free(work->proposed, SHEET_ENDING, work->folder, work->name, sizeof work->name);
    return true;
}

void live_job_name(struct live_session *live, bool anew)
{
    char proposed[sizeof live->named];
    export_name(session_records(live->session), SHEET_ENDING, proposed, sizeof proposed);
    if (text_equal(proposed, live->named) && !anew) {
        return;
    }
    struct name_work *work = calloc(1, sizeof *work);
    struct worker_job job = {
        .doing = "looking for a free name", .run = live_run_name, .destroy = free, .data = work};
    text_copy(live->named, sizeof live->named, proposed);
    text_copy(live->back.sheet_name, sizeof live->back.sheet_name, proposed);
    if (work != NULL) {
        text_copy(work->folder, sizeof work->folder, live->folder);
        text_copy(work->proposed, sizeof work->proposed, proposed);
        worker_give(live->worker, &job, NULL);
    }
}

void live_take_name(struct live_session *live, const struct worker_outcome *outcome)
{
    const struct name_work *work = outcome->job.data;
    if (outcome->done && text_equal(work->proposed, live->named)) {
        text_copy(live->back.sheet_name, sizeof live->back.sheet_name, work->name);
    }
}
