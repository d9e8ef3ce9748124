/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/plain_describe.h"

#include "base/text.h"
#include "plain_guess.h"

#include <stdlib.h>
#include <string.h>

/* The first lines, as the decoder would hold them. */
static void hold_lines(const char *bytes, size_t length, struct held_lines *held)
{
    held->count = 0;
    held->used = 0;
    held->ended = true;
    for (size_t at = 0; at < length && held->count < HELD_LINES_MAX;) {
        size_t end = at;
        while (end < length && bytes[end] != '\n' && bytes[end] != '\r') {
            end++;
        }
        size_t size = end - at;
        bool whole = end < length || held->count == 0;
        if (size > 0 && size <= DECODER_LINE_MAX && whole && held->used + size <= HELD_BYTES_MAX) {
            held->line[held->count].start = held->used;
            held->line[held->count].length = size;
            held->line[held->count].end_byte = end;
            held->count++;
            memcpy(held->bytes + held->used, bytes + at, size);
            held->used += size;
        }
        at = end + 1;
    }
}

/* Unix times before this are times of a day. */
#define DATES_FROM_US INT64_C(31536000000000)

bool plain_describe(const char *bytes, size_t length, const struct decoder_options *options,
                    struct plain_description *description, struct problem *problem)
{
    struct held_lines *held = malloc(sizeof *held);
    memset(description, 0, sizeof *description);
    if (held == NULL) {
        return problem_set(problem, "no memory for the first lines");
    }
    hold_lines(bytes, length, held);
    description->columns_said = options->columns[0] != '\0';
    text_copy(description->unit_said, sizeof description->unit_said, options->unit);
    bool learnt = plain_layout_learn_columns(&description->layout, &description->columns, held,
                                             options, &description->info, problem);
    free(held);
    const struct plain_layout *layout = &description->layout;
    for (int i = 0; learnt && i < layout->shape.columns; i++) {
        const struct plain_column *column = &description->columns.column[i];
        if (layout->column_use[i] == PLAIN_TIME_COLUMN) {
            description->time_is_doubtful = plain_time_is_doubtful(options, column);
            description->has_start =
                layout->time == PLAIN_TIME_CALENDAR && column->first_calendar_us >= DATES_FROM_US;
            description->start_us = column->first_calendar_us;
        }
    }
    return learnt;
}
