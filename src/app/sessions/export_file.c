/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/export_file.h"

#include "app/fitters_mark.h"
#include "app/package.h"
#include "app/paper_language.h"
#include "base/clock.h"
#include "base/nearest.h"
#include "base/text.h"
#include "report/across.h"
#include "report/plots.h"
#include "say/carried.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

const char *const export_endings = ".txt, .csv, .json, .zip, .html, .pdf, .svg";

#define TEXT_WIDTH 100
#define SHEET_CARRIES (CARRIES_CODE | CARRIES_NAME | CARRIES_RATINGS)

static bool write_text(FILE *stream, const struct report_input *input, struct problem *problem)
{
    return report_session_text(stream, input, TEXT_WIDTH, problem);
}

/* The first that fits; the general ones come behind. */
static const struct kind {
    const char *ending;
    report_writer *write; /* NULL: it wants samples */
    report_samples_writer *write_with_samples;
    bool sheet_only;
    unsigned carries; /* of a person: enum carried */
} kinds[] = {
    {".txt", write_text, NULL, false, CARRIES_ALL},
    {".json", report_json, NULL, false, CARRIES_ALL},
    {"-sheet.html", NULL, report_html, true, SHEET_CARRIES},
    {".html", NULL, report_html, false, CARRIES_ALL},
    {"-sheet.pdf", NULL, report_pdf, true, SHEET_CARRIES},
    {".pdf", NULL, report_pdf, false, CARRIES_ALL},
    {"-cloud.svg", NULL, report_cloud_svg, false, 0},
    {"-holds.svg", NULL, report_holds_svg, false, 0},
    {"-tradeoff.svg", report_tradeoff_svg, NULL, false, 0},
    {"-bands.svg", NULL, report_bands_svg, false, 0},
    {"-still.svg", NULL, report_still_svg, false, 0},
    {"-bike.svg", report_bike_svg, NULL, false, 0},
    {"-setups.svg", report_fronts_svg, NULL, false, 0},
    {"-drag.svg", report_drag_svg, NULL, false, 0},
    {".svg", report_heights_svg, NULL, false, 0},
    {"-setups.csv", report_setups_csv, NULL, false, CARRIES_CODE | CARRIES_RATINGS},
    {"-steps.csv", report_steps_csv, NULL, false, CARRIES_CODE},
    {"-runs.csv", report_runs_csv, NULL, false, CARRIES_CODE | CARRIES_REASONS},
    {"-minutes.csv", NULL, report_minutes_csv, false, 0},
    {"-readings.csv", NULL, report_readings_csv, false, 0},
    {".zip", NULL, package_write, false, CARRIES_ALL},
    {".csv", report_holds_csv, NULL, false, CARRIES_CODE | CARRIES_NAME | CARRIES_REASONS},
};

static const struct kind *kind_of(const char *path)
{
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (text_is_named(path, kinds[i].ending)) {
            return &kinds[i];
        }
    }
    return NULL;
}

bool export_file_carries(const char *path, const struct session_record *record, char *text,
                         size_t size)
{
    const struct kind *kind = kind_of(path);
    text[0] = '\0';
    return kind != NULL && say_carried(text, size, kind->carries & carried_there(record));
}

struct job {
    const struct kind *kind;
    struct report_input input;
    sample_source *source;
    void *context;
};

static bool write_job(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return job->kind->write != NULL ? job->kind->write(stream, &job->input, problem)
                                    : job->kind->write_with_samples(
                                          stream, &job->input, job->source, job->context, problem);
}

bool export_ending(const char *kind, char *ending, size_t size, struct problem *problem)
{
    static const char before[] = {'.', '-'};
    for (size_t b = 0; b < sizeof before; b++) {
        snprintf(ending, size, "%c%s", before[b],
                 kind[0] == '.' || kind[0] == '-' ? kind + 1 : kind);
        for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
            if (strlen(ending) == strlen(kinds[i].ending) &&
                text_is_named(ending, kinds[i].ending)) {
                text_copy(ending, size, kinds[i].ending);
                return true;
            }
        }
    }
    char meant[NEAREST_TEXT_SIZE];
    struct nearest nearest = nearest_to(kind);
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        nearest_try(&nearest, kinds[i].ending + 1);
    }
    if (nearest.word != NULL) {
        return problem_usage(problem, "export: '%s' is no kind%s", kind,
                             nearest_text(&nearest, "", meant, sizeof meant));
    }
    return problem_usage(problem,
                         "export: '%s' is no kind: say pdf, csv, setups.csv, zip, ..., as "
                         "'holdline export --help' lists them",
                         kind);
}

/* What a file's name can be of on any system. */
static void append_plain(char *name, size_t size, size_t *used, const char *text)
{
    for (; *text != '\0'; text++) {
        bool plain = (*text >= 'a' && *text <= 'z') || (*text >= 'A' && *text <= 'Z') ||
                     (*text >= '0' && *text <= '9') || *text == '_' || *text == '.' || *text == '-';
        text_append(name, size, used, "%c", plain ? *text : '-');
    }
}

void export_name(const struct session_record *record, const char *ending, char *name, size_t size)
{
    char day[CLOCK_TEXT_SIZE];
    size_t used = 0;
    clock_wall_text(day, record->started_ms + clock_local_ahead_ms(record->started_ms));
    name[0] = '\0';
    bool coded = record->has_rider && record->rider.code[0] != '\0' &&
                 record->rider.code[0] != '.' && record->rider.code[0] != '-';
    append_plain(name, size, &used, coded ? record->rider.code : "session");
    text_append(name, size, &used, "-%.10s%s", day, ending);
}

