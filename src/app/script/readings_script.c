/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/readings_script.h"

#include "base/angle.h"
#include "base/text.h"
#include "base/words.h"
#include "measure/rules.h"
#include "readings_inside.h"
#include "record/enum_words.h"
#include "record/typed.h"

#include <errno.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

/* ---- the file -------------------------------------------------------------------------------- */

static struct span line_of(const char *text, ssize_t length)
{
    while (length > 0 && (text[length - 1] == '\n' || text[length - 1] == '\r')) {
        length--;
    }
    return (struct span){text, length > 0 ? (size_t)length : 0};
}

bool readings_script_is(const char *path)
{
    char *text = NULL;
    size_t size = 0;
    struct stat status;
    FILE *file = stat(path, &status) == 0 && S_ISREG(status.st_mode) ? fopen(path, "rb") : NULL;
    bool is = file != NULL;
    if (is) {
        ssize_t length = getline(&text, &size, file);
        is = length > 0 && readings_is_heading(line_of(text, length));
    }
    free(text);
    if (file != NULL) {
        fclose(file);
    }
    return is;
}

static int find_build(struct readings_file *file, const struct readings_row *row)
{
    for (int b = file->builds - 1; b >= 0; b--) {
        if (file->build[b].setup == row->setup && file->build[b].ordinal == row->build) {
            return b;
        }
    }
    if (file->builds == BUILDS_MAX) {
        return -1;
    }
    file->build[file->builds].setup = row->setup;
    file->build[file->builds].ordinal = row->build;
    return file->builds++;
}

static bool begin_capture(struct readings_file *file, const struct readings_row *row,
                          struct problem *problem)
{
    const struct readings_capture *before =
        file->captures > 0 ? &file->capture[file->captures - 1] : NULL;
    int kind = word_find(&capture_words, row->kind, -1);
    if (file->captures == CAPTURES_MAX) {
        return problem_set(problem, "more than %d captures", CAPTURES_MAX);
    }
    if (row->capture != file->captures + 1) {
        return problem_set(problem, "capture %" PRId64 " stands where %d should", row->capture,
                           file->captures + 1);
    }
    if (kind != CAPTURE_HOLD && kind != CAPTURE_TARGET && kind != CAPTURE_PLATE) {
        return problem_set(problem,
                           "'%s' is no capture that can be taken back: hold, target and plate can",
                           row->kind);
    }
    if (before != NULL && row->sample <= before->last_sample) {
        return problem_set(problem,
                           "capture %" PRId64
                           " begins before the one before it has ended ('keep'): "
                           "that can't be taken back",
                           row->capture);
    }
    if (row->setup < 1 || row->build < 1) {
        return problem_set(problem, "capture %" PRId64 " has no setup", row->capture);
    }
    int build = find_build(file, row);
    if (build < 0) {
        return problem_set(problem, "more than %d builds", BUILDS_MAX);
    }
    struct readings_capture *capture = &file->capture[file->captures++];
    *capture = (struct readings_capture){
        .first_sample = row->sample, .first_us = row->time_us, .build = build};
    text_copy(capture->kind, sizeof capture->kind, row->kind);
    return true;
}

static int find_channel(struct readings_file *file, const struct readings_row *row)
{
    for (int c = 0; c < file->channels; c++) {
        if (text_equal(file->channel[c], row->channel)) {
            return c;
        }
    }
    const struct readings_capture *capture = &file->capture[0];
    if (file->channels == CHANNELS_MAX || file->captures != 1 ||
        row->sample != capture->first_sample) {
        return -1;
    }
    text_copy(file->channel[file->channels], CHANNEL_NAME_SIZE, row->channel);
    return file->channels++;
}

