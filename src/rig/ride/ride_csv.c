/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "ride_csv.h"

#include "base/clock.h"
#include "ride_heading.h"
#include "ride_intake.h"
#include "rig/decimal.h"
#include "rig/ride_file.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PRESSURE_IN_HPA_MOST 2000.0 /* no pressure of air is as low in Pa, nor as high in hPa */

struct ride_csv {
    struct ride_intake intake;
    struct ride_heading heading;
    bool has_heading;
    bool time_is_date; /* the first time was one */
    uint64_t line;     /* the number of the line at hand */
    uint64_t rows;
    int64_t first_us;
    size_t used; /* of pending */
    bool quoted; /* pending ends within quotation marks */
    char pending[RIDE_PIECE_MOST];
    uint64_t passed[RIDE_PASSED_REASONS];
};

struct ride_csv *ride_csv_create(void)
{
    return calloc(1, sizeof(struct ride_csv));
}

void ride_csv_free(struct ride_csv *csv)
{
    if (csv != NULL) {
        ride_free(csv->intake.ride);
        free(csv);
    }
}

static double number_of(const struct decimal *number)
{
    static const double tens[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8, 1e9,
                                  1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18};
    double value = number->is_huge ? INFINITY : (double)number->mantissa / tens[number->decimals];
    return number->negative ? -value : value;
}

/* The whole cell as a number; NAN: it is none. */
static double cell_number(const struct ride_csv *csv, struct span cell)
{
    struct decimal number;
    const char *end = cell.text + cell.length;
    const char *stop = decimal_read(cell.text, end, csv->heading.comma_too, &number);
    return stop == end ? number_of(&number) : NAN;
}

/* A date and time of ISO 8601, or a time of the day alone. */
static bool cell_date(struct span cell, int64_t *time_us, bool *has_date, bool *has_zone)
{
    char text[64];
    *has_date = cell.length > 10 && cell.text[4] == '-';
    *has_zone = clock_parse_us(cell.text, cell.length, time_us);
    if (*has_zone || cell.length + 12 > sizeof text) {
        return *has_zone;
    }
    int length = snprintf(text, sizeof text, "%s%.*sZ", *has_date ? "" : "1970-01-01T",
                          (int)cell.length, cell.text);
    return clock_parse_us(text, (size_t)length, time_us);
}

static double read_time(struct ride_csv *csv, struct span cell)
{
    struct ride *ride = csv->intake.ride;
    int64_t time_us = 0;
    bool has_date = false, has_zone = false;
    double number = csv->time_is_date ? NAN : cell_number(csv, cell);
    if (!isnan(number) || (csv->intake.offered > 0 && !csv->time_is_date)) {
        return isfinite(number) ? number : NAN;
    }
    if (!cell_date(cell, &time_us, &has_date, &has_zone)) {
        return NAN;
    }
    if (csv->intake.offered == 0) {
        csv->time_is_date = true;
        csv->first_us = time_us;
        ride->has_start = has_date;
        ride->start_unix_us = has_date ? time_us : 0;
        ride->zone_assumed = has_date && !has_zone;
    }
    return (double)(time_us - csv->first_us) * 1e-6;
}

static double read_value(struct ride_csv *csv, const struct ride_column *column, struct span cell)
{
    double number = cell.length > 0 ? cell_number(csv, cell) : NAN;
    if (cell.length > 0 && isnan(number)) {
        csv->passed[RIDE_PASSED_NO_NUMBER]++;
    }
    if (column->unit_is_free && number < PRESSURE_IN_HPA_MOST) {
        return number * 100.0;
    }
    return number * column->factor;
}

static bool read_row(struct ride_csv *csv, struct span line, struct problem *problem)
{
    char scratch[64];
    double value[RIDE_CHANNELS];
    struct span rest = line;
    struct span cell;
    int columns = 0;
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        value[i] = NAN;
    }
    csv->rows++;
    for (; ride_cell_next(&rest, csv->heading.delimiter, scratch, sizeof scratch, &cell);
         columns++) {
        if (columns == csv->heading.columns) {
            csv->passed[RIDE_PASSED_OTHER_CELLS]++;
            return true;
        }
        const struct ride_column *column = &csv->heading.column[columns];
        if (column->channel == RIDE_TIME) {
            value[RIDE_TIME] = read_time(csv, cell);
        } else if (column->channel > 0) {
            value[column->channel] = read_value(csv, column, cell);
        }
    }
    if (columns != csv->heading.columns) {
        csv->passed[RIDE_PASSED_OTHER_CELLS]++;
        return true;
    }
    if (isnan(value[RIDE_TIME])) {
        csv->passed[RIDE_PASSED_NO_TIME]++;
        return true;
    }
    return ride_intake_add(&csv->intake, value, csv->line, problem);
}

