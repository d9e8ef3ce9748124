/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/rig_check_report.h"

#include "analysis/check_budget.h"
#include "app/standard_output.h"
#include "base/json.h"
#include "base/text.h"
#include "measure/allan.h"
#include "measure/hampel.h"
#include "measure/rules.h"
#include "report/paper_files.h"
#include "say/say.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char *name_of(const struct checked *checked, int channel)
{
    return channel >= 0 ? checked->placing->channel[channel].name : NULL;
}

static double number(const struct checked *checked, enum check_quantity quantity, int channel)
{
    return check_value(checked->check, quantity, channel, 0);
}

/* The still sensor's deviation over averaging time; outliers are left out. */
static bool curve_of(const struct checked *checked, int channel, struct allan_curve *curve)
{
    const struct check_stretch *stretch = &checked->stretches[0];
    const struct channel_record *recorded = &checked->placing->channel[channel];
    double *mm = malloc((stretch->count + 1) * sizeof *mm);
    uint8_t *reject = malloc(stretch->count + 1);
    const struct hampel_settings settings = hampel_of_sensor();
    size_t good = 0, kept = 0;
    for (size_t i = 0; mm != NULL && i < stretch->count; i++) {
        if (stretch->samples[i].quality[channel] == READING_GOOD) {
            mm[good++] =
                calibrated_mm(recorded, (double)stretch->samples[i].range_tenth_mm[channel]);
        }
    }
    bool done = mm != NULL && reject != NULL && good > 1 &&
                !isnan(number(checked, CHECK_BEST_AVERAGING, channel)) &&
                hampel_reject(mm, good, &settings, reject, NULL, NULL) == MEASURE_OK;
    for (size_t i = 0; done && i < good; i++) {
        if (!reject[i]) {
            mm[kept++] = mm[i];
        }
    }
    if (done) {
        double span_s =
            (double)(stretch->samples[stretch->count - 1].time_us - stretch->samples[0].time_us) /
            1e6;
        done = allan_curve(mm, kept, span_s / (double)(stretch->count - 1), curve) == MEASURE_OK;
    }
    free(mm);
    free(reject);
    return done;
}

/* ---- text ------------------------------------------------------------------------------------ */

static void print_curves(FILE *stream, const struct checked *checked)
{
    for (int c = 0; c < checked->placing->channel_count; c++) {
        struct allan_curve curve;
        if (!curve_of(checked, c, &curve)) {
            continue;
        }
        text_print(stream, "%s: averaged over (s), deviation (mm)\n", name_of(checked, c));
        for (size_t i = 0; i < curve.count; i++) {
            char seconds[32], deviation[32];
            text_from_double(seconds, sizeof seconds, curve.point[i].averaging_s, 2);
            text_from_double(deviation, sizeof deviation, curve.point[i].deviation, 3);
            fprintf(stream, "%10s %9s%s\n", seconds, deviation,
                    i == curve.best ? "  smallest" : "");
        }
    }
}

/* The line that a session takes. */
static void plate_line(const struct checked *checked, char *line, size_t size)
{
    size_t used = 0;
    line[0] = '\0';
    text_append(line, size, &used, "plate");
    for (int c = 0; c < checked->placing->channel_count; c++) {
        char mm[32];
        double range_mm = number(checked, CHECK_RANGE, c);
        if (!isnan(range_mm)) {
            text_from_double(mm, sizeof mm, range_mm, 1);
            text_append(line, size, &used, " %s=%s", name_of(checked, c), mm);
        }
    }
}

static void sensor_line(const struct checked *checked, char *line, size_t size)
{
    char gain[32], offset[32];
    int channel = checked->check->channel;
    text_from_double(gain, sizeof gain, number(checked, CHECK_GAIN, channel), 5);
    text_from_double(offset, sizeof offset, number(checked, CHECK_OFFSET, channel), 2);
    snprintf(line, size, "sensor %s gain=%s offset=%s", name_of(checked, channel), gain, offset);
}

static bool has_sensor_line(const struct checked *checked)
{
    return checked->check->kind == CHECK_CALIBRATION && checked->check->verdict == CHECK_PASSED;
}