static bool take_row(struct readings_file *file, const struct readings_row *row,
                     struct problem *problem)
{
    if ((file->captures == 0 || row->capture != file->captures) &&
        !begin_capture(file, row, problem)) {
        return false;
    }
    struct readings_capture *capture = &file->capture[file->captures - 1];
    int channel = find_channel(file, row);
    if (channel < 0) {
        return problem_set(problem,
                           "channel '%s' is not among those that the file begins with: readings "
                           "of one rig only can be taken back",
                           row->channel);
    }
    if (row->sample < capture->last_sample || row->time_us < capture->last_us) {
        return problem_set(problem, "sample %" PRId64 " stands behind a later one", row->sample);
    }
    capture->last_sample = row->sample;
    capture->last_us = row->time_us;
    file->is_other[channel] = file->is_other[channel] || !row->is_range;
    return !row->has_height || !row->has_value || !row->is_range ||
           height_pairs_add(&file->build[capture->build].pairs[channel], row->value_tenth,
                            row->height_hundredth_mm) ||
           problem_set(problem, "no memory for the heights");
}

static bool read_file(const char *path, struct readings_file *file, struct problem *problem)
{
    FILE *stream = fopen(path, "rb");
    char *text = NULL;
    size_t size = 0;
    ssize_t length;
    bool done = stream != NULL || problem_set(problem, "%s", strerror(errno));
    for (int64_t number = 1; done && (length = getline(&text, &size, stream)) >= 0; number++) {
        struct readings_row row;
        enum reject_reason reason = REJECT_FIELD_COUNT;
        struct span line = line_of(text, length);
        if (number == 1 || line.length == 0) {
            continue;
        }
        done = readings_row_read(line, &row, &reason)
                   ? take_row(file, &row, problem)
                   : problem_set(problem, "%s", reject_reason_text(reason));
        if (!done) {
            problem_prefix(problem, "line %" PRId64, number);
        }
    }
    done = done && (!ferror(stream) || problem_set(problem, "%s", strerror(errno))) &&
           (file->captures > 0 || problem_set(problem, "no readings in it"));
    free(text);
    if (stream != NULL) {
        fclose(stream);
    }
    return done;
}

/* ---- heights --------------------------------------------------------------------------------- */

struct lines {
    const struct readings_file *file;
    readings_line *line;
    void *context;
    struct problem *problem;
};

static bool emit(const struct lines *lines, const char *text)
{
    return lines->line(lines->context, text, lines->problem);
}

/* Is the range itself the height, as where nobody said where the sensor is? */
static bool is_range_itself(const struct readings_file *file, const struct height_line *line)
{
    bool same = line->direction == 1 && line->gain == 1.0 && line->tilt_deg == 0.0;
    for (int b = 0; b < file->builds; b++) {
        same = same && (!line->has_level[b] || line->level_mm[b] == 0.0);
    }
    return same;
}

#define PLATE_BESIDE_MM 500.0

/* A plate that is so far above (or below) the sensor on every build gives its height. */
static bool plate_of(const struct readings_file *file, const struct height_line *line,
                     double *plate_mm)
{
    double most = -(double)INFINITY, least = (double)INFINITY;
    for (int b = 0; b < file->builds; b++) {
        if (line->has_level[b]) {
            most = fmax(most, line->level_mm[b]);
            least = fmin(least, line->level_mm[b]);
        }
    }
    *plate_mm = line->direction > 0 ? ceil(most) + PLATE_BESIDE_MM : floor(least) - PLATE_BESIDE_MM;
    const struct typed_number *height = &typed_numbers[TYPED_PLATE_HEIGHT],
                              *range = &typed_numbers[TYPED_RANGE],
                              *tilt = &typed_numbers[TYPED_MOUNT_TILT],
                              *gain = &typed_numbers[TYPED_GAIN];
    return *plate_mm >= height->least && *plate_mm <= height->most &&
           (most - least + PLATE_BESIDE_MM + 1.0) / cos(line->tilt_deg * RADIANS_PER_DEGREE) <
               range->most &&
           line->tilt_deg <= tilt->most && line->gain <= gain->most;
}

