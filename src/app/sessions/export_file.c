/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/export_file.h"

#include "base/clock.h"
#include "base/text.h"
#include "report/across.h"
#include "report/plots.h"

#include <string.h>

const char *const export_endings = ".txt, .csv, .json, .html, .pdf, .svg";

#define TEXT_WIDTH 100

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
} kinds[] = {
    {".txt", write_text, NULL, false},
    {".json", report_json, NULL, false},
    {"-sheet.html", NULL, report_html, true},
    {".html", NULL, report_html, false},
    {"-sheet.pdf", NULL, report_pdf, true},
    {".pdf", NULL, report_pdf, false},
    {"-cloud.svg", NULL, report_cloud_svg, false},
    {"-holds.svg", NULL, report_holds_svg, false},
    {"-tradeoff.svg", report_tradeoff_svg, NULL, false},
    {"-bands.svg", NULL, report_bands_svg, false},
    {"-still.svg", NULL, report_still_svg, false},
    {"-bike.svg", report_bike_svg, NULL, false},
    {"-setups.svg", report_fronts_svg, NULL, false},
    {".svg", report_heights_svg, NULL, false},
    {"-setups.csv", report_setups_csv, NULL, false},
    {"-steps.csv", report_steps_csv, NULL, false},
    {"-readings.csv", NULL, report_readings_csv, false},
    {".csv", report_holds_csv, NULL, false},
};

static bool ends_with(const char *text, const char *end)
{
    size_t length = strlen(text), wanted = strlen(end);
    return length >= wanted && text_equal(text + length - wanted, end);
}

static const struct kind *kind_of(const char *path)
{
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (ends_with(path, kinds[i].ending)) {
            return &kinds[i];
        }
    }
    return NULL;
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

bool export_file(const struct report_input *input, sample_source *source, void *context,
                 const struct report_file *file, struct problem *problem)
{
    struct job job = {kind_of(file->path), *input, source, context};
    if (job.kind == NULL) {
        return problem_usage(problem, "%s: the kind follows the file's ending, one of %s",
                             file->path, export_endings);
    }
    job.input.utc_offset_s = clock_local_offset_s(input->record->started_ms);
    job.input.sheet_only = input->sheet_only || job.kind->sheet_only;
    return report_write_file(file, write_job, &job, problem);
}

/* ---- a rider's record ---- */

static bool visits_json(FILE *stream, const struct across *across, enum page_size size,
                        struct problem *problem)
{
    (void)size;
    return report_across_json(stream, across, problem);
}

struct visits_job {
    visits_writer *write;
    const struct across *across;
    enum page_size size;
};

static bool write_visits(FILE *stream, void *context, struct problem *problem)
{
    const struct visits_job *job = context;
    return job->write(stream, job->across, job->size, problem);
}

bool export_visits(const struct across *across, enum page_size size, const struct report_file *file,
                   struct problem *problem)
{
    static const struct {
        const char *ending;
        visits_writer *write;
    } visits[] = {{".pdf", report_visits_pdf},
                  {".html", report_visits_html},
                  {".csv", report_visits_csv},
                  {".json", visits_json}};
    for (size_t i = 0; i < sizeof visits / sizeof visits[0]; i++) {
        if (ends_with(file->path, visits[i].ending)) {
            struct visits_job job = {visits[i].write, across, size};
            return report_write_file(file, write_visits, &job, problem);
        }
    }
    return problem_usage(problem, "%s: a rider's record ends in .pdf, .html, .csv or .json",
                         file->path);
}