#define FREE_NAMES_MAX 1000

void export_name_free(const char *proposed, const char *ending, const char *folder, char *name,
                      size_t size)
{
    char path[PATH_MAX];
    struct stat status;
    int stem = (int)strlen(proposed) - (int)strlen(ending);
    text_copy(name, size, proposed);
    for (int number = 2; number < FREE_NAMES_MAX; number++) {
        snprintf(path, sizeof path, "%s%s%s", folder, folder[0] != '\0' ? "/" : "", name);
        if (lstat(path, &status) != 0) {
            return;
        }
        snprintf(name, size, "%.*s-%d%s", stem, proposed, number, ending);
    }
}

/* Only the rider's papers have a language; what programs read has none. */
static bool set_language(struct job *job, struct problem *problem)
{
    bool paper =
        job->kind->write_with_samples == report_html || job->kind->write_with_samples == report_pdf;
    if (!paper) {
        return job->input.language == NULL ||
               problem_usage(problem,
                             "export: --language is of the rider's sheet: a %s has none, a .pdf or "
                             ".html does",
                             job->kind->ending);
    }
    if (job->input.language == NULL) {
        job->input.language = paper_language(NULL, problem);
    }
    return job->input.language != NULL;
}

/* What is the fitter's own: name and mark, which is freed by the caller; and the language. */
static bool set_job(struct job *job, char *fitter, size_t size, char **mark,
                    struct problem *problem)
{
    const char *named = getenv("HOLDLINE_FITTER");
    text_clean(fitter, size, named != NULL ? named : "");
    job->input.fitter = fitter;
    job->input.sheet_only = job->input.sheet_only || job->kind->sheet_only;
    *mark = NULL;
    bool done = set_language(job, problem);
    const struct language *before = language_enter(job->input.language);
    done = done && fitters_mark_read(mark, problem);
    language_enter(before);
    job->input.mark = *mark;
    return done;
}

bool export_to(FILE *stream, const struct report_input *input, sample_source *source, void *context,
               const char *ending, struct problem *problem)
{
    struct job job = {kind_of(ending), *input, source, context};
    char fitter[NAME_SIZE], *mark = NULL;
    bool done =
        set_job(&job, fitter, sizeof fitter, &mark, problem) && write_job(stream, &job, problem);
    free(mark);
    return done;
}

bool export_file(const struct report_input *input, sample_source *source, void *context,
                 const struct report_file *file, struct problem *problem)
{
    struct job job = {kind_of(file->path), *input, source, context};
    if (job.kind == NULL) {
        return problem_usage(problem, "%s: the kind follows the file's ending, one of %s",
                             file->path, export_endings);
    }
    char fitter[NAME_SIZE], *mark = NULL;
    bool done = set_job(&job, fitter, sizeof fitter, &mark, problem) &&
                report_write_file(file, write_job, &job, problem);
    free(mark);
    return done;
}

/* ---- a rider's record ---- */

static bool visits_json(FILE *stream, const struct across *across, enum page_size size,
                        struct problem *problem)
{
    (void)size;
    return report_across_json(stream, across, problem);
}

static const struct {
    const char *ending;
    visits_writer *write;
    bool paper;
    unsigned carries;
} visits[] = {{".pdf", report_visits_pdf, true, CARRIES_CODE | CARRIES_NAME | CARRIES_RATINGS},
              {".html", report_visits_html, true, CARRIES_CODE | CARRIES_NAME | CARRIES_RATINGS},
              {".csv", report_visits_csv, false, CARRIES_RATINGS},
              {".json", visits_json, false, CARRIES_CODE}};

bool export_visits_carries(const char *path, const struct across *across, char *text, size_t size)
{
    unsigned there = 0;
    text[0] = '\0';
    for (int i = 0; i < across->session_count; i++) {
        there |= carried_there(across->session[i].record);
    }
    for (size_t i = 0; i < sizeof visits / sizeof visits[0]; i++) {
        if (text_is_named(path, visits[i].ending)) {
            return say_carried(text, size, visits[i].carries & there);
        }
    }
    return false;
}

struct visits_job {
    visits_writer *write;
    const struct across *across;
    enum page_size size;
    const struct language *language;
};

static bool write_visits(FILE *stream, void *context, struct problem *problem)
{
    const struct visits_job *job = context;
    const struct language *before = language_enter(job->language);
    bool done = job->write(stream, job->across, job->size, problem);
    language_enter(before);
    return done;
}

bool export_visits(const struct across *across, enum page_size size,
                   const struct language *language, const struct report_file *file,
                   struct problem *problem)
{
    for (size_t i = 0; i < sizeof visits / sizeof visits[0]; i++) {
        if (!text_is_named(file->path, visits[i].ending)) {
            continue;
        }
        if (!visits[i].paper && language != NULL) {
            return problem_usage(problem,
                                 "export: --language is of a record on paper: a %s has "
                                 "none, a .pdf or .html does",
                                 visits[i].ending);
        }
        if (visits[i].paper && language == NULL) {
            language = paper_language(NULL, problem);
        }
        struct visits_job job = {visits[i].write, across, size, language};
        return (!visits[i].paper || language != NULL) &&
               report_write_file(file, write_visits, &job, problem);
    }
    return problem_usage(problem, "%s: a rider's record ends in .pdf, .html, .csv or .json",
                         file->path);
}
