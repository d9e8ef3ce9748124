/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/bare_numbers.h"

#include "base/text.h"
#include "measure/statistics.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define LINE_SIZE 256

static bool keep(struct bare_numbers *list, double value)
{
    if (list->count == list->capacity) {
        size_t capacity = list->capacity == 0 ? 1024 : 2 * list->capacity;
        double *values = realloc(list->value, capacity * sizeof *values);
        if (values == NULL) {
            return false;
        }
        list->value = values;
        list->capacity = capacity;
    }
    list->value[list->count++] = value;
    return true;
}

/* The line without blanks at its ends; NULL when there is nothing to read in it. */
static char *trimmed(char *line)
{
    char *begin = line + strspn(line, " \t");
    size_t length = strcspn(begin, "\r\n");
    while (length > 0 && (begin[length - 1] == ' ' || begin[length - 1] == '\t')) {
        length--;
    }
    begin[length] = '\0';
    return length == 0 || begin[0] == '#' ? NULL : begin;
}

static bool read_lines(FILE *stream, struct bare_numbers *list, struct problem *problem)
{
    char line[LINE_SIZE];
    while (fgets(line, sizeof line, stream) != NULL) {
        double value;
        char *text = trimmed(line);
        if (text == NULL) {
            continue;
        }
        if (!text_to_double(text, &value)) {
            return false;
        }
        if (!keep(list, value)) {
            return problem_set(problem, "no memory for the numbers");
        }
    }
    return list->count > 0 && !ferror(stream);
}

/* Standard input as a file that can be read twice. */
static FILE *seekable_input(void)
{
    FILE *copy = tmpfile();
    char block[65536];
    ssize_t got = 0;
    while (copy != NULL && (got = read(STDIN_FILENO, block, sizeof block)) != 0) {
        if (got > 0 && fwrite(block, 1, (size_t)got, copy) == (size_t)got) {
            continue;
        }
        if (got < 0 && errno == EINTR) {
            continue;
        }
        fclose(copy);
        return NULL;
    }
    if (copy != NULL) {
        rewind(copy);
    }
    return copy;
}

/* What reads standard input next begins at its beginning. */
static bool put_back(FILE *copy)
{
    return fflush(copy) == 0 && lseek(fileno(copy), 0, SEEK_SET) == 0 &&
           dup2(fileno(copy), STDIN_FILENO) >= 0;
}

bool bare_numbers_read(const char *file, struct bare_numbers *list, struct problem *problem)
{
    bool standard_input = text_equal(file, "-");
    FILE *stream = standard_input ? seekable_input() : fopen(file, "r");
    memset(list, 0, sizeof *list);
    if (stream == NULL) {
        return standard_input &&
               problem_set(problem, "standard input could not be read to its end");
    }
    bool numbers = read_lines(stream, list, problem);
    if (!numbers && standard_input && !put_back(stream)) {
        problem_set(problem, "standard input could not be read a second time");
    }
    fclose(stream);
    return numbers;
}

void bare_numbers_free(struct bare_numbers *list)
{
    free(list->value);
}

/* What statistics alone give. */
static void few(const struct bare_numbers *list, struct hold_summary *summary)
{
    double *copy = malloc(list->count * sizeof *copy);
    double mean = 0.0, sd = 0.0;
    if (copy == NULL || statistics_mean_sd(list->value, list->count, &mean, &sd) != MEASURE_OK) {
        free(copy);
        return;
    }
    summary->status = MEASURE_OK;
    summary->readings = summary->valid = list->count;
    summary->valid_share = 1.0;
    summary->mean_mm = mean;
    summary->sd_mm = sd;
    summary->steadiness_mm = NAN;
    summary->minimum_mm = summary->maximum_mm = list->value[0];
    for (size_t i = 1; i < list->count; i++) {
        summary->minimum_mm = fmin(summary->minimum_mm, list->value[i]);
        summary->maximum_mm = fmax(summary->maximum_mm, list->value[i]);
    }
    memcpy(copy, list->value, list->count * sizeof *copy);
    statistics_quantile(copy, list->count, 0.50, &summary->quantile_50_mm);
    statistics_quantile(copy, list->count, 0.05, &summary->quantile_05_mm);
    statistics_quantile(copy, list->count, 0.95, &summary->quantile_95_mm);
    free(copy);
}

void bare_numbers_summarise(const struct bare_numbers *list, double rate_hz,
                            struct hold_summary *summary)
{
    static const struct hold_settings raw = {.raw = true};
    double *time_s = malloc(list->count * sizeof *time_s);
    uint8_t *valid = malloc(list->count);
    memset(summary, 0, sizeof *summary);
    summary->status = MEASURE_NO_MEMORY;
    if (time_s != NULL && valid != NULL) {
        for (size_t i = 0; i < list->count; i++) {
            time_s[i] = (double)i / rate_hz;
            valid[i] = 1;
        }
        struct hold_input input = {.time_s = time_s,
                                   .height_mm = list->value,
                                   .valid = valid,
                                   .count = list->count,
                                   .duration_s = time_s[list->count - 1],
                                   .rate_hz = rate_hz};
        if (hold_summarise(&input, &raw, summary) == MEASURE_TOO_FEW) {
            few(list, summary);
        }
    }
    free(time_s);
    free(valid);
}