static bool plates(const struct lines *lines, int channel, const struct height_line *line,
                   double plate_mm)
{
    const struct readings_file *file = lines->file;
    char text[256], height[40], range[40];
    double along = line->direction * cos(line->tilt_deg * RADIANS_PER_DEGREE);
    text_from_double_shortest(height, sizeof height, plate_mm);
    for (int b = 0; b < file->builds; b++) {
        if (line->has_level[b]) {
            text_from_double_shortest(range, sizeof range, (plate_mm - line->level_mm[b]) / along);
            snprintf(text, sizeof text, "plate %s=%s height=%s setup=%" PRId64 " build=%" PRId64,
                     file->channel[channel], range, height, file->build[b].setup,
                     file->build[b].ordinal);
            if (!emit(lines, text)) {
                return false;
            }
        }
    }
    return true;
}

static bool mount(const struct lines *lines, int channel, const struct height_line *line)
{
    char text[256], tilt[40], gain[40];
    text_from_double_shortest(tilt, sizeof tilt, line->tilt_deg);
    text_from_double_shortest(gain, sizeof gain, line->gain);
    snprintf(text, sizeof text, "sensor %s carrier=base_bar look=%s tilt=%s gain=%s",
             lines->file->channel[channel], line->direction > 0 ? "up" : "down", tilt, gain);
    return emit(lines, text);
}

struct heights {
    bool taken[CHANNELS_MAX];
    struct height_line line[CHANNELS_MAX];
    double plate_mm[CHANNELS_MAX];
};

static void find_heights(const struct readings_file *file, struct heights *heights,
                         struct readings_found *found)
{
    size_t used = 0;
    for (int c = 0; c < file->channels; c++) {
        struct height_line *line = &heights->line[c];
        bool any = false;
        for (int b = 0; b < file->builds; b++) {
            any = any || file->build[b].pairs[c].count > 0;
        }
        if (!any) {
            continue;
        }
        bool found_line = height_line_find(file, c, line);
        if (found_line && is_range_itself(file, line)) {
            continue;
        }
        heights->taken[c] =
            found_line && line->has_level[0] && plate_of(file, line, &heights->plate_mm[c]);
        found->heights += heights->taken[c] ? 1 : 0;
        if (!heights->taken[c]) {
            text_append(found->unlike, sizeof found->unlike, &used, "%s%s", used > 0 ? ", " : "",
                        file->channel[c]);
        }
    }
}

/* ---- the script ------------------------------------------------------------------------------ */

/* To a capture's setup and build from the ones before it; made[]: builds of each so far. */
static bool to_build(const struct lines *lines, int before, int build, int64_t *made)
{
    const struct readings_build *to = &lines->file->build[build];
    char text[64];
    if (before == build) {
        return true;
    }
    bool same_setup = before >= 0 && lines->file->build[before].setup == to->setup;
    for (int b = 0; b < lines->file->builds; b++) {
        const struct readings_build *other = &lines->file->build[b];
        *made = b < build && other->setup == to->setup && other->ordinal > *made ? other->ordinal
                                                                                 : *made;
    }
    if (to->ordinal <= *made) {
        return problem_set(lines->problem,
                           "build %" PRId64 " of setup %" PRId64 " stands behind a later one",
                           to->ordinal, to->setup);
    }
    if (!same_setup) {
        snprintf(text, sizeof text, "setup %" PRId64, to->setup);
        if (!emit(lines, text)) {
            return false;
        }
    }
    int64_t builds = to->ordinal - *made - (same_setup ? 0 : 1);
    for (int64_t i = 0; i < builds; i++) {
        if (i == BUILDS_MAX) {
            return problem_set(lines->problem, "more than %d builds", BUILDS_MAX);
        }
        if (!emit(lines, "build")) {
            return false;
        }
    }
    return true;
}