void rig_check_report_text(FILE *stream, const struct checked *checked)
{
    const struct check_record *check = checked->check;
    const char *name = name_of(checked, check->channel);
    char words[CHECK_WORDS_SIZE], line[512], *rest = NULL;
    text_print(stream, "%s%s%s: %s\n",
               checked->is_plate ? "plate" : word_of(&check_kind_words, check->kind),
               name != NULL ? ", " : "", name != NULL ? name : "",
               word_of(&check_verdict_words, check->verdict));
    text_copy(words, sizeof words, check->words);
    for (char *at = words; at != NULL; at = rest) { /* a sentence a line */
        rest = strstr(at, "; ");
        if (rest != NULL) {
            *rest = '\0';
            rest += 2;
        }
        text_print(stream, "  %s\n", at);
    }
    if (check->kind == CHECK_STILL && !checked->is_plate) {
        print_curves(stream, checked);
    }
    if (checked->is_plate) {
        plate_line(checked, line, sizeof line);
        text_print(stream, "for the session: %s\n", line);
    } else if (has_sensor_line(checked)) {
        sensor_line(checked, line, sizeof line);
        text_print(stream, "for the session: %s\n", line);
    }
}

/* ---- JSON ------------------------------------------------------------------------------------ */

static void json_curves(struct json_writer *json, const struct checked *checked)
{
    json_array_member(json, "averaging");
    for (int c = 0; c < checked->placing->channel_count; c++) {
        struct allan_curve curve;
        if (!curve_of(checked, c, &curve)) {
            continue;
        }
        for (size_t i = 0; i < curve.count; i++) {
            json_object_begin(json);
            json_member_string(json, "channel", name_of(checked, c));
            json_member_number(json, "averaging_s", curve.point[i].averaging_s);
            json_member_number(json, "deviation_mm", curve.point[i].deviation);
            json_object_end(json);
        }
    }
    json_array_end(json);
}

/* Its numbers; the members of an object that is open. */
static void json_check(struct json_writer *json, const struct check_record *check,
                       const struct placing_record *placing)
{
    json_member_string(json, "channel",
                       check->channel >= 0 ? placing->channel[check->channel].name : NULL);
    json_member_string(json, "verdict", word_of(&check_verdict_words, check->verdict));
    json_member_string(json, "words", check->words);
    json_array_member(json, "numbers");
    for (int i = 0; i < check->number_count; i++) {
        const struct check_number *n = &check->number[i];
        json_object_begin(json);
        json_member_string(json, "what", check_quantities[n->quantity].key);
        json_member_string(json, "channel",
                           n->channel >= 0 ? placing->channel[n->channel].name : NULL);
        json_member_integer(json, "phase", n->phase + 1);
        json_member_number(json, "value", n->value);
        json_member_string(json, "unit", check_quantities[n->quantity].unit);
        json_object_end(json);
    }
    json_array_end(json);
}

void rig_check_report_json(FILE *stream, const struct checked *checked)
{
    const struct check_record *check = checked->check;
    struct json_writer json;
    char line[512] = "";
    json_document_begin(&json, stream, true, "holdline-check", 1);
    json_member_string(&json, "check",
                       checked->is_plate ? "plate" : word_of(&check_kind_words, check->kind));
    json_member_string(&json, "rig", checked->rig);
    json_check(&json, check, checked->placing);
    if (check->kind == CHECK_STILL && !checked->is_plate) {
        json_curves(&json, checked);
    }
    if (checked->is_plate) {
        plate_line(checked, line, sizeof line);
    } else if (has_sensor_line(checked)) {
        sensor_line(checked, line, sizeof line);
    }
    json_member_string(&json, "session_line", line[0] != '\0' ? line : NULL);
    json_object_end(&json);
}

/* ---- a row of checks ------------------------------------------------------------------------- */

bool check_row_text(FILE *stream, const struct sensors_checked *checked, struct problem *problem)
{
    struct paper paper;
    paper_begin(&paper, &paper_text, stream, standard_output_width());
    bool done = sensors_document(&paper, checked, problem);
    paper_end(&paper);
    return done;
}