static bool read_heading(struct ride_csv *csv, struct span line, struct problem *problem)
{
    if (!ride_heading_read(&csv->heading, line, problem)) {
        return problem_prefix(problem, "line %" PRIu64, csv->line);
    }
    csv->intake.ride = ride_create(csv->heading.has);
    if (csv->intake.ride == NULL) {
        return problem_set(problem, "no memory for a ride");
    }
    memcpy(csv->intake.label, csv->heading.label, sizeof csv->intake.label);
    csv->has_heading = true;
    return true;
}

static bool read_line(struct ride_csv *csv, const char *text, size_t length,
                      struct problem *problem)
{
    struct span line = {text, length};
    csv->line++;
    if (csv->line == 1 && length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0) {
        line = span_between(text + 3, text + length);
    }
    if (line.length > 0 && line.text[line.length - 1] == '\r') {
        line.length--;
    }
    bool is_blank = true;
    bool is_text = true;
    for (size_t i = 0; i < line.length; i++) {
        unsigned char byte = (unsigned char)line.text[i];
        is_blank = is_blank && (byte == ' ' || byte == '\t');
        is_text = is_text && (byte >= ' ' || byte == '\t' || byte == '\n' || byte == '\r');
    }
    if (!is_text) {
        return problem_set(problem,
                           "line %" PRIu64 ": bytes that are no text: a ride is read from CSV or "
                           "GPX; save it as one of them, in UTF-8",
                           csv->line);
    }
    if (is_blank || line.text[0] == '#') {
        csv->passed[RIDE_PASSED_COMMENT] += is_blank ? 0 : 1;
        return true;
    }
    return csv->has_heading ? read_row(csv, line, problem) : read_heading(csv, line, problem);
}

static bool is_odd_of_quotes(const char *text, size_t length)
{
    bool odd = false;
    const char *end = text + length;
    for (const char *at = memchr(text, '"', length); at != NULL;
         at = memchr(at + 1, '"', (size_t)(end - at - 1))) {
        odd = !odd;
    }
    return odd;
}

bool ride_csv_feed(struct ride_csv *csv, const char *bytes, size_t length, struct problem *problem)
{
    const char *end = bytes + length;
    for (const char *at = bytes; at < end;) {
        const char *stop = memchr(at, '\n', (size_t)(end - at));
        size_t piece = (size_t)((stop != NULL ? stop : end) - at);
        bool quoted = csv->quoted != is_odd_of_quotes(at, piece);
        bool is_whole = stop != NULL && !quoted;
        if (is_whole && csv->used == 0) {
            if (!read_line(csv, at, piece, problem)) {
                return false;
            }
        } else {
            size_t taken = piece + (stop != NULL && quoted ? 1 : 0);
            if (csv->used + taken > sizeof csv->pending) {
                return problem_set(problem, "line %" PRIu64 ": longer than %d bytes: %s",
                                   csv->line + 1, RIDE_PIECE_MOST,
                                   quoted ? "a quotation mark is not closed" : "this is no table");
            }
            memcpy(csv->pending + csv->used, at, taken);
            csv->used += taken;
            csv->quoted = quoted;
            if (is_whole) {
                if (!read_line(csv, csv->pending, csv->used, problem)) {
                    return false;
                }
                for (size_t i = 0; i < csv->used; i++) { /* a cell of several lines */
                    csv->line += csv->pending[i] == '\n' ? 1 : 0;
                }
                csv->used = 0;
            }
        }
        at = stop != NULL ? stop + 1 : end;
    }
    return true;
}

struct ride *ride_csv_finish(struct ride_csv *csv, struct problem *problem)
{
    if (csv->used > 0 && csv->quoted) {
        problem_set(problem, "line %" PRIu64 ": a quotation mark is not closed", csv->line + 1);
        return NULL;
    }
    if (csv->used > 0 && !read_line(csv, csv->pending, csv->used, problem)) {
        return NULL;
    }
    csv->used = 0;
    if (!csv->has_heading) {
        problem_set(problem, "there is nothing in it");
        return NULL;
    }
    struct ride *ride = csv->intake.ride;
    for (int i = 0; i < RIDE_PASSED_REASONS; i++) {
        ride->passed[i] += csv->passed[i];
    }
    uint64_t no_rows = csv->passed[RIDE_PASSED_OTHER_CELLS] + csv->passed[RIDE_PASSED_NO_TIME];
    if (no_rows > 0 && no_rows * 2 >= csv->rows) {
        problem_set(problem,
                    "%" PRIu64 " of %" PRIu64 " lines have no time or other cells than the "
                    "heading: this is no ride",
                    no_rows, csv->rows);
        return NULL;
    }
    if (!ride_intake_finish(&csv->intake, problem)) {
        return NULL;
    }
    csv->intake.ride = NULL;
    return ride;
}
