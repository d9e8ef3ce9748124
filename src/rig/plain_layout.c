/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/plain_layout.h"

#include "base/text.h"
#include "rig/plain_columns.h"
#include "rig/plain_words.h"

#include <string.h>

/* Lines of one shape in a row that are enough to go by. A lone number a line is unmistakable; text
 * around numbers may still be what a board says while it starts; several numbers without a heading
 * are watched for a column that counts time. */
#define LINES_OF_A_NUMBER 2
#define LINES_UNDER_A_HEADING 3
#define LINES_WITH_TEXT 4
#define LINES_UNNAMED 8

enum line_kind {
    LINE_FOREIGN, /* another dialect's, or noise */
    LINE_COMMENT,
    LINE_TEXT,
    LINE_DATA,
};

struct looked_at {
    enum line_kind kind;
    bool only_a_number;
    bool has_labels; /* words before numbers: it needs no heading, and has none */
    struct plain_shape shape;
};

static struct span held_line(const struct held_lines *held, int index)
{
    struct span line = {held->bytes + held->line[index].start, held->line[index].length};
    return line;
}

static bool begins_with(struct span line, const char *start)
{
    size_t length = strlen(start);
    return line.length >= length && memcmp(line.text, start, length) == 0;
}

static void look(struct span line, struct looked_at *seen)
{
    char scratch[DECODER_LINE_MAX];
    seen->shape.delimiter = ' ';
    seen->shape.columns = 0;
    seen->only_a_number = false;
    seen->has_labels = false;
    seen->kind = LINE_FOREIGN;
    if (!plain_prepare(&line, scratch, sizeof scratch) || begins_with(line, "$") ||
        begins_with(line, "!") || begins_with(line, "[{")) {
        return;
    }
    seen->kind = LINE_COMMENT;
    if (line.length == 0 || plain_is_comment(line)) {
        return;
    }
    struct token whole;
    seen->shape = plain_shape_of(line);
    seen->kind = seen->shape.columns > 0 ? LINE_DATA : LINE_TEXT;
    plain_read_field(line, false, &whole);
    seen->only_a_number = whole.kind == TOKEN_NUMBER;
    seen->has_labels = plain_has_labels(line, seen->shape);
}

static bool same_shape(struct plain_shape a, struct plain_shape b)
{
    return a.delimiter == b.delimiter && a.columns == b.columns;
}

/* Columns of a line of words under a shape: is it the heading of such lines? */
static bool is_heading_of(struct span line, struct plain_shape shape)
{
    char scratch[DECODER_LINE_MAX];
    if (!plain_prepare(&line, scratch, sizeof scratch)) {
        return false;
    }
    return plain_heading_columns(line, shape) == shape.columns;
}

struct choice {
    struct plain_shape shape;
    int first;   /* first held line of this shape that counts */
    int count;   /* how many there are from it on */
    int heading; /* held line, or -1 */
};

/* The heading is the last line of words before the first line of numbers; a comment may be one. */
static int heading_before(const struct held_lines *held, const struct looked_at *seen, int first,
                          struct plain_shape shape)
{
    if (seen[first].has_labels) {
        return -1;
    }
    for (int i = first - 1; i >= 0; i--) {
        if (seen[i].kind == LINE_DATA && same_shape(seen[i].shape, shape)) {
            continue;
        }
        bool words = seen[i].kind == LINE_TEXT || seen[i].kind == LINE_COMMENT;
        if (words && is_heading_of(held_line(held, i), shape)) {
            return i;
        }
        if (seen[i].kind == LINE_TEXT || seen[i].kind == LINE_DATA) {
            break;
        }
    }
    return -1;
}

/* The lines of one shape at the end of those held. */
static bool last_run(const struct held_lines *held, const struct looked_at *seen,
                     struct choice *choice)
{
    choice->count = 0;
    for (int i = held->count - 1; i >= 0; i--) {
        if (seen[i].kind != LINE_DATA) {
            if (seen[i].kind == LINE_TEXT && choice->count > 0) {
                break;
            }
            continue;
        }
        if (choice->count == 0) {
            choice->shape = seen[i].shape;
        } else if (!same_shape(seen[i].shape, choice->shape)) {
            break;
        }
        choice->first = i;
        choice->count++;
    }
    if (choice->count > 0) {
        choice->heading = heading_before(held, seen, choice->first, choice->shape);
    }
    return choice->count > 0;
}