static void json_budget(struct json_writer *json, const struct sensors_checked *checked)
{
    json_array_member(json, "budget");
    for (int c = 0; c < checked->placing->channel_count; c++) {
        struct check_budget budget;
        if (!check_budget(checked->check, checked->count, c, &budget)) {
            continue;
        }
        json_object_begin(json);
        json_member_string(json, "channel", checked->placing->channel[c].name);
        json_member_number(json, "difference_mm", BUDGET_MM);
        json_member_number(json, "noise_u_mm", budget.mean_u_mm);
        json_member_number(json, "step_u_mm", budget.step_u_mm);
        json_member_number(json, "scale_error", budget.scale_error);
        json_member_number(json, "scale_error_u", budget.scale_u);
        json_member_number(json, "scale_u_mm", budget.scale_u_mm);
        json_member_number(json, "u_mm", budget.u_mm);
        json_object_end(json);
    }
    json_array_end(json);
}

bool check_row_json(FILE *stream, const struct sensors_checked *checked, struct problem *problem)
{
    struct json_writer json;
    bool passed = true;
    (void)problem;
    for (int i = 0; i < checked->count; i++) {
        passed = passed && checked->check[i].verdict == CHECK_PASSED;
    }
    json_document_begin(&json, stream, true, "holdline-checks", 1);
    json_member_string(&json, "rig", checked->rig);
    json_member_boolean(&json, "passed", passed);
    json_array_member(&json, "checks");
    for (int i = 0; i < checked->count; i++) {
        json_object_begin(&json);
        json_member_string(&json, "check", word_of(&check_kind_words, checked->check[i].kind));
        json_check(&json, &checked->check[i], checked->placing);
        json_object_end(&json);
    }
    json_array_end(&json);
    json_budget(&json, checked);
    json_object_end(&json);
    return true;
}

static bool write_document(struct paper *paper, const void *what, struct problem *problem)
{
    return sensors_document(paper, what, problem);
}

struct row_kind {
    const char *ending;
    bool (*write)(FILE *stream, const struct sensors_checked *checked, struct problem *problem);
};

struct row_job {
    const struct row_kind *kind;
    const struct sensors_checked *checked;
};

static bool write_file(FILE *stream, void *context, struct problem *problem)
{
    const struct row_job *job = context;
    return job->kind->write(stream, job->checked, problem);
}

static struct paper_file document_of(const struct sensors_checked *checked, char title[SAY_SIZE])
{
    sensors_title(checked, title, SAY_SIZE);
    return (struct paper_file){title, checked->checked_ms, PAGE_A4, write_document, checked};
}

static bool as_pages(FILE *stream, const struct sensors_checked *checked, struct problem *problem)
{
    char title[SAY_SIZE];
    const struct paper_file file = document_of(checked, title);
    return paper_file_pdf(stream, &file, problem);
}

static bool as_html(FILE *stream, const struct sensors_checked *checked, struct problem *problem)
{
    char title[SAY_SIZE];
    const struct paper_file file = document_of(checked, title);
    return paper_file_html(stream, &file, problem);
}

static const struct row_kind *kind_of(const char *path, struct problem *problem)
{
    static const struct row_kind kinds[] = {{".pdf", as_pages},
                                            {".html", as_html},
                                            {".json", check_row_json},
                                            {".txt", check_row_text}};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (text_is_named(path, kinds[i].ending)) {
            return &kinds[i];
        }
    }
    problem_usage(problem, "%s: the report of checks ends in .pdf, .html, .json or .txt", path);
    return NULL;
}

bool check_row_file_may_be(const struct report_file *file, struct problem *problem)
{
    if (kind_of(file->path, problem) == NULL) {
        return false;
    }
    return file->replace || access(file->path, F_OK) != 0 ||
           problem_set(problem, "%s is there already: another name, or --replace", file->path);
}

bool check_row_file(const struct sensors_checked *checked, const struct report_file *file,
                    struct problem *problem)
{
    struct row_job job = {kind_of(file->path, problem), checked};
    return job.kind != NULL && report_write_file(file, write_file, &job, problem);
}
