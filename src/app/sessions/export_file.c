/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/export_file.h"

#include "base/text.h"
#include "report/plots.h"

#include <string.h>

const char *const export_endings = ".txt, .csv, .json, .html, .pdf, .svg";

#define TEXT_WIDTH 100

struct job {
    const struct report_input *input;
    sample_source *source;
    void *context;
    enum page_size page_size;
};

static bool write_text(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_session_text(stream, job->input, TEXT_WIDTH, problem);
}

static bool write_json(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_json(stream, job->input, problem);
}

static bool write_holds(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_holds_csv(stream, job->input, problem);
}

static bool write_setups(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_setups_csv(stream, job->input, problem);
}

static bool write_steps(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_steps_csv(stream, job->input, problem);
}

static bool write_readings(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_readings_csv(stream, job->input, job->source, job->context, problem);
}

static bool write_html(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_html(stream, job->input, job->source, job->context, problem);
}

static bool write_pdf(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_pdf(stream, job->input, job->source, job->context, job->page_size, problem);
}

/* What the rider takes home, without the fitter's report. */
static bool write_sheet_html(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    struct report_input input = *job->input;
    input.sheet_only = true;
    return report_html(stream, &input, job->source, job->context, problem);
}

static bool write_sheet_pdf(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    struct report_input input = *job->input;
    input.sheet_only = true;
    return report_pdf(stream, &input, job->source, job->context, job->page_size, problem);
}

static bool write_heights_picture(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_heights_svg(stream, job->input, problem);
}

static bool write_tradeoff_picture(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_tradeoff_svg(stream, job->input, problem);
}

static bool write_bike_picture(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_bike_svg(stream, job->input, problem);
}

static bool write_fronts_picture(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_fronts_svg(stream, job->input, problem);
}

static bool write_cloud_picture(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_cloud_svg(stream, job->input, job->source, job->context, problem);
}

static bool write_holds_picture(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_holds_svg(stream, job->input, job->source, job->context, problem);
}

static bool write_bands_picture(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_bands_svg(stream, job->input, job->source, job->context, problem);
}

static bool write_still_picture(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_still_svg(stream, job->input, job->source, job->context, problem);
}

static bool ends_with(const char *text, const char *end)
{
    size_t length = strlen(text), wanted = strlen(end);
    return length >= wanted && text_equal(text + length - wanted, end);
}

/* The first that fits; the general ones come behind. */
static const struct kind {
    const char *ending;
    report_body *body;
} kinds[] = {
    {".txt", write_text},
    {".json", write_json},
    {"-sheet.html", write_sheet_html},
    {".html", write_html},
    {"-sheet.pdf", write_sheet_pdf},
    {".pdf", write_pdf},
    {"-cloud.svg", write_cloud_picture},
    {"-holds.svg", write_holds_picture},
    {"-tradeoff.svg", write_tradeoff_picture},
    {"-bands.svg", write_bands_picture},
    {"-still.svg", write_still_picture},
    {"-bike.svg", write_bike_picture},
    {"-setups.svg", write_fronts_picture},
    {".svg", write_heights_picture},
    {"-setups.csv", write_setups},
    {"-steps.csv", write_steps},
    {"-readings.csv", write_readings},
    {".csv", write_holds},
};

static report_body *body_for(const char *path)
{
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (ends_with(path, kinds[i].ending)) {
            return kinds[i].body;
        }
    }
    return NULL;
}

bool export_file(const struct report_input *input, sample_source *source, void *context,
                 enum page_size page_size, const struct report_file *file, struct problem *problem)
{
    struct job job = {input, source, context, page_size};
    report_body *body = body_for(file->path);
    if (body == NULL) {
        return problem_usage(problem, "%s: the kind follows the file's ending, one of %s",
                             file->path, export_endings);
    }
    return report_write_file(file, body, &job, problem);
}