static bool run_is_enough(const struct choice *choice, const struct looked_at *seen,
                          const struct decoder_options *options)
{
    if (choice->shape.columns == 1) {
        return choice->count >=
               (seen[choice->first].only_a_number ? LINES_OF_A_NUMBER : LINES_WITH_TEXT);
    }
    bool described =
        choice->heading >= 0 || (options->columns[0] != '\0' && options->time_column[0] != '\0');
    return choice->count >= (described ? LINES_UNDER_A_HEADING : LINES_UNNAMED);
}

/* The shape that most lines have; of two alike the later. */
static bool most_frequent(const struct held_lines *held, const struct looked_at *seen,
                          struct choice *choice)
{
    choice->count = 0;
    for (int i = 0; i < held->count; i++) {
        int count = 0;
        int first = i;
        for (int j = i; j >= 0 && seen[i].kind == LINE_DATA; j--) {
            if (seen[j].kind == LINE_DATA && same_shape(seen[i].shape, seen[j].shape)) {
                count++;
                first = j;
            }
        }
        if (count > 0 && count >= choice->count) {
            choice->shape = seen[i].shape;
            choice->first = first;
            choice->count = count;
        }
    }
    if (choice->count > 0) {
        choice->heading = heading_before(held, seen, choice->first, choice->shape);
    }
    return choice->count > 0;
}

enum recognition plain_layout_recognise(const struct held_lines *held,
                                        const struct decoder_options *options, bool last)
{
    struct looked_at seen[HELD_LINES_MAX] = {{.kind = LINE_FOREIGN}};
    struct choice choice;
    for (int i = 0; i < held->count; i++) {
        look(held_line(held, i), &seen[i]);
    }
    if (last_run(held, seen, &choice) && run_is_enough(&choice, seen, options)) {
        return RECOGNITION_SURE;
    }
    return last && most_frequent(held, seen, &choice) ? RECOGNITION_MAYBE : RECOGNITION_NO;
}

/* 'Fs,50.00' and the like above the numbers. */
static double announced_rate_hz(const struct held_lines *held, int first)
{
    double rate_hz = 0;
    for (int i = 0; i < first; i++) {
        char scratch[DECODER_LINE_MAX];
        struct span line = held_line(held, i);
        struct token token;
        int64_t milli_hz;
        if (!plain_prepare(&line, scratch, sizeof scratch) || !plain_next_number(&line, &token) ||
            token.kind != TOKEN_NUMBER_IN || !plain_names_a_rate(token.before)) {
            continue;
        }
        if (decimal_scale(&token.number, 1000, INT64_C(100000000), &milli_hz) && milli_hz > 0) {
            rate_hz = (double)milli_hz / 1000;
        }
    }
    return rate_hz;
}

bool plain_layout_learn(struct plain_layout *layout, const struct held_lines *held,
                        const struct decoder_options *options, struct problem *problem)
{
    struct looked_at seen[HELD_LINES_MAX] = {{.kind = LINE_FOREIGN}};
    struct choice choice;
    for (int i = 0; i < held->count; i++) {
        look(held_line(held, i), &seen[i]);
    }
    bool run = last_run(held, seen, &choice) && run_is_enough(&choice, seen, options);
    if (!run && !most_frequent(held, seen, &choice)) {
        return problem_set(problem, "the stream has no lines with numbers");
    }
    memset(layout, 0, sizeof *layout);
    layout->shape = choice.shape;
    layout->lines_before = choice.first;
    layout->announced_rate_hz = announced_rate_hz(held, choice.first);
    if (choice.shape.columns > PLAIN_COLUMNS_MAX) {
        return problem_set(problem, "the stream has more than %d columns", PLAIN_COLUMNS_MAX);
    }
    struct plain_columns columns;
    plain_columns_begin(&columns, choice.shape);
    if (choice.heading >= 0) {
        char scratch[DECODER_LINE_MAX];
        struct span heading = held_line(held, choice.heading);
        plain_prepare(&heading, scratch, sizeof scratch);
        layout->heading_length = heading.length;
        memcpy(layout->heading, heading.text, heading.length);
        plain_columns_name(&columns, heading);
    }
    for (int i = choice.first; i < held->count; i++) {
        if (seen[i].kind == LINE_DATA && same_shape(seen[i].shape, choice.shape)) {
            char scratch[DECODER_LINE_MAX];
            struct span line = held_line(held, i);
            plain_prepare(&line, scratch, sizeof scratch);
            plain_columns_add(&columns, line);
        }
    }
    return plain_columns_choose(&columns, options, layout, problem);
}