static bool capture_line(const struct lines *lines, const struct readings_capture *capture)
{
    char text[256], length[40];
    double seconds = (double)(capture->last_us - capture->first_us) / 1e6;
    text_from_double_shortest(length, sizeof length, seconds);
    bool is_hold = text_equal(capture->kind, word_of(&capture_words, CAPTURE_HOLD));
    bool is_target = text_equal(capture->kind, word_of(&capture_words, CAPTURE_TARGET));
    const struct typed_number *whole = &typed_numbers[is_target ? TYPED_AT_LEAST : TYPED_PLATE_S];
    bool as_it_was = is_hold ? seconds >= HOLD_LEAST_S && seconds <= HOLD_MOST_S
                             : seconds >= whole->least && seconds <= whole->most;
    const char *stop = as_it_was ? "" : " stop_after=";
    const char *after = as_it_was ? "" : length;
    if (is_target) {
        snprintf(text, sizeof text, "target%s%s%s%s settle=0s%s%s", as_it_was ? " at_least=" : "",
                 as_it_was ? length : "", as_it_was ? " at_most=" : "", as_it_was ? length : "",
                 stop, after);
    } else if (is_hold) {
        snprintf(text, sizeof text, "hold %ss free settle=0s%s%s", as_it_was ? length : "60", stop,
                 after);
    } else {
        snprintf(text, sizeof text, "plate %ss%s%s", as_it_was ? length : "60", stop, after);
    }
    return emit(lines, text);
}

static bool captures(const struct lines *lines)
{
    const struct readings_file *file = lines->file;
    int build = -1, latest = -1;
    for (int i = 0; i < file->captures; i++) {
        const struct readings_capture *capture = &file->capture[i];
        char text[64];
        int64_t made = 0;
        if (capture->build < latest && capture->build != build) {
            return problem_set(lines->problem, "capture %d goes back to a build that was over",
                               i + 1);
        }
        if (!to_build(lines, build, capture->build, &made)) {
            return false;
        }
        build = capture->build;
        latest = build > latest ? build : latest;
        int64_t before = i > 0 ? file->capture[i - 1].last_sample : 0;
        snprintf(text, sizeof text, "wait sample=%" PRId64, capture->first_sample - 1);
        if ((capture->first_sample > before + 1 && !emit(lines, text)) ||
            !capture_line(lines, capture)) {
            return false;
        }
    }
    return true;
}

static bool write_lines(const struct lines *lines, const struct heights *heights)
{
    const struct readings_file *file = lines->file;
    char text[96];
    bool done = true;
    for (int c = 0; done && c < file->channels; c++) {
        if (file->is_other[c]) {
            snprintf(text, sizeof text, "sensor %s role=aux", file->channel[c]);
            done = emit(lines, text);
        } else if (heights->taken[c]) {
            done = mount(lines, c, &heights->line[c]);
        }
    }
    done = done && captures(lines);
    for (int c = 0; done && c < file->channels; c++) {
        done = !heights->taken[c] || plates(lines, c, &heights->line[c], heights->plate_mm[c]);
    }
    return done;
}

bool readings_script_lines(const char *path, bool with_heights, readings_line *line, void *context,
                           struct readings_found *found, struct problem *problem)
{
    struct readings_file *file = calloc(1, sizeof *file);
    struct heights *heights = calloc(1, sizeof *heights);
    struct lines lines = {file, line, context, problem};
    *found = (struct readings_found){0};
    bool room = file != NULL && heights != NULL, done = room && read_file(path, file, problem);
    if (!room) {
        problem_set(problem, "no memory");
    }
    if (done) {
        const struct readings_capture *last = &file->capture[file->captures - 1];
        found->captures = file->captures;
        found->builds = file->builds;
        found->channels = file->channels;
        found->last_sample = last->last_sample;
        for (int i = 0; i < file->captures; i++) {
            found->holds +=
                text_equal(file->capture[i].kind, word_of(&capture_words, CAPTURE_HOLD));
        }
        if (with_heights) {
            find_heights(file, heights, found);
        }
        done = write_lines(&lines, heights);
    }
    for (int b = 0; file != NULL && b < file->builds; b++) {
        for (int c = 0; c < CHANNELS_MAX; c++) {
            free(file->build[b].pairs[c].pair);
        }
    }
    free(heights);
    free(file);
    return done || problem_prefix(problem, "%s", path);
}
