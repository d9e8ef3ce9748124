#include "app/exporting.h"

#include "base/text.h"
#include "report/plots.h"

#include <string.h>

const char *const export_endings = ".txt, .csv, .json, .html, .svg";

#define TEXT_WIDTH 100

struct job {
    const struct report_input *input;
    sample_source *source;
    void *context;
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

static bool write_heights_picture(FILE *stream, void *context, struct problem *problem)
{
    const struct job *job = context;
    return report_heights_svg(stream, job->input, problem);
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

static bool ends_with(const char *text, const char *end)
{
    size_t length = strlen(text), wanted = strlen(end);
    return length >= wanted && text_equal(text + length - wanted, end);
}

static report_body *body_for(const char *path, enum export_table table)
{
    if (ends_with(path, ".txt")) {
        return write_text;
    }
    if (ends_with(path, ".json")) {
        return write_json;
    }
    if (ends_with(path, ".html")) {
        return write_html;
    }
    if (ends_with(path, "-cloud.svg")) {
        return write_cloud_picture;
    }
    if (ends_with(path, "-holds.svg")) {
        return write_holds_picture;
    }
    if (ends_with(path, ".svg")) {
        return write_heights_picture;
    }
    if (ends_with(path, "-setups.csv") || (ends_with(path, ".csv") && table == EXPORT_SETUPS)) {
        return write_setups;
    }
    if (ends_with(path, "-readings.csv") || (ends_with(path, ".csv") && table == EXPORT_READINGS)) {
        return write_readings;
    }
    return ends_with(path, ".csv") ? write_holds : NULL;
}

bool export_file(const struct report_input *input, sample_source *source, void *context,
                 enum export_table table, const char *path, bool replace, struct problem *problem)
{
    struct job job = {input, source, context};
    report_body *body = body_for(path, table);
    if (body == NULL) {
        return problem_set(problem, "%s: the kind follows the file's ending, one of %s", path,
                           export_endings);
    }
    return report_write_file(path, replace, body, &job, problem);
}
